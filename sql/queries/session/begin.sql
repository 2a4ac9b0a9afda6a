-- Opens a transaction that changes something. Serializable: what two daemons do at once comes out as if one had
-- waited for the other, and whoever cannot be fitted in is told to repeat.
begin isolation level serializable read write;
