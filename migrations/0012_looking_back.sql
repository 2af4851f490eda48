-- Looking back: everything that was typed, in one index of words that triggers keep up to date.

create table typed (
    id integer primary key,
    subject text not null,
    subject_id integer not null,
    job_id integer,
    plant_id integer,
    component_kind text not null default '',
    title text not null,
    body text not null default '',
    at integer not null,
    withdrawn_at integer,
    unique (subject, subject_id)
) strict;

create index typed_by_plant on typed (plant_id, at);
create index typed_by_kind on typed (component_kind, at) where component_kind <> '';

create virtual table word_index using fts5 (
    title, body, content = 'typed', content_rowid = 'id', tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3'
);
-- What was erased is gone from the index too, not only marked.
insert into word_index (word_index, rank) values ('secure-delete', 1);

create trigger typed_is_indexed after insert on typed begin
    insert into word_index (rowid, title, body) values (new.id, new.title, new.body);
end;
create trigger typed_is_indexed_anew after update of title, body on typed
when new.title <> old.title or new.body <> old.body begin
    insert into word_index (word_index, rowid, title, body) values ('delete', old.id, old.title, old.body);
    insert into word_index (rowid, title, body) values (new.id, new.title, new.body);
end;
create trigger typed_is_no_longer_indexed after delete on typed begin
    insert into word_index (word_index, rowid, title, body) values ('delete', old.id, old.title, old.body);
end;

