-- Since when a phone has held entries without a break: one that is in touch can hold what was refused.

alter table phone add column held_since integer;
update phone set held_since = seen_at where pending > 0;
