-- What holds the seams of a boiler: a soft-soldered one melts near 180 °C. Empty while nobody knows.
alter table component add column joints text not null default '' constraint component_joints check (joints in
    ('', 'soft solder', 'silver solder', 'welded', 'riveted', 'riveted and soldered'));
