-- What was applied, in order: number, name, checksum.
select number, name, checksum from ellwand.migration order by number;
