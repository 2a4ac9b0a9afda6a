-- Invariant 2: stock on hand of workshop $1 is the sum of its ledger, what is reserved the sum of its reservations, what
-- kits hold the sum of their picks; 0 <= reserved <= on hand. What a purchase says was received is what came into the bins
-- and onto the rack for it.
-- -> {"checked": places, lines of kits and purchases, "findings": [{subject, message}]}
with place_booked as (
    select stock as id, sum(delta) as booked from ledger group by stock
), place_held as (
    select stock as id, sum(quantity) as held from reservation group by stock
), line_booked as (
    select kit_line as id, -sum(delta) as booked from ledger where kit_line is not null group by kit_line
), line_held as (
    select kit_line as id, sum(quantity) as held from reservation group by kit_line
), place as (
    select stock.*, part.code as part_code, part.unit, bin.code as bin_code, coalesce(booked, 0) as booked, coalesce(held, 0) as held
    from stock join part on part.id = stock.part join bin on bin.id = stock.bin
    left join place_booked on place_booked.id = stock.id left join place_held on place_held.id = stock.id
    where stock.workshop = $1::integer
), line as materialized (
    -- only those that are wrong: there are as many lines as parts were ever sold
    select kit_line.*, kit.state, part.name, part.unit, coalesce(booked, 0) as booked, coalesce(held, 0) as held
    from kit join kit_line on kit_line.kit = kit.id join part on part.id = kit_line.part
    left join line_booked on line_booked.id = kit_line.id left join line_held on line_held.id = kit_line.id
    where kit.workshop = $1::integer
      and (picked <> coalesce(booked, 0) or reserved <> coalesce(held, 0) or cancelled <> (kit.state = 'cancelled')
           or picked < 0 or picked + coalesce(held, 0) > wanted)
), bought as (
    select line.*, format('line %s of purchase %s', line.id, line.purchase) as subject, coalesce(part.unit, 'each') as unit,
           came.said, came.held
    from purchase
    join purchase_line line on line.purchase = purchase.id
    left join part on part.id = line.part
    cross join lateral (
        select coalesce(sum(receipt.quantity), 0) as said,
               coalesce(sum(case when stock.part = line.part and ledger.kind = 'receipt' then ledger.delta
                                 when (bar.system, bar.finish) = (line.system, line.finish) and bar.origin = 'bought' then 1
                                 else 0 end), 0) as held
        from purchase_receipt receipt
        left join ledger on ledger.id = receipt.ledger
        left join stock on stock.id = ledger.stock
        left join bar on bar.id = receipt.bar
        where receipt.line = line.id) came
    where purchase.workshop = $1::integer
), finding as (
    select format('%s in bin %s', part_code, bin_code) as subject,
           format('%s on hand, but its ledger sums to %s.', shown_words(unit, on_hand), shown_words(unit, booked)) as message
    from place where on_hand <> booked
    union all
    select format('%s in bin %s', part_code, bin_code),
           format('%s reserved, but its reservations sum to %s.', shown_words(unit, reserved), shown_words(unit, held))
    from place where reserved <> held
    union all
    select format('%s in bin %s', part_code, bin_code),
           format('%s reserved of %s on hand.', shown_words(unit, reserved), shown_words(unit, on_hand))
    from place where reserved < 0 or reserved > on_hand
    union all
    select scan_code('K', kit), format('%s: %s picked, but the ledger says %s.', name, shown_words(unit, picked), shown_words(unit, booked))
    from line where picked <> booked
    union all
    select scan_code('K', kit), format('%s: %s reserved, but its reservations sum to %s.', name, shown_words(unit, reserved), shown_words(unit, held))
    from line where reserved <> held
    union all
    select scan_code('K', kit), format('%s: the line is marked %s, which its kit is not.', name, case when cancelled then 'cancelled' else 'open' end)
    from line where cancelled <> (state = 'cancelled')
    union all
    select scan_code('K', kit), format('%s: %s picked and %s reserved, but only %s wanted.', name, shown_words(unit, picked),
                                      shown_words(unit, held), shown_words(unit, wanted))
    from line where picked < 0 or picked + held > wanted
    union all
    select subject, format('%s received, but its receipts sum to %s.', shown_words(unit, received), shown_words(unit, said))
    from bought where received <> said
    union all
    select subject, format('%s received, but %s came into the bins or onto the rack.', shown_words(unit, received), shown_words(unit, held))
    from bought where received <> held
    union all
    select subject, format('%s received, but only %s ordered, and nobody said to keep more.', shown_words(unit, received), shown_words(unit, quantity))
    from bought where received > quantity and not over
)
select jsonb_build_object('checked', (select count(*) from place) + (select count(*) from bought)
                   + (select count(*) from kit join kit_line on kit_line.kit = kit.id where kit.workshop = $1::integer),
    'findings', (select coalesce(jsonb_agg(listed), '[]') from (select * from finding order by subject, message limit 100) listed))
