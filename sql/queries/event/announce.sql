-- Tells those who watch workshop $1: topic $2, body $3 (JSON). Leaves with the commit.
select announce($1::integer, $2, $3::jsonb)
