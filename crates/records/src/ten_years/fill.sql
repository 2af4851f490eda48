-- Ten years of one workshop. `size` says how much of it, `n` counts, `say` holds words, `here` where the new rows begin.

create temp table n (i integer primary key);
insert into n with recursive c (i) as (select 0 union all select i + 1 from c, size where i + 1 < size.jobs + size.open)
    select i from c;

insert into customer (name, reach, made_at)
    select (select words from say where list = 'title' and at = i % 3) || ' ' || char(65 + i % 23) || '. ' || char(65 + (i / 23) % 23) || '. '
        || (select words from say where list = 'family' and at = i % 11),
        'telephone 0555 ' || (10000 + i), size.from_ms + i * (size.to_ms - size.from_ms) / size.customers
    from n, size where i < size.customers;
insert into plant (name, customer_id, boiler_mark, made_at)
    select (select words from say where list = 'plant' and at = i % 13) || ' ' || (1 + i / 13) || ', ' || (select words from say where list = 'sort' and at = i % 5),
        here.customer + 1 + i % size.customers, 'GT ' || (100 + i), size.from_ms + i * (size.to_ms - size.from_ms) / size.plants
    from n, size, here where i < size.plants;
insert into component (plant_id, kind, name, particulars, made_at)
    select p.id, k.words, replace(k.words, '-', ' '), iif(k.words = 'boiler', size.boiler, '{}'), p.made_at
    from plant p, here, size, say k where p.id > here.plant and k.list = 'kind' order by p.id, k.at;
insert into paper (plant_id, kind, number, pressure_bar, on_day, valid_until, by_whom, made_at)
    select p.id, iif(p.id % 3 = 0, 'insurance', iif(p.id % 3 = 1, 'water test', 'steam test')), 'P' || p.id, '8', date(p.made_at / 1000, 'unixepoch'),
        date(p.made_at / 1000, 'unixepoch', '+2 years'), 'the club', p.made_at
    from plant p, here where p.id > here.plant;
insert into instrument (plant_id, kind, mark, name, full_scale, accuracy, resolution, made_at)
    select p.id, 'pressure gauge', 'K' || p.id, 'dial on the boiler', '10', '1.6', '0.1', p.made_at from plant p, here where p.id > here.plant;

-- Jobs: those of the years before have gone home, a few are open.
create temp table came (i integer primary key, at integer not null, year integer not null);
insert into came select i, at, cast(strftime('%Y', at / 1000, 'unixepoch') as integer) from (
    select i, iif(i < size.jobs, size.from_ms + i * (size.to_ms - size.from_ms) / size.jobs,
        size.now_ms - (5 + (i - size.jobs) * 3) * 86400000) as at from n, size);
insert into job (year, serial, plant_id, words, condition, contents, came_in_on, promised_on, stands, stands_since, me_since, next_time,
        return_of, estimate_pence, made_at)
    select c.year, row_number() over (partition by c.year order by c.i) + coalesce((select max(serial) from job e where e.year = c.year), 0),
        here.plant + 1 + (c.i * 7919) % size.plants,
        (select words from say where list = 'words' and at = c.i % 12), (select words from say where list = 'condition' and at = c.i % 5),
        'plant on its board' || char(10) || 'oil can', date(c.at / 1000, 'unixepoch'), date(c.at / 1000, 'unixepoch', '+60 days'),
        case when c.i < size.jobs then iif(c.i % 25 = 0, 'gone home unrepaired', 'gone home')
            else (select words from say where list = 'stands' and at = c.i % 4) end,
        c.at + 30 * 86400000 * (c.i < size.jobs), iif(c.i >= size.jobs and c.i % 2 = 0, c.at, null),
        iif(c.i >= size.jobs, (select words from say where list = 'next' and at = c.i % 6), ''), null, 20000 + (c.i * 37) % 40000, c.at
    from came c, size, here order by c.i;
create temp table visit (id integer primary key, i integer, at integer, open integer);
insert into visit select j.id, j.id - here.job - 1, j.made_at, j.id - here.job > size.jobs from job j, here, size where j.id > here.job;

insert into job_place (job_id, place, since)
    select v.id, s.words, v.at + s.at * 5 * 86400000 from visit v, say s where s.list = 'stands' and (not v.open or s.at < 2);
insert into sitting (job_id, serial, component_id, on_day, minutes, done, next_time, made_at)
    select v.id, n.i + 1, iif(n.i % 2 = 0, (select min(c.id) from component c where c.plant_id = j.plant_id) + n.i / 2, null),
        date((v.at + n.i * 86400000) / 1000, 'unixepoch'), 40 + (v.i * 7 + n.i * 13) % 120,
        (select words from say where list = 'done' and at = (v.i + n.i) % 10) || ', ' || (v.i % 40) / 10 || '.' || v.i % 10 || ' mm',
        (select words from say where list = 'next' and at = (v.i + n.i) % 6), v.at + n.i * 86400000
    from visit v join job j on j.id = v.id, n where n.i < 6;
