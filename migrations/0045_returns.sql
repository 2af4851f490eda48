-- Why a plant came back, through what, and whether that is charged; and up to what pressure its customer lets it be steamed.

alter table job add column came_back text not null default '';
alter table job add column back_through text constraint job_back_through check (back_through in ('our fault', 'wear', 'use', 'not found'));
alter table job add column back_charged text constraint job_back_charged check (back_charged in ('charged', 'not charged'));
alter table job add column steam_to_bar text not null default ''
    constraint job_steam_to_is_a_figure check (steam_to_bar = '' or steam_to_bar glob '[0-9]*');

drop trigger job_is_found;
create trigger job_is_found after insert on job begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('job', new.id, new.id, new.plant_id, '', printf('%02d-%03d', new.year % 100, new.serial), coalesce(concat_ws(' · ', nullif(new.words, ''), nullif(new.condition, ''), nullif(new.contents, ''), nullif(new.came_back, ''), new.back_through, nullif(new.next_time, ''), nullif(new.private_note, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
drop trigger job_is_found_anew;
create trigger job_is_found_anew after update on job begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('job', new.id, new.id, new.plant_id, '', printf('%02d-%03d', new.year % 100, new.serial), coalesce(concat_ws(' · ', nullif(new.words, ''), nullif(new.condition, ''), nullif(new.contents, ''), nullif(new.came_back, ''), new.back_through, nullif(new.next_time, ''), nullif(new.private_note, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
