-- A book of many years: what the pages ask for is found without reading any large table from end to end.

create index job_by_number on job (year % 100, serial, year);
create index job_withdrawn on job (year, serial) where withdrawn_at is not null;
create index job_gone on job (year, serial) where stands in ('gone home', 'gone home unrepaired') and withdrawn_at is null;
create index state_standing on temporary_state (job_id) where ended_at is null and withdrawn_at is null;
create index unknown_boiler_by_defect on unknown_boiler (defect_id);
create index plant_by_name on plant (name collate nocase, id) where withdrawn_at is null;
create index customer_by_name on customer (name collate nocase, id) where withdrawn_at is null;
create index paper_standing on paper (plant_id, on_day) where withdrawn_at is null;
