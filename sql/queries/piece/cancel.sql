-- The pieces of order $1 that are waiting, or are cut and either long enough for the rack ($2 true) or not (false), are
-- cancelled; those that go back to the rack must be put there before. Waiting ones go with the short ones.
update piece set state = 'cancelled'
from job_window, workshop
where job_window.id = piece.job_window and job_window.job_order = $1::bigint and workshop.id = piece.workshop
  and case when piece.state in ('cut', 'matched') then (piece.length >= usable_remainder) = $2::boolean
           else piece.state = 'waiting' and not $2::boolean end
returning piece.id
