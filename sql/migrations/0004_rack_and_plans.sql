-- Bars and offcuts one by one, and the plans that cut them.
set local search_path = ellwand;

create table bar (
    id         bigint generated always as identity primary key,
    workshop   integer not null references workshop,
    kind       text not null check (kind in ('bar', 'offcut')),
    system     text not null,
    finish     text not null,
    length     bigint not null check (length between 1 and 1000000000),
    batch      text not null default '',
    place      text not null default '',
    squared    boolean not null default false,
    origin     text not null check (origin in ('bought', 'cut', 'found', 'put-back')),
    origin_plan_bar bigint,     -- the cut that left this remainder
    origin_piece bigint references piece,
    state      text not null,
    arrived_at timestamptz not null default now(),
    check ((origin = 'cut') = (origin_plan_bar is not null)),
    check ((origin = 'put-back') = (origin_piece is not null))
);
create index bar_rack on bar (workshop, system, finish, length) where state = 'on-rack';
create unique index bar_put_back_once on bar (origin_piece) where origin_piece is not null;
create trigger step_guard before insert or update on bar for each row execute function step_guard('bar');

create table plan (
    id         bigint generated always as identity primary key,
    workshop   integer not null references workshop,
    system     text not null,
    finish     text not null,
    saw        text not null,
    state      text not null,
    time_limit_ms integer not null check (time_limit_ms between 1 and 600000),
    due_until  date,            -- only pieces due by then
    problem    jsonb,           -- what was solved, and the answer, as documents: any checker can read them again
    result     jsonb,
    failure    text,
    made_at    timestamptz not null default now(),
    leased_by  text,            -- the daemon that solves it now, and how long its word holds
    leased_until timestamptz,
    cancel_asked boolean not null default false,
    check ((state in ('ready', 'released', 'done')) <= (result is not null)),
    foreign key (workshop, saw) references saw
);
create index plan_live on plan (workshop, id) where state in ('queued', 'solving', 'ready', 'released');
create trigger step_guard before insert or update on plan for each row execute function step_guard('plan');

create table plan_bar (
    id          bigint generated always as identity primary key,
    workshop    integer not null references workshop,
    plan        bigint not null references plan,
    sequence    integer not null check (sequence > 0),
    bar         bigint not null references bar,
    state       text not null,
    bar_length  bigint not null,
    lead_trim   bigint not null check (lead_trim >= 0),
    kerfs       integer not null check (kerfs >= 0),
    kerf        bigint not null check (kerf >= 0),
    remainder   bigint not null check (remainder >= 0),   -- as planned, then as measured
    returns     boolean not null,                         -- whether the remainder goes back on the rack
    -- set when the cut is confirmed:
    pieces_length bigint check (pieces_length >= 0),
    kerf_length bigint check (kerf_length >= 0),
    waste       bigint check (waste >= 0),                -- mis-cut material
    correction  bigint,                                   -- the bar's true length less the length it was booked with
    offcut      bigint references bar,
    cut_at      timestamptz,
    unique (plan, sequence),
    -- length balance, to the tenth: no length is made or lost
    constraint length_balance check (state <> 'cut' or
        bar_length + correction = lead_trim + pieces_length + kerf_length + waste + remainder)
);
create unique index plan_bar_one_live_plan on plan_bar (bar) where state in ('planned', 'released');
create index plan_bar_plan on plan_bar (plan);
create trigger step_guard before insert or update on plan_bar for each row execute function step_guard('plan-bar');

alter table piece add foreign key (plan_bar) references plan_bar;
alter table bar add foreign key (origin_plan_bar) references plan_bar;
create unique index bar_one_remainder on bar (origin_plan_bar) where origin_plan_bar is not null;
