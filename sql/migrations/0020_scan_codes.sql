-- What a label says to a scanner: KIND letter, decimal id, and a check character by ISO/IEC 7064, MOD 37-2: the
-- weighted sum of all characters is 1 modulo 37, the check character having weight 1 and each to its left twice the next.
set local search_path = ellwand;

create function scan_code(kind text, id bigint) returns text language sql immutable strict parallel safe as
$$
    with body as (select kind || id as text),
         letter as (select strpos('0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*', character) - 1 as value,
                           1::bigint << (length(text) - place + 1)::integer as weight
                    from body, string_to_table(text, null) with ordinality as spelled (character, place))
    select text || substr('0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*',
                          ((38 - (select sum(value * weight) % 37 from letter)) % 37)::integer + 1, 1)
    from body
$$;
