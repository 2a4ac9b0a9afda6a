-- As before (migration 0023), in words that PostgreSQL writes into the statement that asks, where it had to call a function for
-- each number of a list: null still gives null.
set local search_path = ellwand;

create or replace function shown(unit text, units numeric) returns numeric language sql immutable parallel safe as
$$ select case when unit = 'length' then trim_scale(units / 10) when unit is not null then units end $$;
create or replace function shown_words(unit text, units numeric) returns text language sql immutable parallel safe as
$$ select case when unit = 'length' then trim_scale(units / 10) || ' mm' when unit is not null then units::text end $$;
