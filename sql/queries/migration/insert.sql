-- Records a migration as applied. $1: number; $2: name; $3: SHA-256 of its text.
insert into ellwand.migration (number, name, checksum) values ($1::integer, $2, $3);
