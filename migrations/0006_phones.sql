-- Phones at a trial: what each said of its own clock and order beside an entry, and what it still holds.

create table sent_from (
    trial_id integer not null,
    seq integer not null,
    device text not null constraint sent_from_device check (length(device) between 8 and 64),
    page text not null default '',
    n integer not null constraint sent_from_n check (n > 0),
    wall_ms integer not null,
    mono_ms integer not null,
    at_ms integer not null,
    offset_ms integer not null,
    u_ms integer not null constraint sent_from_u check (u_ms >= 0),
    boot text not null,
    primary key (trial_id, seq),
    foreign key (trial_id, seq) references entry (trial_id, seq)
) strict, without rowid;
create index sent_from_by_device on sent_from (trial_id, device, n);
create trigger sent_from_is_never_altered before update on sent_from
begin select raise(abort, 'what a phone said is never altered'); end;
create trigger sent_from_is_never_deleted before delete on sent_from
begin select raise(abort, 'what a phone said is never deleted'); end;

create table phone (
    id integer primary key,
    trial_id integer not null references trial (id),
    device text not null constraint phone_device check (length(device) between 8 and 64),
    who text not null default '',
    pending integer not null default 0 constraint phone_pending check (pending >= 0),
    last_n integer not null default 0 constraint phone_last_n check (last_n >= 0),
    first_at integer not null,
    seen_at integer not null,
    given_up_at integer,
    unique (trial_id, device)
) strict;

-- A code that lets a phone in to one trial for as long as it runs: only its hash is kept.
create table trial_join (
    id integer primary key,
    trial_id integer not null references trial (id),
    token_sha256 text not null unique constraint trial_join_hash check (length(token_sha256) = 64),
    made_at integer not null,
    expires_at integer not null
) strict;
create index trial_join_by_trial on trial_join (trial_id);
alter table session add column trial_id integer references trial (id);
