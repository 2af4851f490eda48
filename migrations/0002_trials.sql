-- The trial log: append-only, hash-chained, one chain a trial.

create table trial (
    id integer primary key,
    job_id integer not null references job (id),
    serial integer not null constraint trial_serial check (serial > 0),
    kind text not null constraint trial_kind check (kind in
        ('steam', 'hydraulic', 'air', 'safety-valve', 'feed-pump', 'burner', 'engine-run')),
    question text not null default '',
    answer text constraint trial_answer check (answer in ('yes', 'no', 'not-settled')),
    head text not null constraint trial_head_is_json check (json_valid(head)),
    head_hash text not null constraint trial_head_hash check (length(head_hash) = 64),
    state text not null default 'prepared' constraint trial_state check (state in ('prepared', 'running', 'closed')),
    made_at integer not null,
    started_at integer,
    closed_at integer,
    number text unique,
    verdict text constraint trial_verdict check (verdict in ('pass', 'fail', 'not-proven')),
    because text,
    sealed_entries integer,
    sealed_hash text constraint trial_sealed_hash check (length(sealed_hash) = 64),
    withdrawn_at integer,
    unique (job_id, serial),
    constraint trial_sealed_whole check (
        (state = 'closed') = (number is not null)
        and (number is null) = (sealed_entries is null)
        and (number is null) = (sealed_hash is null)
        and (number is null) = (closed_at is null))
) strict;
create index trial_by_state on trial (state) where state <> 'closed';

create table entry (
    id integer primary key,
    trial_id integer not null references trial (id),
    seq integer not null constraint entry_seq check (seq > 0),
    key text not null unique constraint entry_key_length check (length(key) between 16 and 64),
    sent_sha256 text not null constraint entry_sent_hash check (length(sent_sha256) = 64),
    text text not null constraint entry_is_json check (json_valid(text)),
    t_s real not null constraint entry_t_s check (t_s >= 0),
    received_at integer not null,
    prev_hash text not null constraint entry_prev_hash check (length(prev_hash) = 64),
    hash text not null constraint entry_hash check (length(hash) = 64),
    unique (trial_id, seq)
) strict;

create trigger entry_is_never_altered before update on entry
begin select raise(abort, 'an entry is never altered'); end;
create trigger entry_is_never_deleted before delete on entry
begin select raise(abort, 'an entry is never deleted'); end;
create trigger entry_is_never_replaced before insert on entry
when exists (select 1 from entry e where e.id = new.id or e.key = new.key
    or (e.trial_id = new.trial_id and e.seq = new.seq))
begin select raise(abort, 'an entry is never replaced'); end;
create trigger entry_needs_an_open_trial before insert on entry
when (select state from trial where id = new.trial_id) = 'closed'
begin select raise(abort, 'a sealed record takes no more entries'); end;

create trigger trial_is_never_deleted before delete on trial
begin select raise(abort, 'a trial is never deleted'); end;
create trigger trial_head_is_never_altered before update on trial
when new.head <> old.head or new.head_hash <> old.head_hash or new.kind <> old.kind
    or new.job_id <> old.job_id or new.serial <> old.serial or new.started_at is not coalesce(old.started_at, new.started_at)
begin select raise(abort, 'what a trial was prepared with is never altered'); end;
create trigger trial_seal_is_never_altered before update on trial
when old.state = 'closed'
begin select raise(abort, 'a sealed record is never altered'); end;

