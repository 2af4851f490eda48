-- Small stock: what is used all the time, with its count, and every draw of it.

create table stock (
    id integer primary key,
    name text not null constraint stock_has_name check (length(trim(name)) > 0),
    unit text not null default '' constraint stock_unit check (length(unit) <= 20),
    count integer not null default 0 constraint stock_count check (count between 0 and 1000000000),
    least integer constraint stock_least check (least between 0 and 1000000000),
    price_pence integer constraint stock_price check (price_pence >= 0),
    supplier text not null default '',
    lies text not null default '',
    note text not null default '',
    made_at integer not null,
    withdrawn_at integer
) strict;

-- What came, what was drawn, and what a count found: each by how much.
create table stock_move (
    id integer primary key,
    stock_id integer not null references stock (id),
    what text not null constraint stock_move_what check (what in ('drawn', 'come in', 'counted')),
    by_count integer not null constraint stock_move_by check (by_count <> 0 or what = 'counted'),
    job_id integer references job (id),
    sitting_id integer references sitting (id),
    price_pence integer constraint stock_move_price check (price_pence >= 0),
    made_at integer not null,
    withdrawn_at integer,
    constraint stock_move_draws_from check (what <> 'drawn' or by_count < 0),
    constraint stock_move_adds_to check (what <> 'come in' or by_count > 0)
) strict;
create index stock_move_by_stock on stock_move (stock_id);
create index stock_move_by_job on stock_move (job_id) where job_id is not null;

create trigger stock_move_counts after insert on stock_move begin
    update stock set count = (select coalesce(sum(by_count), 0) from stock_move where stock_id = new.stock_id and withdrawn_at is null)
        where id = new.stock_id;
end;
create trigger stock_move_counts_anew after update on stock_move begin
    select raise(abort, 'less than nothing would be left; count it first') where
        (select coalesce(sum(by_count), 0) from stock_move where stock_id = new.stock_id and withdrawn_at is null) < 0;
    update stock set count = (select coalesce(sum(by_count), 0) from stock_move where stock_id = new.stock_id and withdrawn_at is null)
        where id = new.stock_id;
end;
