-- Pictures: each of something, stored by its content beside this file; and which of them the customer sees.

create table picture (
    id integer primary key,
    subject text not null constraint picture_subject check (subject in
        ('job', 'component', 'defect', 'sitting', 'part', 'variation', 'paper', 'trial')),
    subject_id integer not null,
    plant_id integer not null references plant (id),
    job_id integer references job (id),
    caption text not null default '',
    taken_on text not null constraint picture_taken_is_a_day check (taken_on glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    page_sha256 text not null constraint picture_page_hash check (length(page_sha256) = 64),
    small_sha256 text not null constraint picture_small_hash check (length(small_sha256) = 64),
    width integer not null constraint picture_width check (width > 0),
    height integer not null constraint picture_height check (height > 0),
    small_width integer not null constraint picture_small_width check (small_width > 0),
    small_height integer not null constraint picture_small_height check (small_height > 0),
    made_at integer not null,
    withdrawn_at integer
) strict;
create index picture_by_subject on picture (subject, subject_id);
create index picture_by_job on picture (job_id);
create index picture_by_plant on picture (plant_id);
create index picture_by_page on picture (page_sha256);
create index picture_by_small on picture (small_sha256);

-- Ticked for the customer, in words meant for them.
create table published_picture (
    picture_id integer primary key references picture (id),
    words text not null default ''
) strict;

-- Whether the customer agreed that pictures are put up: on which day, and how they said so.
alter table customer add column pictures_agreed_on text constraint customer_agreed_is_a_day
    check (pictures_agreed_on glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]');
alter table customer add column pictures_agreed_how text not null default '';

-- A picture with the words for what it is of.
create view picture_line as
select p.*, j.year as job_year, j.serial as job_serial, l.name as plant,
    case p.subject
        when 'component' then (select 'component ' || x.name from component x where x.id = p.subject_id)
        when 'defect' then (select 'defect ' || x.serial || ', ' || x.what from defect x where x.id = p.subject_id)
        when 'sitting' then (select 'sitting ' || x.serial from sitting x where x.id = p.subject_id)
        when 'part' then (select 'part ' || x.name from part x where x.id = p.subject_id)
        when 'variation' then (select 'variation ' || x.serial || ', ' || x.what from variation x where x.id = p.subject_id)
        when 'trial' then (select 'trial ' || x.serial || ', ' || replace(x.kind, '-', ' ') from trial x where x.id = p.subject_id)
        else 'the job' end as of_what
from picture p join plant l on l.id = p.plant_id left join job j on j.id = p.job_id;
