-- A temporary state says which trial it was made for, and which of those that such a trial offers it is: each once a trial.

alter table temporary_state add column trial_id integer references trial (id);
alter table temporary_state add column offered text not null default '';
create unique index state_once_a_trial on temporary_state (trial_id, offered) where trial_id is not null and withdrawn_at is null;
