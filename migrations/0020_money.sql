-- What was estimated, what was paid and when, how sums are written, and answers that are kept once given.

alter table workshop add column currency text not null default '£' constraint workshop_currency check (length(trim(currency)) between 1 and 4);
alter table workshop add column hourly_pence integer constraint workshop_hourly check (hourly_pence between 0 and 10000000);
-- Hundredths of a percent: 20 % is 2000. None: no tax is spoken of.
alter table workshop add column tax_hundredths integer constraint workshop_tax check (tax_hundredths between 0 and 10000);

-- The estimate of a job: hours and parts, each from and to, and what it takes for granted.
create table estimate (
    id integer primary key,
    job_id integer not null unique references job (id),
    least_minutes integer not null constraint estimate_least_minutes check (least_minutes between 0 and 6000000),
    most_minutes integer not null constraint estimate_most_minutes check (most_minutes between 0 and 6000000),
    hourly_pence integer not null constraint estimate_hourly check (hourly_pence between 0 and 10000000),
    least_parts_pence integer not null constraint estimate_least_parts check (least_parts_pence >= 0),
    most_parts_pence integer not null constraint estimate_most_parts check (most_parts_pence >= 0),
    assumes text not null default '',
    made_at integer not null,
    withdrawn_at integer,
    constraint estimate_minutes_in_order check (least_minutes <= most_minutes),
    constraint estimate_parts_in_order check (least_parts_pence <= most_parts_pence)
) strict;

create table payment (
    id integer primary key,
    job_id integer not null references job (id),
    on_day text not null constraint payment_is_on_a_day check (on_day glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    what text not null constraint payment_what check (what in ('deposit', 'payment', 'paid back')),
    pence integer not null constraint payment_sum check (pence > 0),
    how text not null default '',
    made_at integer not null,
    withdrawn_at integer
) strict;
create index payment_by_job on payment (job_id);

-- What a job was paid so far is the sum of its payments; the column of the job is kept at that.
create trigger payment_counts after insert on payment begin
    select raise(abort, 'more would be paid back than was paid') where
        (select coalesce(sum(iif(what = 'paid back', -pence, pence)), 0) from payment where job_id = new.job_id and withdrawn_at is null) < 0;
    update job set paid_pence = (select coalesce(sum(iif(what = 'paid back', -pence, pence)), 0) from payment
        where job_id = new.job_id and withdrawn_at is null) where id = new.job_id;
end;
create trigger payment_counts_anew after update on payment begin
    select raise(abort, 'more would be paid back than was paid') where
        (select coalesce(sum(iif(what = 'paid back', -pence, pence)), 0) from payment where job_id = new.job_id and withdrawn_at is null) < 0;
    update job set paid_pence = (select coalesce(sum(iif(what = 'paid back', -pence, pence)), 0) from payment
        where job_id = new.job_id and withdrawn_at is null) where id = new.job_id;
end;

-- What was paid before payments had days becomes one payment on the day the job was booked in.
insert into payment (job_id, on_day, what, pence, how, made_at)
    select id, date(made_at / 1000, 'unixepoch'), 'payment', paid_pence, 'written down before payments had days', made_at
    from job where paid_pence > 0;

-- Who answered, apart from how the answer came.
alter table variation add column answered_how text not null default '';
update variation set answered_how = answered_by, answered_by = '';
-- Whether the customer gave it on the progress page: then nobody takes it back.
alter table variation add column answered_on_page integer not null default 0 constraint variation_on_page check (answered_on_page in (0, 1));
create trigger variation_is_answered_once before update on variation
    when old.answer is not null and new.answer is not null and old.answer <> new.answer begin
    select raise(abort, 'this has been answered; an answer is given once');
end;
create trigger variation_page_answer_stays before update on variation
    when old.answered_on_page = 1 and (new.answer is null or new.answered_at <> old.answered_at or new.answered_by <> old.answered_by
        or new.answered_on_page = 0) begin
    select raise(abort, 'the customer answered this themselves; write another variation');
end;
