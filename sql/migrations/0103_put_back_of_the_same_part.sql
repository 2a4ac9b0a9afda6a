-- A line may hold its own part and a substitute of it: what is put back undoes picks of the same part only (as before else).
set local search_path = ellwand;

create or replace function picks_undone(line bigint, entry bigint) returns table (week date, units bigint) language plpgsql stable as
$$
declare
    weeks date[] := '{}';
    open bigint[] := '{}';  -- of each pick not yet put back, the oldest first
    of_part bigint := (select stock.part from ledger join stock on stock.id = ledger.stock where ledger.id = entry);
    step record;
    rest bigint;
    last integer;
begin
    for step in select ledger.id, ledger.at, ledger.delta
                from ledger join stock on stock.id = ledger.stock
                where ledger.kit_line = line and ledger.id <= entry and stock.part = of_part order by ledger.id loop
        if step.delta < 0 then
            weeks := weeks || week_of(step.at);
            open := open || -step.delta;
            continue;
        end if;
        rest := step.delta;
        while rest > 0 and cardinality(open) > 0 loop
            last := cardinality(open);
            week := weeks[last];
            units := least(rest, open[last]);
            rest := rest - units;
            open[last] := open[last] - units;
            if step.id = entry then
                return next;
            end if;
            if open[last] = 0 then
                weeks := trim_array(weeks, 1);
                open := trim_array(open, 1);
            end if;
        end loop;
    end loop;
end
$$;
