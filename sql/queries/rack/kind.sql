-- What a length $4 (tenths) of system $2 in finish $3 would be in workshop $1: whether the system comes in that finish, and
-- whether it is bought in that length.
select exists (select from system_finish where workshop = $1::integer and system = $2 and finish = $3) as made,
       exists (select from bar_length where workshop = $1::integer and system = $2 and length = $4::bigint) as bought
