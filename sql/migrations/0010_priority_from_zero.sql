-- Priorities go from 0 (leave) to 9 (first), as order files and cutting problems have them.
set local search_path = ellwand;

alter table job_order drop constraint job_order_priority_check,
    add constraint job_order_priority_check check (priority between 0 and 9);
