-- What came and went of one part of workshop $1, newest first. $2 {"part", "after"?: entry, "limit"?}
-- -> {"part", "name", "unit", "entries": [{entry, at, kind, quantity, bin, batch, kit, order, window, key, request, reason,
-- stock_take, undoes, undone_by}], "next"}
with asked as (
    select coalesce(($2::jsonb ->> 'limit')::integer, 200) as most, ($2::jsonb ->> 'after')::bigint as after,
           need_part($1::integer, $2::jsonb ->> 'part', 'part') as part
), page as (
    select entry.*
    from asked
    cross join lateral (
        select ledger.*
        from stock
        cross join lateral (select * from ledger where ledger.stock = stock.id
                                                   and (asked.after is null or ledger.id < asked.after)
                            order by ledger.id desc limit asked.most + 1) as ledger
        where stock.part = asked.part
        order by ledger.id desc
        limit asked.most + 1
    ) as entry
), numbered as (
    select page.*, row_number() over (order by id desc) as place from page
)
select jsonb_build_object('part', part.code, 'name', part.name, 'unit', part.unit,
    'entries', (select coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
            'entry', numbered.id, 'at', numbered.at, 'kind', numbered.kind, 'quantity', shown(part.unit, numbered.delta),
            'bin', bin.code, 'batch', nullif(stock.batch, ''), 'kit', scan_code('K', kit_line.kit),
            'order', job_order.number, 'window', job_window.name, 'key', numbered.key_name,
            'request', numbered.request_id, 'reason', numbered.reason, 'stock_take', numbered.stock_take, 'undoes', numbered.undoes,
            'undone_by', (select undone.id from ledger undone where undone.undoes = numbered.id))) order by place), '[]')
        from numbered
        join stock on stock.id = numbered.stock
        join bin on bin.id = stock.bin
        left join kit_line on kit_line.id = numbered.kit_line
        left join kit on kit.id = kit_line.kit
        left join job_window on job_window.id = kit.job_window
        left join job_order on job_order.id = job_window.job_order
        where place <= asked.most),
    'next', (select case when count(*) > asked.most then min(id) filter (where place <= asked.most) end from numbered))
from asked join part on part.id = asked.part
