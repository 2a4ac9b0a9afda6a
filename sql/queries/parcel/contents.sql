-- What the things $1 [{piece | kit}, ..] are called on a packing list. -> [{name, quantity, note}, ..]
select parcel_contents($1::jsonb)
