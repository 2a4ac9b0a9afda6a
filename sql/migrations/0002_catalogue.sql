-- The catalogue: what is made, of what, by which rules. Each row keeps its technical data as the document that the
-- take-off reads; the columns beside it are those that other tables refer to.
set local search_path = ellwand;

create table catalogue_version (
    workshop  integer not null references workshop,
    version   integer not null check (version > 0),
    loaded_at timestamptz not null default now(),
    key_name  text not null,
    primary key (workshop, version)
);

create table finish (
    workshop integer not null references workshop,
    code     text not null check (length(code) between 1 and 40),
    position integer not null,
    data     jsonb not null,
    primary key (workshop, code)
);

create table part (
    id       bigint generated always as identity primary key,
    workshop integer not null references workshop,
    code     text not null check (length(code) between 1 and 40),
    name     text not null,
    unit     text not null check (unit in ('each', 'length')),
    current  boolean not null default true,  -- false: no longer in the catalogue, kept for its history
    position integer not null,
    data     jsonb not null,
    unique (workshop, code)
);

create table track_system (
    workshop integer not null references workshop,
    code     text not null check (length(code) between 1 and 40),
    name     text not null,
    corded   boolean not null,
    position integer not null,
    data     jsonb not null,
    primary key (workshop, code)
);

create table system_finish (
    workshop integer not null,
    system   text not null,
    finish   text not null,
    primary key (workshop, system, finish),
    foreign key (workshop, system) references track_system on delete cascade,
    foreign key (workshop, finish) references finish
);

create table bar_length (
    workshop integer not null,
    system   text not null,
    length   bigint not null check (length between 1 and 1000000000),
    price    bigint not null check (price >= 0),
    primary key (workshop, system, length),
    foreign key (workshop, system) references track_system on delete cascade
);

create table saw (
    workshop integer not null references workshop,
    code     text not null check (length(code) between 1 and 40),
    name     text not null,
    kerf     bigint not null check (kerf between 0 and 1000),
    lead_trim bigint not null check (lead_trim between 0 and 10000),
    tail_clamp bigint not null check (tail_clamp between 0 and 10000),
    longest_bar bigint check (longest_bar > 0),
    position integer not null,
    data     jsonb not null,
    primary key (workshop, code)
);

create table label_stock (
    workshop integer not null references workshop,
    code     text not null check (length(code) between 1 and 40),
    width    bigint not null check (width between 100 and 10000),
    height   bigint not null check (height between 50 and 10000),
    position integer not null,
    data     jsonb not null,
    primary key (workshop, code)
);
