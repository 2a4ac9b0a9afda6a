-- What the stores look for among rows that only ever grow in number.
set local search_path = ellwand;

create index kit_line_short on kit_line (part, kit) where picked < wanted;
create index kit_open on kit (workshop, id) where state in ('waiting', 'picking', 'complete', 'packed');
create index stock_workshop on stock (workshop, part);
