-- Looks: a quick try without lists or verdict, what was written during it, and the trial that it became.

create table look (
    id integer primary key,
    job_id integer not null references job (id),
    serial integer not null,
    asks text not null constraint look_asks_something check (trim(asks) <> ''),
    found text not null default '',
    by text not null,
    ended_at integer,
    trial_id integer references trial (id),
    made_at integer not null,
    withdrawn_at integer,
    unique (job_id, serial)
) strict;
create index look_open on look (made_at) where ended_at is null and withdrawn_at is null;
create unique index look_of_trial on look (trial_id) where trial_id is not null;

create table look_line (
    id integer primary key,
    look_id integer not null references look (id),
    job_id integer not null references job (id),
    words text not null constraint look_line_says_something check (trim(words) <> ''),
    -- A key of the trial file's readings and its figure as typed, or neither.
    reading text,
    value text,
    pressed_with text not null default '' constraint look_line_pressed_with check (pressed_with in ('', 'air', 'water', 'steam')),
    picture_id integer references picture (id),
    defect_id integer references defect (id),
    by text not null,
    made_at integer not null,
    withdrawn_at integer,
    constraint look_line_figure check ((reading is null) = (value is null))
) strict;
create index look_line_by_look on look_line (look_id, made_at);
create index look_line_by_defect on look_line (defect_id) where defect_id is not null;

-- What was written while looking stays as it was written; a slip is withdrawn and stays in sight.
create trigger look_line_stays before update on look_line
when new.look_id <> old.look_id or new.words <> old.words or new.reading is not old.reading or new.value is not old.value
    or new.pressed_with <> old.pressed_with or new.picture_id is not old.picture_id or new.defect_id is not old.defect_id
    or new.by <> old.by or new.made_at <> old.made_at begin
    select raise(abort, 'a line of a look stays as it was written: withdraw it and write another');
end;
-- What became a trial is that trial.
create trigger look_stays_a_trial before update on look when old.trial_id is not null and new.trial_id is not old.trial_id begin
    select raise(abort, 'this look became a trial, and stays it');
end;

create trigger look_is_found after insert on look begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('look', new.id, new.job_id, (select plant_id from job where id = new.job_id), '', new.asks, new.found, new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger look_is_found_anew after update on look begin
    update typed set title = new.asks, withdrawn_at = new.withdrawn_at, body = concat_ws(' · ', nullif(new.found, ''),
        (select group_concat(words, ' · ') from look_line l where l.look_id = new.id and l.withdrawn_at is null))
    where subject = 'look' and subject_id = new.id;
end;
create trigger look_line_is_found after insert on look_line begin
    update typed set body = concat_ws(' · ', nullif((select found from look where id = new.look_id), ''),
        (select group_concat(words, ' · ') from look_line l where l.look_id = new.look_id and l.withdrawn_at is null))
    where subject = 'look' and subject_id = new.look_id;
end;
create trigger look_line_is_found_anew after update on look_line begin
    update typed set body = concat_ws(' · ', nullif((select found from look where id = new.look_id), ''),
        (select group_concat(words, ' · ') from look_line l where l.look_id = new.look_id and l.withdrawn_at is null))
    where subject = 'look' and subject_id = new.look_id;
end;

-- A defect says which look it was found in.
drop view defect_line;
create view defect_line as
select d.*, t.serial as trial_serial, s.serial as sitting_serial, j.year as job_year, j.serial as job_serial, p.name as plant,
    w.name as deferred_part, k.id as look_id, k.serial as look_serial,
    d.state = 'deferred' and case d.deferred_until
        when 'sitting' then exists (select 1 from sitting x where x.job_id = d.job_id and x.made_at > d.deferred_since and x.withdrawn_at is null)
            or exists (select 1 from bench_spell b where b.job_id = d.job_id and b.ended_at is null and b.withdrawn_at is null
                and b.began_at > d.deferred_since)
        when 'trial' then exists (select 1 from trial x where x.job_id = d.job_id and x.made_at > d.deferred_since and x.withdrawn_at is null)
        when 'part' then coalesce(w.state in ('in hand', 'fitted') or w.withdrawn_at is not null, 1)
        else 0 end as awaited_came
from defect d join job j on j.id = d.job_id join plant p on p.id = j.plant_id
    left join trial t on t.id = d.trial_id left join sitting s on s.id = d.sitting_id left join part w on w.id = d.deferred_part_id
    left join look_line kl on kl.defect_id = d.id left join look k on k.id = kl.look_id;
