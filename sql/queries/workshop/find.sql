-- The id of the workshop named $1.
select id from workshop where name = $1
