-- Whether the table of migrations is there at all.
select to_regclass('ellwand.migration') is not null;
