-- What is written of estimates, payments and stock is found too, and what a part is made of.

create trigger estimate_is_found after insert on estimate begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('estimate', new.id, new.job_id, (select plant_id from job where id = new.job_id), '', 'estimate', new.assumes, new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger estimate_is_found_anew after update on estimate begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('estimate', new.id, new.job_id, (select plant_id from job where id = new.job_id), '', 'estimate', new.assumes, new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger payment_is_found after insert on payment begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('payment', new.id, new.job_id, (select plant_id from job where id = new.job_id), '', concat_ws(' ', new.what, new.on_day), new.how, new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger payment_is_found_anew after update on payment begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('payment', new.id, new.job_id, (select plant_id from job where id = new.job_id), '', concat_ws(' ', new.what, new.on_day), new.how, new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger stock_is_found after insert on stock begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('stock', new.id, null, null, '', new.name, coalesce(concat_ws(' · ', nullif(new.supplier, ''), nullif(new.lies, ''), nullif(new.note, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger stock_is_found_anew after update on stock begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('stock', new.id, null, null, '', new.name, coalesce(concat_ws(' · ', nullif(new.supplier, ''), nullif(new.lies, ''), nullif(new.note, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
drop trigger if exists part_is_found;
create trigger part_is_found after insert on part begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('part', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce((select kind from component where id = new.component_id), ''), new.name, coalesce(concat_ws(' · ', new.state, nullif(new.supplier, ''), nullif(new.material, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
drop trigger if exists part_is_found_anew;
create trigger part_is_found_anew after update on part begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('part', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce((select kind from component where id = new.component_id), ''), new.name, coalesce(concat_ws(' · ', new.state, nullif(new.supplier, ''), nullif(new.material, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;

insert into typed (subject, subject_id, job_id, plant_id, title, body, at, withdrawn_at)
select 'estimate', x.id, x.job_id, (select plant_id from job where id = x.job_id), 'estimate', x.assumes, x.made_at, x.withdrawn_at from estimate x;
insert into typed (subject, subject_id, job_id, plant_id, title, body, at, withdrawn_at)
select 'payment', x.id, x.job_id, (select plant_id from job where id = x.job_id), concat_ws(' ', x.what, x.on_day), x.how, x.made_at, x.withdrawn_at from payment x;
insert into typed (subject, subject_id, title, body, at, withdrawn_at)
select 'stock', x.id, x.name, coalesce(concat_ws(' · ', nullif(x.supplier, ''), nullif(x.lies, ''), nullif(x.note, '')), ''), x.made_at, x.withdrawn_at from stock x;
update typed set body = (select coalesce(concat_ws(' · ', x.state, nullif(x.supplier, ''), nullif(x.material, '')), '') from part x where x.id = typed.subject_id)
    where subject = 'part' and exists (select 1 from part x where x.id = typed.subject_id and x.material <> '');