-- Defects and temporary states: both carry a bar, both can come from a trial.
create table defect (
    id integer primary key,
    job_id integer not null references job (id),
    serial integer not null,
    component_id integer references component (id),
    what text not null constraint defect_says_what check (length(trim(what)) > 0),
    bar text not null constraint defect_bar check (bar in ('no steam', 'no handover', 'watch')),
    to_do text not null default '',
    state text not null default 'standing' constraint defect_state check (state in ('standing', 'deferred', 'cleared')),
    deferred_to text constraint defect_deferred_is_a_day check (deferred_to glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    deferred_why text not null default '',
    cleared_by_sitting integer references sitting (id),
    cleared_by_part integer references part (id),
    cleared_by_trial integer references trial (id),
    cleared_at integer,
    origin text not null constraint defect_origin check (origin in ('examination', 'sitting', 'trial')),
    sitting_id integer references sitting (id),
    trial_id integer references trial (id),
    rule text,
    raised_at_s real,
    made_at integer not null,
    withdrawn_at integer,
    unique (job_id, serial),
    constraint defect_deferred_when_and_why check (state <> 'deferred' or (deferred_to is not null and length(trim(deferred_why)) > 0)),
    constraint defect_cleared_by_something check (state <> 'cleared' or (cleared_at is not null
        and (cleared_by_sitting is not null or cleared_by_part is not null or cleared_by_trial is not null)))
) strict;
create unique index defect_once_a_flag on defect (trial_id, rule, raised_at_s) where rule is not null and withdrawn_at is null;

create table temporary_state (
    id integer primary key,
    job_id integer not null references job (id),
    what text not null constraint state_says_what check (length(trim(what)) > 0),
    place text not null default '',
    how text not null constraint state_how check (how in ('blanked', 'tied', 'borrowed', 'swapped', 'left off')),
    bar text not null constraint state_bar check (bar in ('no steam', 'no handover', 'watch')),
    since integer not null,
    sitting_id integer references sitting (id),
    ends_it text not null constraint state_says_what_ends_it check (length(trim(ends_it)) > 0),
    ended_at integer,
    ended_by_sitting integer references sitting (id),
    made_at integer not null,
    withdrawn_at integer
) strict;
create index state_by_job on temporary_state (job_id);

-- Pieces off the plant, and where they lie.
create table piece (
    id integer primary key,
    job_id integer not null references job (id),
    what text not null constraint piece_says_what check (length(trim(what)) > 0),
    lies text not null constraint piece_says_where check (length(trim(lies)) > 0),
    since integer not null,
    back_at integer,
    made_at integer not null,
    withdrawn_at integer
) strict;
create index piece_by_job on piece (job_id);

-- A trial with the names it is shown under.
create view trial_line as
select t.*, j.year as job_year, j.serial as job_serial, p.name as plant
from trial t join job j on j.id = t.job_id join plant p on p.id = j.plant_id;

-- A job with what the program derives of it: where it stands, what it waits for, which bars are on it.
create view job_line as
select j.*, p.name as plant, p.boiler_mark, c.id as customer_id, c.name as customer,
    (select min(v.asked_at) from variation v where v.job_id = j.id and v.asked_at is not null
        and v.answer is null and v.withdrawn_at is null) as word_since,
    (select min(x.state_since) from part x where x.job_id = j.id and x.state = 'on order' and x.withdrawn_at is null) as parts_since,
    (select min(t.started_at) from trial t where t.job_id = j.id and t.state = 'running' and t.withdrawn_at is null) as trial_since,
    (select count(*) from defect d where d.job_id = j.id and d.bar = 'no steam' and d.state <> 'cleared' and d.withdrawn_at is null)
        + (select count(*) from temporary_state s where s.job_id = j.id and s.bar = 'no steam' and s.ended_at is null and s.withdrawn_at is null) as no_steam,
    (select count(*) from defect d where d.job_id = j.id and d.bar = 'no handover' and d.state <> 'cleared' and d.withdrawn_at is null)
        + (select count(*) from temporary_state s where s.job_id = j.id and s.bar = 'no handover' and s.ended_at is null and s.withdrawn_at is null) as no_handover,
    (select count(*) from defect d where d.job_id = j.id and d.bar = 'watch' and d.state <> 'cleared' and d.withdrawn_at is null)
        + (select count(*) from temporary_state s where s.job_id = j.id and s.bar = 'watch' and s.ended_at is null and s.withdrawn_at is null) as watch,
    (select coalesce(sum(v.price_pence), 0) from variation v where v.job_id = j.id and v.answer = 'agreed' and v.withdrawn_at is null) as agreed_pence,
    (select coalesce(sum(s.minutes), 0) from sitting s where s.job_id = j.id and s.withdrawn_at is null) as minutes
from job j join plant p on p.id = j.plant_id join customer c on c.id = p.customer_id;
