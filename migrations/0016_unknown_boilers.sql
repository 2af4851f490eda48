-- A boiler of unknown history: identified, measured, reckoned, proposed, tested, and then agreed or refused.

create table unknown_boiler (
    id integer primary key,
    job_id integer not null unique references job (id),
    defect_id integer not null references defect (id),
    material text not null default '',
    seams text not null default '',
    plate text not null default '',
    tubes text not null default '',
    stays text not null default '',
    scale text not null default '',
    lagging text not null default '',
    measured text not null default '',
    reckoning_id integer references reckoning (id),
    proposed_bar text not null default '',
    proposed_by text not null default '',
    outcome text not null default 'unknown' constraint unknown_boiler_outcome check (outcome in ('unknown', 'agreed', 'refused')),
    agreed_by text not null default '',
    trial_id integer references trial (id),
    why text not null default '',
    decided_at integer,
    made_at integer not null,
    withdrawn_at integer,
    constraint unknown_boiler_agreed_whole check (outcome <> 'agreed'
        or (length(trim(proposed_bar)) > 0 and length(trim(proposed_by)) > 0 and length(trim(agreed_by)) > 0 and trial_id is not null)),
    constraint unknown_boiler_refused_says_why check (outcome <> 'refused' or length(trim(why)) > 0),
    constraint unknown_boiler_decided_when check ((outcome = 'unknown') = (decided_at is null))
) strict;

-- Until it is agreed nothing takes its no-steam bar away: not a sitting, not a part, not a lesser bar, not a withdrawal.
create trigger unknown_boiler_bars_steam before update on defect
when (new.state = 'cleared' or new.withdrawn_at is not null or new.bar <> 'no steam')
    and exists (select 1 from unknown_boiler u where u.defect_id = new.id and u.outcome <> 'agreed' and u.withdrawn_at is null)
begin select raise(abort, 'no steam stands until a working pressure is agreed, for the history of this boiler is unknown'); end;

create trigger unknown_boiler_is_found after insert on unknown_boiler begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('unknown boiler', new.id, new.job_id, (select plant_id from job where id = new.job_id), 'boiler', 'boiler of unknown history',
        concat_ws(' · ', new.outcome, nullif(new.material, ''), nullif(new.seams, ''), nullif(new.plate, ''), nullif(new.tubes, ''), nullif(new.stays, ''),
        nullif(new.scale, ''), nullif(new.lagging, ''), nullif(new.measured, ''), nullif(new.proposed_by, ''), nullif(new.agreed_by, ''), nullif(new.why, '')),
        new.made_at, new.withdrawn_at);
end;
create trigger unknown_boiler_is_found_anew after update on unknown_boiler begin
    insert into typed (subject, subject_id, job_id, plant_id, component_kind, title, body, at, withdrawn_at)
    values ('unknown boiler', new.id, new.job_id, (select plant_id from job where id = new.job_id), 'boiler', 'boiler of unknown history',
        concat_ws(' · ', new.outcome, nullif(new.material, ''), nullif(new.seams, ''), nullif(new.plate, ''), nullif(new.tubes, ''), nullif(new.stays, ''),
        nullif(new.scale, ''), nullif(new.lagging, ''), nullif(new.measured, ''), nullif(new.proposed_by, ''), nullif(new.agreed_by, ''), nullif(new.why, '')),
        new.made_at, new.withdrawn_at)
    on conflict (subject, subject_id) do update set body = excluded.body, withdrawn_at = excluded.withdrawn_at;
end;
