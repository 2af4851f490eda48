-- What was reckoned and kept on a job: the inputs as entered, and the answer as it was then.

create table reckoning (
    id integer primary key,
    job_id integer not null references job (id),
    name text not null constraint reckoning_has_name check (length(trim(name)) > 0),
    title text not null,
    typed text not null constraint reckoning_typed_is_json check (json_valid(typed)),
    answer text not null constraint reckoning_answer_is_json check (json_valid(answer)),
    verdict text not null default '',
    by text not null,
    made_at integer not null,
    withdrawn_at integer
) strict;
create index reckoning_by_job on reckoning (job_id);
