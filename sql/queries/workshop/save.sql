-- Makes the workshop named $1 with the title $2, or gives it that title. For set-up, not for the daemon's role.
insert into workshop (name, title) values ($1, $2)
on conflict (name) do update set title = excluded.title
returning id
