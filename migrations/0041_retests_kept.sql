-- What is due of each plant is kept, so that the bench need not reckon every plant anew; and which plants are to be reckoned
-- again because something that it follows from has changed. The writer does that before it ends what it is writing.

create table retest_due (
    id integer primary key,
    plant_id integer not null references plant (id),
    what text not null,
    on_day text not null constraint retest_due_is_a_day check (on_day glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    because text not null,
    unique (plant_id, what)
) strict;
create index retest_due_by_day on retest_due (on_day, id);

create table retest_asked (
    plant_id integer primary key references plant (id)
) strict;

create trigger paper_asks_retest after insert on paper begin
    insert into retest_asked (plant_id) values (new.plant_id) on conflict do nothing;
end;
create trigger paper_asks_retest_anew after update on paper begin
    insert into retest_asked (plant_id) values (new.plant_id) on conflict do nothing;
end;
create trigger boiler_asks_retest after insert on component when new.kind = 'boiler' begin
    insert into retest_asked (plant_id) values (new.plant_id) on conflict do nothing;
end;
create trigger boiler_asks_retest_anew after update on component when new.kind = 'boiler' or old.kind = 'boiler' begin
    insert into retest_asked (plant_id) values (new.plant_id) on conflict do nothing;
end;
create trigger plant_asks_retest after update on plant when new.withdrawn_at is not old.withdrawn_at begin
    insert into retest_asked (plant_id) values (new.id) on conflict do nothing;
end;
create trigger trial_asks_retest after update on trial when new.kind = 'hydraulic' and new.state = 'closed' begin
    insert into retest_asked (plant_id) select plant_id from job where id = new.job_id and true on conflict do nothing;
end;
create trigger rule_asks_retest after insert on retest_rule begin
    insert into retest_asked (plant_id) select id from plant where true on conflict do nothing;
end;
create trigger rule_asks_retest_anew after update on retest_rule begin
    insert into retest_asked (plant_id) select id from plant where true on conflict do nothing;
end;

insert into retest_asked (plant_id) select id from plant;
