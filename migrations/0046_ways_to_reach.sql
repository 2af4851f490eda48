-- Ways to reach a customer by their kind, and which of them comes first. What was written before stays among the other ways,
-- unless all of it is one number or one e-mail address.

alter table customer add column telephone text not null default '';
alter table customer add column email text not null default '';
alter table customer add column letter text not null default '';
alter table customer add column prefers text not null default ''
    constraint customer_prefers check (prefers in ('', 'telephone', 'e-mail', 'letter', 'other'));

drop trigger customer_is_found;
create trigger customer_is_found after insert on customer begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('customer', new.id, null, null, '', new.name, coalesce(concat_ws(' · ', nullif(new.telephone, ''), nullif(new.email, ''), nullif(new.letter, ''), nullif(new.reach, ''), nullif(new.note, ''), nullif(new.pictures_agreed_how, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
drop trigger customer_is_found_anew;
create trigger customer_is_found_anew after update on customer begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('customer', new.id, null, null, '', new.name, coalesce(concat_ws(' · ', nullif(new.telephone, ''), nullif(new.email, ''), nullif(new.letter, ''), nullif(new.reach, ''), nullif(new.note, ''), nullif(new.pictures_agreed_how, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;

update customer set telephone = trim(reach), reach = '' where trim(reach) glob '*[0-9]*' and trim(reach) not glob '*[^0-9 +()/-]*';
update customer set email = trim(reach), reach = '' where trim(reach) glob '?*@?*.?*' and trim(reach) not glob '*[ ,;]*' and instr(trim(reach), char(10)) = 0;
