-- Tells those who watch workshop $1 how far plan $2 is: cost of the best so far $3, bound $4 (tenths, or null), phase $5.
select announce($1::integer, 'plan.progress',
                jsonb_build_object('plan', $2::bigint, 'best', mm($3::bigint), 'bound', mm($4::bigint), 'phase', $5::text))
