-- Stores what was solved for plan $1: the problem $2 and the result $3, checked before. The n-th use of a line of bars
-- alike takes the n-th of those bars. Answers how many bars and pieces the result names and how many of them are still
-- free; the caller gives up the transaction where they differ.
with asked as (
    select plan.id, plan.workshop, plan.system, plan.finish, saw.kerf
    from plan join saw on saw.workshop = plan.workshop and saw.code = plan.saw
    where plan.id = $1::bigint
), uses as (
    select row_number() over (order by place, nth) as sequence, row_number() over (partition by run ->> 'bar' order by place, nth) as use,
           (run ->> 'bar')::bigint as line, run
    from jsonb_array_elements($3::jsonb -> 'bars') with ordinality runs (run, place),
         generate_series(1, (run ->> 'count')::integer) nth
), lines as materialized (
    select distinct bar.id, bar.kind, bar.length, bar.batch, bar.squared
    from asked, uses join bar on bar.id = uses.line
    where bar.workshop = asked.workshop and bar.system = asked.system and bar.finish = asked.finish
), free as materialized (
    select bar.id, bar.kind, bar.length, bar.batch, bar.squared
    from asked join bar on bar.workshop = asked.workshop and bar.system = asked.system and bar.finish = asked.finish
    where bar.state = 'on-rack'
      and not exists (select from plan_bar where plan_bar.bar = bar.id and plan_bar.state in ('planned', 'released'))
), rack as (
    select lines.id as line, free.id as bar, free.length, row_number() over (partition by lines.id order by free.id) as use
    from lines join free on free.kind = lines.kind and free.length = lines.length and free.batch = lines.batch
        and free.squared = lines.squared
    where lines.kind = 'bar'
    union all
    select lines.id, free.id, free.length, 1 from lines join free on free.id = lines.id where lines.kind = 'offcut'
), bars as (
    insert into plan_bar (workshop, plan, sequence, bar, state, bar_length, lead_trim, kerfs, kerf, remainder, returns)
    select asked.workshop, asked.id, uses.sequence, rack.bar, 'planned', rack.length, tenths((run ->> 'lead_trim')::numeric),
           (run ->> 'kerfs')::integer, asked.kerf, tenths((run ->> 'remainder')::numeric), (run ->> 'returns')::boolean
    from asked, uses join rack on rack.line = uses.line and rack.use = uses.use
    order by uses.sequence
    returning id, sequence
), named as (
    select uses.sequence as bar_sequence, (name #>> '{}')::bigint as piece, place as sequence
    from uses, jsonb_array_elements(run -> 'pieces') with ordinality listed (name, place)
), joined as (
    select name::bigint as piece, tenths((chosen -> 'lengths' ->> (place::integer - 1))::numeric) as length
    from jsonb_array_elements(coalesce($3::jsonb -> 'joins', '[]')) chosen,
         jsonb_array_elements_text(chosen -> 'pieces') with ordinality listed (name, place)
), counted as (
    -- the length that the plan counts with: of the split it chose, or as asked for
    select given.name::bigint as piece, coalesce(joined.length, tenths(given.length)) as length
    from jsonb_to_recordset($2::jsonb -> 'pieces') given (name text, length numeric)
    left join joined on joined.piece = given.name::bigint
), pieces as (
    update piece set state = 'planned', plan_bar = bars.id, sequence = named.sequence
    from named join bars on bars.sequence = named.bar_sequence join counted using (piece), job_window, job_order
    where piece.id = named.piece and piece.length = counted.length and piece.state = 'waiting' and job_window.id = piece.job_window
      and job_order.id = job_window.job_order and job_order.state = 'taken'
    returning piece.id
), ready as (
    update plan set state = 'ready', problem = $2::jsonb, result = $3::jsonb, leased_by = null, leased_until = null
    where id = $1::bigint
)
select (select count(*) from uses) as bars_wanted, (select count(*) from bars) as bars_found,
       (select count(*) from named) as pieces_wanted, (select count(*) from pieces) as pieces_found
