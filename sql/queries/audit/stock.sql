-- Invariant 2: stock on hand of workshop $1 is the sum of its ledger, what is reserved the sum of its reservations, what
-- kits hold the sum of their picks; 0 <= reserved <= on hand. What a purchase says was received is what came into the bins
-- and onto the rack for it.
-- -> {"checked": places, lines of kits and purchases, "findings": [{subject, message}]}
with place as (
    select stock.*, part.code as part_code, part.unit, bin.code as bin_code,
           (select coalesce(sum(delta), 0) from ledger where ledger.stock = stock.id) as booked,
           (select coalesce(sum(quantity), 0) from reservation where reservation.stock = stock.id) as held
    from stock join part on part.id = stock.part join bin on bin.id = stock.bin
    where stock.workshop = $1::integer
), line as (
    select kit_line.*, part.name, part.unit,
           (select coalesce(-sum(delta), 0) from ledger where ledger.kit_line = kit_line.id) as booked,
           (select coalesce(sum(quantity), 0) from reservation where reservation.kit_line = kit_line.id) as held
    from kit join kit_line on kit_line.kit = kit.id join part on part.id = kit_line.part
    where kit.workshop = $1::integer
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
select jsonb_build_object('checked', (select count(*) from place) + (select count(*) from line) + (select count(*) from bought),
    'findings', (select coalesce(jsonb_agg(listed), '[]') from (select * from finding order by subject, message limit 100) listed))
