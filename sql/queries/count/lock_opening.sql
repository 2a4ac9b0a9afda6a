-- Stock-takes of workshop $1 are opened one after the other, so that each sees which places the others took.
select id from workshop where id = $1::integer for no key update
