-- Examination: what was found at a component in a job, by whom, and whether it is sound. A second finding stands beside the
-- first. A defect says which finding it came from, a picture which finding it was taken at.

create table examination (
    id integer primary key,
    job_id integer not null references job (id),
    component_id integer not null references component (id),
    finding text not null constraint examination_says_what check (length(trim(finding)) > 0),
    outcome text not null constraint examination_outcome check (outcome in ('sound', 'sound in other respects', 'defect')),
    by text not null,
    made_at integer not null,
    withdrawn_at integer
) strict;
create index examination_by_job on examination (job_id, component_id);
create index examination_by_component on examination (component_id);

create table examination_picture (
    picture_id integer primary key references picture (id),
    examination_id integer not null references examination (id)
) strict;
create index examination_picture_by_examination on examination_picture (examination_id);

alter table defect add column examination_id integer references examination (id);
create index defect_by_examination on defect (examination_id) where examination_id is not null;

-- What was found of which component, by whom and with which outcome stays; the words alone can be put right, and that is kept.
create trigger examination_stays before update on examination
when new.job_id <> old.job_id or new.component_id <> old.component_id or new.outcome <> old.outcome
    or new.by <> old.by or new.made_at <> old.made_at begin
    select raise(abort, 'a finding stays with its component and its outcome; withdraw it and write another');
end;

create trigger examination_is_found after insert on examination begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('examination', new.id, new.job_id, (select plant_id from job where id = new.job_id),
        coalesce((select kind from component where id = new.component_id), ''), new.finding,
        concat_ws(' · ', (select name from component where id = new.component_id), new.outcome), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger examination_is_found_anew after update on examination begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('examination', new.id, new.job_id, (select plant_id from job where id = new.job_id),
        coalesce((select kind from component where id = new.component_id), ''), new.finding,
        concat_ws(' · ', (select name from component where id = new.component_id), new.outcome), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;

-- A finding with the words for what it is of, and how many pictures were taken at it.
create view examination_line as
select e.*, c.name as component, j.year as job_year, j.serial as job_serial, j.plant_id, p.name as plant,
    (select count(*) from examination_picture l join picture x on x.id = l.picture_id
        where l.examination_id = e.id and x.withdrawn_at is null) as pictures
from examination e join component c on c.id = e.component_id join job j on j.id = e.job_id join plant p on p.id = j.plant_id;