create trigger job_is_found after insert on job begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('job', new.id, new.id, new.plant_id, coalesce('', ''), printf('%02d-%03d', new.year % 100, new.serial), coalesce(concat_ws(' · ', nullif(new.words, ''), nullif(new.condition, ''), nullif(new.contents, ''), nullif(new.next_time, ''), nullif(new.private_note, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger job_is_found_anew after update on job begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('job', new.id, new.id, new.plant_id, coalesce('', ''), printf('%02d-%03d', new.year % 100, new.serial), coalesce(concat_ws(' · ', nullif(new.words, ''), nullif(new.condition, ''), nullif(new.contents, ''), nullif(new.next_time, ''), nullif(new.private_note, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger plant_is_found after insert on plant begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('plant', new.id, null, new.id, coalesce('', ''), new.name, coalesce(concat_ws(' · ', nullif(new.boiler_mark, ''), nullif(new.note, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger plant_is_found_anew after update on plant begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('plant', new.id, null, new.id, coalesce('', ''), new.name, coalesce(concat_ws(' · ', nullif(new.boiler_mark, ''), nullif(new.note, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger customer_is_found after insert on customer begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('customer', new.id, null, null, coalesce('', ''), new.name, coalesce(concat_ws(' · ', nullif(new.reach, ''), nullif(new.note, ''), nullif(new.pictures_agreed_how, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger customer_is_found_anew after update on customer begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('customer', new.id, null, null, coalesce('', ''), new.name, coalesce(concat_ws(' · ', nullif(new.reach, ''), nullif(new.note, ''), nullif(new.pictures_agreed_how, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger component_is_found after insert on component begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('component', new.id, null, new.plant_id, coalesce(new.kind, ''), new.name, coalesce(concat_ws(' · ', new.kind, nullif(new.note, ''), (select group_concat(replace(key, '_', ' ') || ' ' || atom, ', ') from json_tree(new.particulars) where atom is not null)), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger component_is_found_anew after update on component begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('component', new.id, null, new.plant_id, coalesce(new.kind, ''), new.name, coalesce(concat_ws(' · ', new.kind, nullif(new.note, ''), (select group_concat(replace(key, '_', ' ') || ' ' || atom, ', ') from json_tree(new.particulars) where atom is not null)), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger defect_is_found after insert on defect begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('defect', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce((select kind from component where id = new.component_id), ''), new.what, coalesce(concat_ws(' · ', new.bar, nullif(new.to_do, ''), nullif(new.deferred_why, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger defect_is_found_anew after update on defect begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('defect', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce((select kind from component where id = new.component_id), ''), new.what, coalesce(concat_ws(' · ', new.bar, nullif(new.to_do, ''), nullif(new.deferred_why, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger sitting_is_found after insert on sitting begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('sitting', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), 'sitting ' || new.serial, coalesce(concat_ws(' · ', new.done, nullif(new.next_time, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger sitting_is_found_anew after update on sitting begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('sitting', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), 'sitting ' || new.serial, coalesce(concat_ws(' · ', new.done, nullif(new.next_time, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger part_is_found after insert on part begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('part', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce((select kind from component where id = new.component_id), ''), new.name, coalesce(concat_ws(' · ', new.state, nullif(new.supplier, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger part_is_found_anew after update on part begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('part', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce((select kind from component where id = new.component_id), ''), new.name, coalesce(concat_ws(' · ', new.state, nullif(new.supplier, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger variation_is_found after insert on variation begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('variation', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), new.what, coalesce(concat_ws(' · ', nullif(new.reason, ''), nullif(new.if_not, ''), new.answer, nullif(new.answered_by, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger variation_is_found_anew after update on variation begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('variation', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), new.what, coalesce(concat_ws(' · ', nullif(new.reason, ''), nullif(new.if_not, ''), new.answer, nullif(new.answered_by, '')), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger temporary_state_is_found after insert on temporary_state begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('state', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), new.what, coalesce(concat_ws(' · ', new.how, nullif(new.place, ''), new.ends_it), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger temporary_state_is_found_anew after update on temporary_state begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('state', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), new.what, coalesce(concat_ws(' · ', new.how, nullif(new.place, ''), new.ends_it), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger piece_is_found after insert on piece begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('piece', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), new.what, coalesce(new.lies, ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger piece_is_found_anew after update on piece begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('piece', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), new.what, coalesce(new.lies, ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger news_is_found after insert on news begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('news', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), 'news', coalesce(new.said, ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger news_is_found_anew after update on news begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('news', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), 'news', coalesce(new.said, ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger reckoning_is_found after insert on reckoning begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('reckoning', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), new.title, coalesce(concat_ws(' · ', replace(new.name, '-', ' '), nullif(new.verdict, ''), new.by), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger reckoning_is_found_anew after update on reckoning begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('reckoning', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), new.title, coalesce(concat_ws(' · ', replace(new.name, '-', ' '), nullif(new.verdict, ''), new.by), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger picture_is_found after insert on picture begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('picture', new.id, new.job_id, new.plant_id, coalesce(case when new.subject = 'component' then (select kind from component where id = new.subject_id) else '' end, ''), case when new.caption = '' then 'picture' else new.caption end, coalesce('', ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger picture_is_found_anew after update on picture begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('picture', new.id, new.job_id, new.plant_id, coalesce(case when new.subject = 'component' then (select kind from component where id = new.subject_id) else '' end, ''), case when new.caption = '' then 'picture' else new.caption end, coalesce('', ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger fitted_is_found after insert on fitted begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('fitted', new.id, new.job_id, (select plant_id from component where id = new.component_id), coalesce((select kind from component where id = new.component_id), ''), new.kind || ': ' || new.what, coalesce(concat_ws(' · ', (select name from component where id = new.component_id), nullif(new.was, ''), nullif(new.now, ''), new.on_day), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger fitted_is_found_anew after update on fitted begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('fitted', new.id, new.job_id, (select plant_id from component where id = new.component_id), coalesce((select kind from component where id = new.component_id), ''), new.kind || ': ' || new.what, coalesce(concat_ws(' · ', (select name from component where id = new.component_id), nullif(new.was, ''), nullif(new.now, ''), new.on_day), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger trial_is_found after insert on trial begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('trial', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), coalesce(json_extract(new.head, '$.title'), new.kind), coalesce(concat_ws(' · ', nullif(new.question, ''), new.because), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
create trigger trial_is_found_anew after update on trial begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('trial', new.id, new.job_id, (select plant_id from job where id = new.job_id), coalesce('', ''), coalesce(json_extract(new.head, '$.title'), new.kind), coalesce(concat_ws(' · ', nullif(new.question, ''), new.because), ''), new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set plant_id = excluded.plant_id, component_kind = excluded.component_kind,
        title = excluded.title, body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;

-- Notes in a trial's log; the log itself is never altered, so there is nothing to keep up to date.
create trigger entry_note_is_found after insert on entry when json_extract(new.text, '$.note') is not null begin
    insert into typed (subject, subject_id, job_id, plant_id, title, body, at)
    select 'entry', new.id, t.job_id, j.plant_id, 'note in trial ' || printf('%02d-%03d/%d', j.year % 100, j.serial, t.serial),
        json_extract(new.text, '$.note'), new.received_at
    from trial t join job j on j.id = t.job_id where t.id = new.trial_id;
end;

-- What was typed before there was an index.
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'job', x.id, x.id, x.plant_id, coalesce('', ''), printf('%02d-%03d', x.year % 100, x.serial), coalesce(concat_ws(' · ', nullif(x.words, ''), nullif(x.condition, ''), nullif(x.contents, ''), nullif(x.next_time, ''), nullif(x.private_note, '')), ''), x.made_at, x.withdrawn_at from job x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'plant', x.id, null, x.id, coalesce('', ''), x.name, coalesce(concat_ws(' · ', nullif(x.boiler_mark, ''), nullif(x.note, '')), ''), x.made_at, x.withdrawn_at from plant x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'customer', x.id, null, null, coalesce('', ''), x.name, coalesce(concat_ws(' · ', nullif(x.reach, ''), nullif(x.note, ''), nullif(x.pictures_agreed_how, '')), ''), x.made_at, x.withdrawn_at from customer x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'component', x.id, null, x.plant_id, coalesce(x.kind, ''), x.name, coalesce(concat_ws(' · ', x.kind, nullif(x.note, ''), (select group_concat(replace(key, '_', ' ') || ' ' || atom, ', ') from json_tree(x.particulars) where atom is not null)), ''), x.made_at, x.withdrawn_at from component x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'defect', x.id, x.job_id, (select plant_id from job where id = x.job_id), coalesce((select kind from component where id = x.component_id), ''), x.what, coalesce(concat_ws(' · ', x.bar, nullif(x.to_do, ''), nullif(x.deferred_why, '')), ''), x.made_at, x.withdrawn_at from defect x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'sitting', x.id, x.job_id, (select plant_id from job where id = x.job_id), coalesce('', ''), 'sitting ' || x.serial, coalesce(concat_ws(' · ', x.done, nullif(x.next_time, '')), ''), x.made_at, x.withdrawn_at from sitting x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'part', x.id, x.job_id, (select plant_id from job where id = x.job_id), coalesce((select kind from component where id = x.component_id), ''), x.name, coalesce(concat_ws(' · ', x.state, nullif(x.supplier, '')), ''), x.made_at, x.withdrawn_at from part x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'variation', x.id, x.job_id, (select plant_id from job where id = x.job_id), coalesce('', ''), x.what, coalesce(concat_ws(' · ', nullif(x.reason, ''), nullif(x.if_not, ''), x.answer, nullif(x.answered_by, '')), ''), x.made_at, x.withdrawn_at from variation x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'state', x.id, x.job_id, (select plant_id from job where id = x.job_id), coalesce('', ''), x.what, coalesce(concat_ws(' · ', x.how, nullif(x.place, ''), x.ends_it), ''), x.made_at, x.withdrawn_at from temporary_state x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'piece', x.id, x.job_id, (select plant_id from job where id = x.job_id), coalesce('', ''), x.what, coalesce(x.lies, ''), x.made_at, x.withdrawn_at from piece x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'news', x.id, x.job_id, (select plant_id from job where id = x.job_id), coalesce('', ''), 'news', coalesce(x.said, ''), x.made_at, x.withdrawn_at from news x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'reckoning', x.id, x.job_id, (select plant_id from job where id = x.job_id), coalesce('', ''), x.title, coalesce(concat_ws(' · ', replace(x.name, '-', ' '), nullif(x.verdict, ''), x.by), ''), x.made_at, x.withdrawn_at from reckoning x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'picture', x.id, x.job_id, x.plant_id, coalesce(case when x.subject = 'component' then (select kind from component where id = x.subject_id) else '' end, ''), case when x.caption = '' then 'picture' else x.caption end, coalesce('', ''), x.made_at, x.withdrawn_at from picture x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'fitted', x.id, x.job_id, (select plant_id from component where id = x.component_id), coalesce((select kind from component where id = x.component_id), ''), x.kind || ': ' || x.what, coalesce(concat_ws(' · ', (select name from component where id = x.component_id), nullif(x.was, ''), nullif(x.now, ''), x.on_day), ''), x.made_at, x.withdrawn_at from fitted x;
insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
select 'trial', x.id, x.job_id, (select plant_id from job where id = x.job_id), coalesce('', ''), coalesce(json_extract(x.head, '$.title'), x.kind), coalesce(concat_ws(' · ', nullif(x.question, ''), x.because), ''), x.made_at, x.withdrawn_at from trial x;
insert into typed (subject, subject_id, job_id, plant_id, title, body, at)
select 'entry', x.id, t.job_id, j.plant_id, 'note in trial ' || printf('%02d-%03d/%d', j.year % 100, j.serial, t.serial),
    json_extract(x.text, '$.note'), x.received_at
from entry x join trial t on t.id = x.trial_id join job j on j.id = t.job_id where json_extract(x.text, '$.note') is not null;
