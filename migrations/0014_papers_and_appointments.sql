-- Other people's papers, when a plant must be tested again, and who comes when.

create table paper (
    id integer primary key,
    plant_id integer not null references plant (id),
    kind text not null constraint paper_kind check (kind in ('water test', 'steam test', 'certificate', 'insurance', 'other')),
    number text not null default '',
    pressure_bar text not null default '',
    on_day text not null constraint paper_is_on_a_day check (on_day glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    valid_until text constraint paper_valid_is_a_day check (valid_until glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    by_whom text not null default '',
    note text not null default '',
    made_at integer not null,
    withdrawn_at integer,
    constraint paper_is_valid_after_its_day check (valid_until >= on_day)
) strict;
create index paper_by_plant on paper (plant_id);

-- How often a boiler is tested again, where no paper says sooner.
create table retest_rule (
    id integer primary key constraint retest_rule_is_one check (id = 1),
    copper_months integer not null constraint retest_copper check (copper_months between 1 and 240),
    other_months integer not null constraint retest_other check (other_months between 1 and 240),
    steam_months integer not null constraint retest_steam check (steam_months between 1 and 240),
    ahead_days integer not null constraint retest_ahead check (ahead_days between 0 and 730)
) strict;

create table appointment (
    id integer primary key,
    on_day text not null constraint appointment_is_on_a_day check (on_day glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    at_time text not null default '' constraint appointment_time check (at_time = '' or at_time glob '[0-2][0-9]:[0-5][0-9]'),
    who text not null constraint appointment_says_who check (length(trim(who)) > 0),
    place text not null default '',
    at_hand text not null default '',
    note text not null default '',
    changes integer not null default 0,
    made_at integer not null,
    withdrawn_at integer
) strict;
create index appointment_by_day on appointment (on_day);

create table appointment_job (
    appointment_id integer not null references appointment (id),
    job_id integer not null references job (id),
    what text not null constraint appointment_what check (what in
        ('water test, the first', 'water test, a repeat', 'steam test', 'to be looked at')),
    primary key (appointment_id, job_id)
) strict;
create index appointment_job_by_job on appointment_job (job_id);

-- The private address of the calendar: only its hash is kept.
create table calendar_key (
    id integer primary key constraint calendar_key_is_one check (id = 1),
    token_sha256 text not null constraint calendar_key_hash check (length(token_sha256) = 64),
    made_at integer not null
) strict;

drop view picture_line;
create view picture_line as
select p.*, j.year as job_year, j.serial as job_serial, l.name as plant,
    case p.subject
        when 'component' then (select 'component ' || x.name from component x where x.id = p.subject_id)
        when 'defect' then (select 'defect ' || x.serial || ', ' || x.what from defect x where x.id = p.subject_id)
        when 'sitting' then (select 'sitting ' || x.serial from sitting x where x.id = p.subject_id)
        when 'part' then (select 'part ' || x.name from part x where x.id = p.subject_id)
        when 'variation' then (select 'variation ' || x.serial || ', ' || x.what from variation x where x.id = p.subject_id)
        when 'trial' then (select 'trial ' || x.serial || ', ' || replace(x.kind, '-', ' ') from trial x where x.id = p.subject_id)
        when 'paper' then (select 'paper ' || x.kind || ' ' || x.number from paper x where x.id = p.subject_id)
        else 'the job' end as of_what
from picture p join plant l on l.id = p.plant_id left join job j on j.id = p.job_id;

create trigger paper_is_found after insert on paper begin
    insert into typed (subject, subject_id, plant_id, title, body, at, withdrawn_at)
    values ('paper', new.id, new.plant_id, 'paper: ' || new.kind || ' ' || new.number,
        concat_ws(' · ', nullif(new.by_whom, ''), nullif(new.pressure_bar, '') || ' bar', new.on_day, nullif(new.note, '')), new.made_at, new.withdrawn_at);
end;
create trigger paper_is_found_anew after update on paper begin
    insert into typed (subject, subject_id, plant_id, title, body, at, withdrawn_at)
    values ('paper', new.id, new.plant_id, 'paper: ' || new.kind || ' ' || new.number,
        concat_ws(' · ', nullif(new.by_whom, ''), nullif(new.pressure_bar, '') || ' bar', new.on_day, nullif(new.note, '')), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger appointment_is_found after insert on appointment begin
    insert into typed (subject, subject_id, title, body, at, withdrawn_at)
    values ('appointment', new.id, new.who || ', ' || new.on_day,
        concat_ws(' · ', nullif(new.place, ''), nullif(new.at_hand, ''), nullif(new.note, '')), new.made_at, new.withdrawn_at);
end;
create trigger appointment_is_found_anew after update on appointment begin
    insert into typed (subject, subject_id, title, body, at, withdrawn_at)
    values ('appointment', new.id, new.who || ', ' || new.on_day,
        concat_ws(' · ', nullif(new.place, ''), nullif(new.at_hand, ''), nullif(new.note, '')), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
