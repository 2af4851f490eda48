-- What is fitted to a component, and what was adjusted on it: from a sitting, with a part, or known of old.

create table fitted (
    id integer primary key,
    component_id integer not null references component (id),
    job_id integer references job (id),
    sitting_id integer references sitting (id),
    part_id integer references part (id),
    kind text not null constraint fitted_kind check (kind in
        ('packing', 'gasket', 'sealant', 'oil', 'jet', 'thread', 'adjustment', 'other')),
    what text not null constraint fitted_says_what check (length(trim(what)) > 0),
    was text not null default '',
    now text not null default '',
    on_day text not null constraint fitted_is_on_a_day check (on_day glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    made_at integer not null,
    withdrawn_at integer,
    constraint fitted_by_one check (sitting_id is null or part_id is null),
    constraint fitted_adjustment_says_from_what_to_what check (kind <> 'adjustment' or (length(trim(was)) > 0 and length(trim(now)) > 0))
) strict;
create index fitted_by_component on fitted (component_id, on_day);
create index fitted_by_sitting on fitted (sitting_id);
create index fitted_by_part on fitted (part_id);

-- What was fitted, with the words for where and by what.
create view fitted_line as
select f.*, c.name as component, c.plant_id, j.year as job_year, j.serial as job_serial,
    s.serial as sitting_serial, p.name as part
from fitted f join component c on c.id = f.component_id left join job j on j.id = f.job_id
    left join sitting s on s.id = f.sitting_id left join part p on p.id = f.part_id;
create index defect_by_component on defect (component_id);
create index part_by_component on part (component_id);
