-- The job book: who brings what, what is wrong with it, and what was done.

create table workshop (
    id integer primary key constraint workshop_is_one check (id = 1),
    name text not null constraint workshop_has_name check (length(trim(name)) > 0),
    owner text not null constraint workshop_has_owner check (length(trim(owner)) > 0),
    pass_phrase text,
    is_example integer not null default 0 constraint workshop_example_flag check (is_example in (0, 1)),
    made_at integer not null
) strict;

create table customer (
    id integer primary key,
    name text not null constraint customer_has_name check (length(trim(name)) > 0),
    reach text not null default '',
    note text not null default '',
    made_at integer not null,
    erased_at integer,
    withdrawn_at integer
) strict;

create table plant (
    id integer primary key,
    name text not null constraint plant_has_name check (length(trim(name)) > 0),
    customer_id integer not null references customer (id),
    boiler_mark text not null default '',
    note text not null default '',
    made_at integer not null,
    withdrawn_at integer
) strict;
create index plant_by_customer on plant (customer_id);

create table component (
    id integer primary key,
    plant_id integer not null references plant (id),
    parent_id integer references component (id),
    kind text not null constraint component_kind check (kind in
        ('boiler', 'engine', 'feed-pump', 'burner', 'safety-valve', 'glass', 'lubricator', 'tank', 'fitting')),
    name text not null constraint component_has_name check (length(trim(name)) > 0),
    particulars text not null default '{}' constraint component_particulars_are_json check (json_valid(particulars)),
    note text not null default '',
    made_at integer not null,
    withdrawn_at integer
) strict;
create index component_by_plant on component (plant_id);

create table job (
    id integer primary key,
    year integer not null constraint job_year check (year between 2000 and 2199),
    serial integer not null constraint job_serial check (serial > 0),
    plant_id integer not null references plant (id),
    words text not null default '',
    condition text not null default '',
    contents text not null default '',
    came_in_on text not null constraint job_came_in_is_a_day check (came_in_on glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    promised_on text constraint job_promised_is_a_day check (promised_on glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    stands text not null default 'in' constraint job_stands check (stands in
        ('in', 'opened up', 'on the bench', 'ready', 'gone home', 'gone home unrepaired')),
    stands_since integer not null,
    me_since integer,
    inspector_since integer,
    next_time text not null default '',
    return_of integer references job (id) constraint job_is_no_return_of_itself check (return_of <> id),
    estimate_pence integer constraint job_estimate check (estimate_pence >= 0),
    paid_pence integer not null default 0 constraint job_paid check (paid_pence >= 0),
    private_note text not null default '',
    made_at integer not null,
    withdrawn_at integer,
    unique (year, serial)
) strict;
create index job_by_plant on job (plant_id);

-- Where a job stood, and since when: the places on the customer's page have dates.
create table job_place (
    id integer primary key,
    job_id integer not null references job (id),
    place text not null,
    since integer not null
) strict;
create index job_place_by_job on job_place (job_id);

create table sitting (
    id integer primary key,
    job_id integer not null references job (id),
    serial integer not null,
    on_day text not null constraint sitting_is_on_a_day check (on_day glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    minutes integer not null constraint sitting_minutes check (minutes between 0 and 1440),
    done text not null constraint sitting_says_something check (length(trim(done)) > 0),
    next_time text not null default '',
    made_at integer not null,
    withdrawn_at integer,
    unique (job_id, serial)
) strict;

create table part (
    id integer primary key,
    job_id integer not null references job (id),
    name text not null constraint part_has_name check (length(trim(name)) > 0),
    state text not null constraint part_state check (state in
        ('to make', 'to order', 'on order', 'in hand', 'fitted', 'returned')),
    state_since integer not null,
    defect_id integer references defect (id),
    component_id integer references component (id),
    supplier text not null default '',
    price_pence integer constraint part_price check (price_pence >= 0),
    promised_on text constraint part_promised_is_a_day check (promised_on glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    made_at integer not null,
    withdrawn_at integer
) strict;
create index part_by_job on part (job_id);

create table variation (
    id integer primary key,
    job_id integer not null references job (id),
    serial integer not null,
    what text not null constraint variation_says_what check (length(trim(what)) > 0),
    reason text not null default '',
    if_not text not null default '',
    price_pence integer not null constraint variation_price check (price_pence >= 0),
    asked_at integer,
    answer text constraint variation_answer check (answer in ('agreed', 'declined')),
    answered_at integer,
    answered_by text not null default '',
    made_at integer not null,
    withdrawn_at integer,
    unique (job_id, serial),
    constraint variation_answered_when check ((answer is null) = (answered_at is null))
) strict;

-- What changed, by whom, from what to what: nothing is lost by a change.
create table change (
    id integer primary key,
    job_id integer references job (id),
    subject text not null,
    subject_id integer not null,
    what text not null constraint change_what check (what in ('made', 'changed', 'withdrawn', 'put back', 'erased')),
    by text not null,
    at integer not null,
    before text constraint change_before_is_json check (before is null or json_valid(before)),
    after text constraint change_after_is_json check (after is null or json_valid(after))
) strict;
create index change_by_job on change (job_id, at);
create index change_by_subject on change (subject, subject_id);
create trigger change_is_kept before update on change when old.what <> 'erased' and new.what <> 'erased'
begin select raise(abort, 'a change is never altered'); end;
create trigger change_is_not_deleted before delete on change
begin select raise(abort, 'a change is never deleted'); end;

-- A key a form: the same form sent twice is one row.
create table form_key (
    key text primary key constraint form_key_length check (length(key) between 16 and 64),
    sent_sha256 text not null,
    went_to text not null,
    at integer not null
) strict;

-- Written whenever saving is tried anew after a fault.
create table heartbeat (
    id integer primary key constraint heartbeat_is_one check (id = 1),
    at integer not null
) strict;
