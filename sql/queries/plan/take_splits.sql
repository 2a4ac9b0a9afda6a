-- Joins the tracks of plan $1, still being solved, as its result $2 chose; the pieces get their lengths before the plan is
-- stored. Answers how many it chose for, and how many of these could be joined so.
with chosen as (
    select joined, place from jsonb_array_elements(coalesce($2::jsonb -> 'joins', '[]')) with ordinality as listed (joined, place)
), windows as materialized (
    select piece.workshop, piece.job_window, lengths_of(chosen.joined -> 'lengths') as lengths
    from chosen join plan on plan.id = $1::bigint
    join piece on piece.id = (chosen.joined -> 'pieces' ->> 0)::bigint and piece.workshop = plan.workshop
    order by piece.job_window
), taken as materialized (
    select take_split(workshop, job_window, lengths) as done from windows
)
select (select count(*) from chosen) as wanted, (select count(*) from taken where done) as taken
