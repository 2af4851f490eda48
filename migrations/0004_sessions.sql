-- Who has come in with the pass phrase: only the hash of each cookie is kept.

create table session (
    id integer primary key,
    token_sha256 text not null unique constraint session_hash check (length(token_sha256) = 64),
    who text not null constraint session_says_who check (length(trim(who)) > 0),
    made_at integer not null,
    expires_at integer not null,
    ended_at integer
) strict;
