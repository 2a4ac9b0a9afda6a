-- Which migrations this database has had; run by the administrator.
create table if not exists ellwand.migration (
    number integer primary key check (number > 0),
    name text not null,
    checksum text not null,
    applied_at timestamptz not null default now()
);
