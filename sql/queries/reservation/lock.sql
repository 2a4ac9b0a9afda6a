-- Locks the parts of an order's kits, and their substitutes, in the order of their ids, so that nobody else moves their stock until the end
-- of this transaction, and counts up their turn (migration 0060). The statement after it sees what the last holder left.
-- Lock order everywhere: job_order, kit, part, and stock by its triggers alone.
-- $1 workshop, $2 order -> [part id, ..]
select hold_parts(array(
    select kit_line.part
    from job_window
    join kit on kit.job_window = job_window.id
    join kit_line on kit_line.kit = kit.id
    where job_window.job_order = $2 and job_window.workshop = $1)) as parts
