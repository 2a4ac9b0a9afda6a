-- Stations, labels and the print queue. A print job is a row written in the transaction of what it announces.
set local search_path = ellwand;

create table station (
    workshop integer not null references workshop,
    code     text not null check (code ~ '^[a-z][a-z0-9-]{0,39}$'),
    queue    text,               -- the CUPS queue, or
    folder   text,               -- a folder that takes PDF files
    stock    text not null,
    kinds    text[] not null,    -- what is printed here: piece, kit, offcut, ...
    message  text not null default '',
    seen_at  timestamptz,
    primary key (workshop, code),
    foreign key (workshop, stock) references label_stock,
    check ((queue is null) <> (folder is null))
);

create table print_job (
    id          bigint generated always as identity primary key,
    workshop    integer not null,
    station     text not null,
    kind        text not null,
    payload     jsonb not null check (jsonb_typeof(payload) = 'array' and jsonb_array_length(payload) between 1 and 1000),
    state       text not null,
    attempt     integer not null default 0,
    cups_job    integer,
    message     text not null default '',
    queued_at   timestamptz not null default now(),
    printed_at  timestamptz,
    not_before  timestamptz not null default now(),
    leased_by   text,
    leased_until timestamptz,
    foreign key (workshop, station) references station
);
create index print_job_open on print_job (workshop, station, id) where state in ('queued', 'sending', 'printing', 'held');
create trigger step_guard before insert or update on print_job for each row execute function step_guard('print');

-- Every label ever asked for. Copy 0 is the first print; a reprint has its number, and says so on its face.
create table label (
    id        bigint generated always as identity primary key,
    workshop  integer not null references workshop,
    kind      text not null,
    subject   bigint not null,
    copy      integer not null check (copy >= 0),
    print_job bigint not null references print_job,
    asked_at  timestamptz not null default now(),
    unique (workshop, kind, subject, copy)
);
create index label_print_job on label (print_job);