insert into defect (job_id, serial, component_id, what, bar, to_do, state, deferred_to, deferred_why, deferred_until, deferred_since,
        cleared_by_sitting, cleared_at, origin, made_at)
    select id, serial, (select min(c.id) from component c where c.plant_id = plant_id_of) + serial % 4,
        (select words from say where list = 'defect' and at = (i + serial) % 10), iif(serial = 1 and i % 4 = 0, 'no steam', iif(serial < 4, 'no handover', 'watch')),
        'see to it', state, iif(state = 'deferred', date((at + 120 * 86400000) / 1000, 'unixepoch'), null), iif(state = 'deferred', 'it can wait', ''),
        iif(serial = 5, 'day', 'sitting'), iif(state = 'deferred', at, null),
        iif(state = 'cleared', (select s.id from sitting s where s.job_id = v.id and s.serial = 4), null), iif(state = 'cleared', at + 86400000, null),
        'examination', at
    from (select v.*, n.i + 1 as serial, j.plant_id as plant_id_of,
        case when v.open then iif(n.i < 3, 'standing', iif(n.i = 3, 'cleared', 'deferred'))
            when n.i = 0 and v.i % 100 = 0 then 'standing' when n.i = 4 and v.i % 10 = 0 then 'deferred' else 'cleared' end as state
        from visit v join job j on j.id = v.id, n where n.i < 5) v;
insert into examination (job_id, component_id, finding, outcome, by, made_at)
    select v.id, (select min(c.id) from component c where c.plant_id = j.plant_id) + n.i, (select words from say where list = 'condition' and at = (v.i + n.i) % 5),
        iif(n.i = 2, 'sound in other respects', 'sound'), 'A. Tester', v.at
    from visit v join job j on j.id = v.id, n where n.i < 4;
insert into part (job_id, name, state, state_since, defect_id, component_id, supplier, price_pence, promised_on, made_at, way, material, count, ordered_on, arrived_on)
    select v.id, (select words from say where list = 'part' and at = (v.i + n.i) % 8),
        iif(v.open, (select words from say where list = 'state' and at = (v.i + n.i) % 5), 'fitted'), v.at,
        (select d.id from defect d where d.job_id = v.id and d.serial = n.i + 1), (select d.component_id from defect d where d.job_id = v.id and d.serial = n.i + 1),
        iif((v.i + n.i) % 3 = 0, '', (select words from say where list = 'supplier' and at = (v.i + n.i) % 4)), 150 + (v.i * 13) % 4000,
        iif(v.open, date(v.at / 1000, 'unixepoch', '+40 days'), null), v.at, iif((v.i + n.i) % 3 = 0, 'make', 'buy'), 'bronze', 1 + v.i % 3,
        date(v.at / 1000, 'unixepoch'), iif(v.open, null, date(v.at / 1000, 'unixepoch', '+9 days'))
    from visit v, n where n.i < 3;
insert into fitted (component_id, job_id, sitting_id, kind, what, was, now, on_day, made_at)
    select (select min(c.id) from component c join job j on j.plant_id = c.plant_id where j.id = s.job_id) + s.serial, s.job_id, s.id,
        iif(s.serial = 3, 'adjustment', (select words from say where list = 'fitted' and at = s.serial % 4)),
        (select words from say where list = 'what' and at = (s.id + s.serial) % 6), iif(s.serial = 3, '0.4 mm', ''), iif(s.serial = 3, '0.1 mm', ''),
        s.on_day, s.made_at
    from sitting s join visit v on v.id = s.job_id where s.serial < 5;
insert into temporary_state (job_id, what, place, how, bar, since, ends_it, ended_at, made_at)
    select v.id, 'Safety valve off, bushing blanked', 'on top', 'blanked', iif(v.i % 6 = 0, 'no steam', 'no handover'), v.at, 'the valve back on',
        iif(v.open, null, v.at + 86400000), v.at from visit v where v.i % 3 = 0;
insert into piece (job_id, what, lies, since, back_at, made_at)
    select v.id, 'funnel and its ring', 'tin ' || v.i % 20, v.at, iif(v.open, null, v.at + 86400000), v.at from visit v;
insert into variation (job_id, serial, what, reason, if_not, price_pence, asked_at, answer, answered_at, answered_by, answered_how, made_at)
    select v.id, 1, (select words from say where list = 'variation' and at = v.i % 4), 'it was found when it was opened', '', 3000 + (v.i * 31) % 9000, v.at,
        iif(v.open and v.i % 3 <> 0, null, iif(v.i % 4 = 0, 'declined', 'agreed')), iif(v.open and v.i % 3 <> 0, null, v.at + 86400000), '', 'by telephone', v.at
    from visit v;
