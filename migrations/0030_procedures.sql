-- Procedures: all lists of one kind of trial as one text, a row a version; a version never changes.

create table procedure (
    id integer primary key,
    kind text not null constraint procedure_kind check (kind in
        ('steam', 'hydraulic', 'air', 'safety-valve', 'feed-pump', 'burner', 'engine-run')),
    version integer not null constraint procedure_version check (version > 0),
    text text not null constraint procedure_has_text check (length(trim(text)) > 0),
    sha256 text not null constraint procedure_sha256 check (length(sha256) = 64),
    by text not null,
    made_at integer not null,
    unique (kind, version)
) strict;
create index procedure_by_content on procedure (kind, sha256);

create trigger procedure_is_never_altered before update on procedure
begin select raise(abort, 'a version of a procedure is never altered'); end;
create trigger procedure_is_never_deleted before delete on procedure
begin select raise(abort, 'a version of a procedure is never deleted'); end;
create trigger procedure_is_never_replaced before insert on procedure
when exists (select 1 from procedure p where p.id = new.id or (p.kind = new.kind and p.version = new.version))
begin select raise(abort, 'a version of a procedure is never replaced'); end;
