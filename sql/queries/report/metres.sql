-- Where every metre of track of workshop $1 came from and went, by system and finish, from the first bar on. $2 {"system"?, "finish"?}.
-- -> {"rows": [{system, finish, bought, found, put_back, correction, bars, offcuts, pieces, kerf, trim, mis_cut, scrap, written_off,
-- difference}], "totals": the same}. difference: bought + found + put_back + correction less all that follows; the audit watches
-- that it is 0.
with asked as (
    select $2::jsonb ->> 'system' as system, $2::jsonb ->> 'finish' as finish
), came as (
    select system, finish, sum(bought_length) as bought, sum(found_length) as found, sum(put_back_length) as put_back,
           sum(written_off_length) as written_off
    from rack_week where workshop = $1::integer group by system, finish
), cut as (
    select system, finish, sum(correction) as correction, sum(pieces_length) as pieces, sum(kerf_length) as kerf, sum(trim_length) as trim,
           sum(waste_length) as mis_cut, sum(scrap_length) as scrap
    from cut_week where workshop = $1::integer group by system, finish
), there as (
    select system, finish, sum(length) filter (where kind = 'bar') as bars, sum(length) filter (where kind = 'offcut') as offcuts
    from rack_now where workshop = $1::integer group by system, finish
), summed as (
    select system, finish, grouping(system) = 1 as whole, coalesce(sum(bought), 0) as bought, coalesce(sum(found), 0) as found,
           coalesce(sum(put_back), 0) as put_back, coalesce(sum(correction), 0) as correction, coalesce(sum(bars), 0) as bars,
           coalesce(sum(offcuts), 0) as offcuts, coalesce(sum(pieces), 0) as pieces, coalesce(sum(kerf), 0) as kerf, coalesce(sum(trim), 0) as trim,
           coalesce(sum(mis_cut), 0) as mis_cut, coalesce(sum(scrap), 0) as scrap, coalesce(sum(written_off), 0) as written_off
    from (select * from came full join cut using (system, finish) full join there using (system, finish)) as kind
    where system = coalesce((select asked.system from asked), system) and finish = coalesce((select asked.finish from asked), finish)
    group by grouping sets ((system, finish), ())
), told as (
    select system, finish, whole, jsonb_build_object('bought', mm(bought::bigint), 'found', mm(found::bigint), 'put_back', mm(put_back::bigint),
        'correction', mm(correction::bigint), 'bars', mm(bars::bigint), 'offcuts', mm(offcuts::bigint), 'pieces', mm(pieces::bigint),
        'kerf', mm(kerf::bigint), 'trim', mm(trim::bigint), 'mis_cut', mm(mis_cut::bigint), 'scrap', mm(scrap::bigint),
        'written_off', mm(written_off::bigint), 'difference', mm((bought + found + put_back + correction - bars - offcuts - pieces - kerf - trim
            - mis_cut - scrap - written_off)::bigint)) as figures
    from summed
)
select jsonb_build_object(
    'rows', (select coalesce(jsonb_agg(jsonb_build_object('system', system, 'finish', finish) || figures order by system, finish), '[]')
             from told where not whole),
    'totals', (select figures from told where whole))