insert into estimate (job_id, least_minutes, most_minutes, hourly_pence, least_parts_pence, most_parts_pence, assumes, made_at)
    select v.id, 300, 600, 3000, 2000, 6000, 'the tubes are sound', v.at from visit v;
insert into payment (job_id, on_day, what, pence, how, made_at)
    select v.id, date(v.at / 1000, 'unixepoch'), iif(n.i = 0, 'deposit', 'payment'), 8000 + v.i % 900, 'by transfer', v.at
    from visit v, n where n.i < iif(v.open, 1, 2);
insert into news (job_id, said, shown, made_at)
    select v.id, (select words from say where list = 'news' and at = (v.i + n.i) % 4), 1, v.at + n.i * 86400000 * 4 from visit v, n where n.i < 2;
insert into publication (job_id, steam_words, changed_at) select v.id, '', v.at from visit v;
insert into published_variation (variation_id) select x.id from variation x join visit v on v.id = x.job_id;
insert into share (job_id, token_sha256, made_at, expires_at, revoked_at)
    select v.id, lower(hex(randomblob(32))), v.at, v.at + 90 * 86400000, iif(v.open, null, v.at) from visit v;
insert into reckoning (job_id, name, title, typed, answer, by, made_at)
    select v.id, r.name, r.title, r.typed, r.answer, r.by, v.at from visit v, (select * from reckoning order by id limit 1) r where v.i % 2 = 0;
insert into appointment (on_day, at_time, who, place, made_at)
    select date(v.at / 1000, 'unixepoch', '+20 days'), '14:30', 'the club''s inspector', 'here', v.at from visit v where v.i % 10 = 0;
insert into appointment_job (appointment_id, job_id, what)
    select a.id, v.id, 'water test, the first' from appointment a join visit v on v.at = a.made_at and v.i % 10 = 0;
insert into look (job_id, serial, asks, found, by, ended_at, made_at)
    select v.id, 1, 'Does the clack stick?', 'it does, cold', size.by, v.at + 600000, v.at from visit v, size where v.i % 3 = 0;
insert into look_line (look_id, job_id, words, by, made_at)
    select l.id, l.job_id, (select words from say where list = 'done' and at = (l.id + n.i) % 10), l.by, l.made_at + n.i * 1000 from look l join visit v on v.id = l.job_id, n where n.i < 3;
insert into change (job_id, subject, subject_id, what, by, at, before, after)
    select v.id, iif(n.i = 0, 'job', 'sitting'), v.id, iif(n.i = 0, 'made', 'changed'), size.by, v.at + n.i * 3600000, '{"next_time":"strip it"}', '{"next_time":"pack it"}'
    from visit v, n, size where n.i < 20;
insert into form_key (key, sent_sha256, went_to, at)
    select lower(hex(randomblob(16))), lower(hex(randomblob(32))), '/jobs', v.at from visit v, n where n.i < 30;
insert into picture (subject, subject_id, plant_id, job_id, caption, taken_on, page_sha256, small_sha256, width, height, small_width, small_height, made_at)
    select iif(n.i < 6, 'sitting', iif(n.i < 8, 'defect', 'job')),
        case when n.i < 6 then (select s.id from sitting s where s.job_id = v.id and s.serial = n.i + 1)
            when n.i < 8 then (select d.id from defect d where d.job_id = v.id and d.serial = n.i - 5) else v.id end,
        j.plant_id, v.id, (select words from say where list = 'caption' and at = (v.i + n.i) % 5), date(v.at / 1000, 'unixepoch'),
        p.page_sha256, p.small_sha256, p.width, p.height, p.small_width, p.small_height, v.at
    from visit v join job j on j.id = v.id, n, (select * from picture order by id limit 1) p where n.i < 10 and (not v.open or n.i < 5);
insert into published_defect (defect_id, words) select d.id, 'It was put right.' from defect d join visit v on v.id = d.job_id where d.serial < 3;
insert into published_picture (picture_id, words) select p.id, 'See here' from picture p join visit v on v.id = p.job_id where p.subject = 'defect';
update fitted set part_id = (select x.id from part x where x.job_id = fitted.job_id order by x.id limit 1), sitting_id = null
    where kind = 'packing' and job_id in (select id from visit);
insert into stock_move (stock_id, what, by_count, made_at) select id, 'come in', 1000000, made_at from stock;
insert into stock_move (stock_id, what, by_count, job_id, sitting_id, price_pence, made_at)
    select (select min(id) from stock) + s.id % (select count(*) from stock), 'drawn', -1 - s.id % 5, s.job_id, s.id, 20, s.made_at
    from sitting s join visit v on v.id = s.job_id where s.serial < 3;
