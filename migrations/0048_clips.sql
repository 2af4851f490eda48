-- A link to a clip of what was done in a sitting.

alter table sitting add column clip text not null default ''
    constraint sitting_clip_is_an_address check (clip = '' or clip glob 'http://?*' or clip glob 'https://?*');
