-- What the customer may see: chosen line by line, in words meant for them.

create table news (
    id integer primary key,
    job_id integer not null references job (id),
    said text not null constraint news_says_something check (length(trim(said)) > 0),
    shown integer not null default 1 constraint news_shown check (shown in (0, 1)),
    made_at integer not null,
    withdrawn_at integer
) strict;
create index news_by_job on news (job_id);

create table publication (
    job_id integer primary key references job (id),
    steam_words text not null default '',
    shows_promised integer not null default 0 constraint publication_promised check (shows_promised in (0, 1)),
    shows_money integer not null default 0 constraint publication_money check (shows_money in (0, 1)),
    changed_at integer not null
) strict;

create table published_defect (
    defect_id integer primary key references defect (id),
    words text not null constraint published_defect_words check (length(trim(words)) > 0)
) strict;

create table published_variation (
    variation_id integer primary key references variation (id)
) strict;

create table share (
    id integer primary key,
    job_id integer not null references job (id),
    token_sha256 text not null unique constraint share_hash check (length(token_sha256) = 64),
    made_at integer not null,
    expires_at integer not null,
    revoked_at integer,
    last_used_at integer
) strict;
create index share_by_job on share (job_id);
