-- The piece $2 of workshop $1, locked: its state and that of its kit and order.
select piece.state, kit.state, job_order.state, job_order.number, job_window.name
from piece join job_window on job_window.id = piece.job_window
join job_order on job_order.id = job_window.job_order
join kit on kit.job_window = job_window.id
where piece.workshop = $1::integer and piece.id = $2::bigint
for update of piece, kit
