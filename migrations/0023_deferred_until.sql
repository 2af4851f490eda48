-- A defect is put off to a day, or until a sitting, a part or a trial, and then at the latest to that day.

alter table defect add column deferred_until text not null default 'day'
    constraint defect_deferred_until check (deferred_until in ('day', 'sitting', 'part', 'trial'));
alter table defect add column deferred_part_id integer references part (id);
alter table defect add column deferred_since integer;
update defect set deferred_since = made_at where state = 'deferred';
create index defect_deferred on defect (job_id) where state = 'deferred' and withdrawn_at is null;

-- A defect with where it was found, and whether what it waited for has come: a sitting or a trial since it was put off, or
-- its part in hand. Whether its day has come is for who knows the calendar.
create view defect_line as
select d.*, t.serial as trial_serial, s.serial as sitting_serial, j.year as job_year, j.serial as job_serial, p.name as plant,
    w.name as deferred_part,
    d.state = 'deferred' and case d.deferred_until
        when 'sitting' then exists (select 1 from sitting x where x.job_id = d.job_id and x.made_at > d.deferred_since and x.withdrawn_at is null)
        when 'trial' then exists (select 1 from trial x where x.job_id = d.job_id and x.made_at > d.deferred_since and x.withdrawn_at is null)
        when 'part' then coalesce(w.state in ('in hand', 'fitted') or w.withdrawn_at is not null, 1)
        else 0 end as awaited_came
from defect d join job j on j.id = d.job_id join plant p on p.id = j.plant_id
    left join trial t on t.id = d.trial_id left join sitting s on s.id = d.sitting_id left join part w on w.id = d.deferred_part_id;
