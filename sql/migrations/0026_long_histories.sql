-- Lists stay quick however long their history grows.
set local search_path = ellwand;

create index stock_bin on stock (bin) where on_hand > 0;
create index job_order_due on job_order (workshop, due, id);
create index print_job_state on print_job (workshop, state, id);
-- Few lines of many are still to be picked; without this the planner takes a third of all for open.
create statistics kit_line_still_open on (picked < wanted) from kit_line;
