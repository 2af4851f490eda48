-- The register of instruments, and a plant's gauge held against a test gauge. Figures are kept as typed.

create table instrument (
    id integer primary key,
    plant_id integer references plant (id),
    kind text not null constraint instrument_kind check (kind in
        ('pressure gauge', 'thermometer', 'CO meter', 'scale', 'stopwatch', 'other')),
    mark text not null constraint instrument_has_mark check (length(trim(mark)) between 1 and 60),
    name text not null default '',
    full_scale text not null default '',
    accuracy text not null default '',
    resolution text not null default '',
    repeatability text not null default '',
    calibrated_on text constraint instrument_calibrated_is_a_day check (calibrated_on glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    calibrated_by text not null default '',
    due_on text constraint instrument_due_is_a_day check (due_on glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    note text not null default '',
    made_at integer not null,
    withdrawn_at integer
) strict;
create index instrument_by_plant on instrument (plant_id);

create table comparison (
    id integer primary key,
    instrument_id integer not null references instrument (id),
    against_id integer not null references instrument (id) constraint comparison_is_with_another check (against_id <> instrument_id),
    on_day text not null constraint comparison_is_on_a_day check (on_day glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    gauges text not null constraint comparison_gauges_are_json check (json_valid(gauges)),
    points text not null constraint comparison_points_are_json check (json_valid(points)),
    by text not null,
    note text not null default '',
    made_at integer not null,
    withdrawn_at integer
) strict;
create index comparison_by_instrument on comparison (instrument_id);

create trigger instrument_is_found after insert on instrument begin
    insert into typed (subject, subject_id, plant_id, title, body, at, withdrawn_at)
    values ('instrument', new.id, new.plant_id, new.kind || ' ' || new.mark,
        concat_ws(' · ', nullif(new.name, ''), nullif(new.calibrated_by, ''), nullif(new.note, '')), new.made_at, new.withdrawn_at);
end;
create trigger instrument_is_found_anew after update on instrument begin
    insert into typed (subject, subject_id, plant_id, title, body, at, withdrawn_at)
    values ('instrument', new.id, new.plant_id, new.kind || ' ' || new.mark,
        concat_ws(' · ', nullif(new.name, ''), nullif(new.calibrated_by, ''), nullif(new.note, '')), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, title = excluded.title, body = excluded.body,
        withdrawn_at = excluded.withdrawn_at;
end;
