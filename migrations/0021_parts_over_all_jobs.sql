-- Parts: made or bought, of what, how many, what their carriage costs, ordered and arrived when.

alter table part add column way text not null default 'buy' constraint part_way check (way in ('make', 'buy'));
alter table part add column material text not null default '';
alter table part add column count integer not null default 1 constraint part_count check (count between 1 and 100000);
alter table part add column carriage_pence integer constraint part_carriage check (carriage_pence >= 0);
alter table part add column ordered_on text constraint part_ordered_is_a_day check (ordered_on glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]');
alter table part add column arrived_on text constraint part_arrived_is_a_day check (arrived_on glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]');
update part set way = 'make' where state = 'to make';
create index part_awaited on part (state, supplier) where withdrawn_at is null;
create index job_open on job (year, serial) where stands not in ('gone home', 'gone home unrepaired') and withdrawn_at is null;
