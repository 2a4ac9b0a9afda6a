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
), rack as (
    select line.id as line, bar.id as bar, bar.length, row_number() over (partition by line.id order by bar.id) as use
    from asked, bar line join bar on bar.workshop = line.workshop and bar.system = line.system and bar.finish = line.finish
        and (bar.id = line.id or (line.kind = 'bar' and bar.kind = 'bar' and bar.length = line.length
                                  and bar.batch = line.batch and bar.squared = line.squared))
    where line.id in (select line from uses) and line.workshop = asked.workshop and line.system = asked.system
      and line.finish = asked.finish and bar.state = 'on-rack'
      and not exists (select from plan_bar where plan_bar.bar = bar.id and plan_bar.state in ('planned', 'released'))
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
), pieces as (
    update piece set state = 'planned', plan_bar = bars.id, sequence = named.sequence
    from named join bars on bars.sequence = named.bar_sequence, job_window, job_order
    where piece.id = named.piece and piece.state = 'waiting' and job_window.id = piece.job_window
      and job_order.id = job_window.job_order and job_order.state = 'taken'
    returning piece.id
), ready as (
    update plan set state = 'ready', problem = $2::jsonb, result = $3::jsonb, leased_by = null, leased_until = null
    where id = $1::bigint
)
select (select count(*) from uses) as bars_wanted, (select count(*) from bars) as bars_found,
       (select count(*) from named) as pieces_wanted, (select count(*) from pieces) as pieces_found
