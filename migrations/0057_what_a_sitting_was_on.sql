-- The component that a sitting was spent on, where it was one: found with it, and in all that happened to it.

alter table sitting add column component_id integer references component (id);

create index sitting_by_component on sitting (component_id) where component_id is not null;

drop trigger sitting_is_found;
drop trigger sitting_is_found_anew;
create trigger sitting_is_found after insert on sitting begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('sitting', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce((select kind from component where id = new.component_id), ''), 'sitting ' || new.serial, coalesce(concat_ws(' · ', (select name from component where id = new.component_id), new.done, nullif(new.next_time, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger sitting_is_found_anew after update on sitting begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('sitting', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce((select kind from component where id = new.component_id), ''), 'sitting ' || new.serial, coalesce(concat_ws(' · ', (select name from component where id = new.component_id), new.done, nullif(new.next_time, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
