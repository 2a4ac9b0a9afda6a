-- What the saw made of bars and offcuts in workshop $1. $2 {"by"?: system, finish, saw or week, "weeks"?: the last so many, "system"?,
-- "finish"?, "saw"?}. -> {"by", "since", "rows": [{name, bars, offcuts, pieces, opened, used, correction, pieces_length, kerf,
-- trim, mis_cut, kept, scrap, recut, yield, scrap_share}], "totals": the same}. Lengths balance in every row: opened + used + correction
-- = pieces_length + kerf + trim + mis_cut + kept + scrap. By week every week since the first cut has its row. yield: good pieces of what was used up (that is, less what was kept).
with asked as (
    select coalesce($2::jsonb ->> 'by', 'week') as by, $2::jsonb ->> 'system' as system, $2::jsonb ->> 'finish' as finish,
           $2::jsonb ->> 'saw' as saw, week_of(now()) - 7 * (coalesce(($2::jsonb ->> 'weeks')::integer, 13) - 1) as since
), chosen as (
    select case asked.by when 'system' then cut_week.system when 'finish' then cut_week.finish when 'saw' then cut_week.saw
                         else week::text end as name, cut_week.*
    from asked join cut_week on cut_week.workshop = $1::integer and week >= asked.since
        and (asked.system is null or cut_week.system = asked.system) and (asked.finish is null or cut_week.finish = asked.finish)
        and (asked.saw is null or cut_week.saw = asked.saw)
), each_week as (
    select week::date::text as name
    from asked, generate_series(greatest(asked.since, coalesce((select min(week) from cut_week where workshop = $1::integer), week_of(now()))),
                                week_of(now()), interval '7 days') week
    where asked.by = 'week'
), summed as (
    select name, grouping(name) = 1 as whole, coalesce(sum(bars), 0) as bars, coalesce(sum(offcuts), 0) as offcuts,
           coalesce(sum(pieces), 0) as pieces, coalesce(sum(bars_length), 0) as opened, coalesce(sum(offcuts_length), 0) as used,
           coalesce(sum(correction), 0) as correction, coalesce(sum(pieces_length), 0) as pieces_length, coalesce(sum(kerf_length), 0) as kerf,
           coalesce(sum(trim_length), 0) as trim, coalesce(sum(waste_length), 0) as mis_cut, coalesce(sum(kept_length), 0) as kept,
           coalesce(sum(scrap_length), 0) as scrap, coalesce(sum(recut_length), 0) as recut
    from chosen full join each_week using (name) group by grouping sets ((name), ())
), told as (
    select name, whole, jsonb_build_object('bars', bars, 'offcuts', offcuts, 'pieces', pieces, 'opened', mm(opened::bigint),
        'used', mm(used::bigint), 'correction', mm(correction::bigint), 'pieces_length', mm(pieces_length::bigint), 'kerf', mm(kerf::bigint),
        'trim', mm(trim::bigint), 'mis_cut', mm(mis_cut::bigint), 'kept', mm(kept::bigint), 'scrap', mm(scrap::bigint), 'recut', mm(recut::bigint),
        'yield', round((pieces_length - recut) / nullif(opened + used + correction - kept, 0), 4),
        'scrap_share', round((scrap + mis_cut + recut) / nullif(opened + used + correction - kept, 0), 4)) as figures
    from summed
)
select jsonb_build_object('by', asked.by, 'since', asked.since,
    'rows', (select coalesce(jsonb_agg(jsonb_build_object('name', name) || figures order by name), '[]') from told where not whole),
    'totals', (select figures from told where whole))
from asked
