-- When somebody who heard nothing, and a day that was promised, stand on the bench.

alter table workshop add column news_days integer not null default 14 constraint workshop_news_days check (news_days between 1 and 365);
alter table workshop add column promise_days integer not null default 7 constraint workshop_promise_days check (promise_days between 0 and 365);
