-- Every trial again and again, on another job: an equal head and equal texts make an equal chain, so each copy is whole.

create temp table again (id integer primary key, template integer not null, job_id integer not null, serial integer not null, at integer not null, label text not null);
insert into again
    select here.trial + 1 + x.i, (select id from template t where t.at = x.i % (select count(*) from template)), x.job_id, x.serial, x.at + x.serial * 86400000,
        printf('%02d-%03d/%d', j.year % 100, j.serial, x.serial)
    from (select row_number() over (order by n.i, v.id) - 1 as i, v.id as job_id, n.i + iif(v.i = 0, 6, 1) as serial, v.at as at from visit v, n, size
        where n.i < 3) x join job j on j.id = x.job_id, here, size where x.i < size.trials;
insert into trial (id, job_id, serial, kind, question, head, head_hash, state, made_at, started_at)
    select a.id, a.job_id, a.serial, t.kind, t.question, t.head, t.head_hash, 'running', a.at, a.at from again a join trial t on t.id = a.template;
insert into entry (trial_id, seq, key, sent_sha256, text, t_s, received_at, prev_hash, hash)
    select a.id, e.seq, printf('generated-%07d-%05d', a.id, e.seq), e.sent_sha256, e.text, e.t_s, a.at + cast(e.t_s * 1000 as integer), e.prev_hash, e.hash
    from again a join entry e on e.trial_id = a.template order by a.id, e.seq;
insert into phone (trial_id, device, who, last_n, first_at, seen_at) select a.id, 'generated-phone', 'the owner', 1, a.at, a.at from again a;
update trial set (state, closed_at, number, verdict, because, answer, sealed_entries, sealed_hash) =
    (select 'closed', a.at + t.closed_at - t.started_at, a.label, t.verdict, t.because, t.answer, t.sealed_entries, t.sealed_hash
    from again a join trial t on t.id = a.template where a.id = trial.id)
    where id in (select id from again);
drop table again;
drop table template;
drop table visit;
drop table came;
drop table say;
drop table here;
drop table size;
drop table n;
