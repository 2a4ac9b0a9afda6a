-- Names the supplier $3 of workshop $1's catalogue for purchase $2, and takes over its lead time. Gives no row when the
-- catalogue has no such supplier.
update purchase set supplier = $3, lead_days = told.days
from (select (supplier ->> 'lead_days')::integer as days
      from (select data from catalogue_version where workshop = $1::integer order by version desc limit 1) newest,
           jsonb_array_elements(newest.data -> 'suppliers') supplier
      where supplier ->> 'code' = $3) told
where purchase.workshop = $1::integer and purchase.id = $2::bigint
returning purchase.id
