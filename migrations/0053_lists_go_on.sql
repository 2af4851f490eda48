-- Lists that go on by key read no more than the page they show.

create index stock_by_name on stock (withdrawn_at is not null, name collate nocase, id);
