-- The bar or offcut $2 of workshop $1, locked: its state, length, kind, and the live plan that counts on it, if any.
select bar.state, bar.length, bar.kind,
       (select plan from plan_bar where plan_bar.bar = bar.id and plan_bar.state in ('planned', 'released')) as plan
from bar where bar.workshop = $1::integer and bar.id = $2::bigint for update of bar
