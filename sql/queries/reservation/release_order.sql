-- Gives up what an order has reserved and not yet picked; its parts are locked before (reservation/lock), and what
-- becomes free is handed on after (reservation/reserve).
-- $1 workshop, $2 order -> number of reservations given up
with given_up as (
    delete from reservation
    using kit_line, kit, job_window
    where reservation.kit_line = kit_line.id
      and kit_line.kit = kit.id
      and kit.job_window = job_window.id
      and kit.workshop = $1
      and job_window.job_order = $2
    returning reservation.id
)
select to_jsonb(count(*)) from given_up
