-- Orders purchase $1; it is expected on the day $2, or with '' when its lead time has passed.
update purchase
set state = 'ordered', ordered_at = now(),
    expected = coalesce(nullif($2, '')::date, (now() at time zone 'UTC')::date + lead_days)
where id = $1::bigint
