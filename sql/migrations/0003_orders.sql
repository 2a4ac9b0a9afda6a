-- Orders, their windows with survey and take-off, and the pieces to be cut.
set local search_path = ellwand;

create table job_order (
    id         bigint generated always as identity primary key,
    workshop   integer not null references workshop,
    number     text not null check (length(number) between 1 and 40),
    customer   text not null,
    due        date not null,
    priority   integer not null check (priority between 1 and 9),
    notes      text not null default '',
    state      text not null,
    taken_at   timestamptz not null default now(),
    unique (workshop, number)
);
create index job_order_open on job_order (workshop, due, id) where state in ('taken', 'held', 'packed');
create trigger step_guard before insert or update on job_order for each row execute function step_guard('order');

create table job_window (
    id       bigint generated always as identity primary key,
    workshop integer not null references workshop,
    job_order bigint not null references job_order,
    position integer not null check (position > 0),
    name     text not null check (length(name) between 1 and 40),
    room     text not null default '',
    system   text not null,
    finish   text not null,
    corded   boolean not null,
    survey   jsonb not null,
    takeoff  jsonb not null,
    catalogue_version integer not null,
    unique (job_order, name),
    unique (job_order, position),
    foreign key (workshop, catalogue_version) references catalogue_version
);

create table piece (
    id        bigint generated always as identity primary key,
    workshop  integer not null references workshop,
    job_window bigint not null references job_window,
    number    integer not null check (number > 0),
    of        integer not null check (of >= number),
    side      text not null,
    system    text not null,
    finish    text not null,
    length    bigint not null check (length between 1 and 1000000000),
    state     text not null,
    plan_bar  bigint,           -- the live plan's bar it is to be, or was, cut from
    sequence  integer,          -- position along that bar
    batch     text,             -- the finish batch it was really cut from
    unique (job_window, number),
    check ((plan_bar is null) = (sequence is null)),
    check ((state in ('planned', 'released')) <= (plan_bar is not null)),
    check ((state = 'waiting') <= (plan_bar is null))
);
create unique index piece_place on piece (plan_bar, sequence);
create index piece_pool on piece (workshop, system, finish, id) where state = 'waiting';
create index piece_window on piece (job_window);
create trigger step_guard before insert or update on piece for each row execute function step_guard('piece');
