-- A sitting that has begun and is not put down yet: since when, and the sitting that it became.

create table bench_spell (
    id integer primary key,
    job_id integer not null references job (id),
    began_at integer not null,
    by text not null,
    ended_at integer,
    sitting_id integer references sitting (id),
    made_at integer not null,
    withdrawn_at integer,
    constraint bench_spell_ends_later check (ended_at >= began_at)
) strict;
create unique index bench_spell_running on bench_spell (job_id) where ended_at is null and withdrawn_at is null;

-- What was put off to the next sitting is back as soon as that sitting has begun.
drop view defect_line;
create view defect_line as
select d.*, t.serial as trial_serial, s.serial as sitting_serial, j.year as job_year, j.serial as job_serial, p.name as plant,
    w.name as deferred_part,
    d.state = 'deferred' and case d.deferred_until
        when 'sitting' then exists (select 1 from sitting x where x.job_id = d.job_id and x.made_at > d.deferred_since and x.withdrawn_at is null)
            or exists (select 1 from bench_spell b where b.job_id = d.job_id and b.ended_at is null and b.withdrawn_at is null
                and b.began_at > d.deferred_since)
        when 'trial' then exists (select 1 from trial x where x.job_id = d.job_id and x.made_at > d.deferred_since and x.withdrawn_at is null)
        when 'part' then coalesce(w.state in ('in hand', 'fitted') or w.withdrawn_at is not null, 1)
        else 0 end as awaited_came
from defect d join job j on j.id = d.job_id join plant p on p.id = j.plant_id
    left join trial t on t.id = d.trial_id left join sitting s on s.id = d.sitting_id left join part w on w.id = d.deferred_part_id;
