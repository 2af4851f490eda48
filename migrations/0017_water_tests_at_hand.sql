-- Water tests that passed: what re-tests are reckoned from on every sight of the bench.
create index trial_water_test_passed on trial (job_id, closed_at) where kind = 'hydraulic' and verdict = 'pass';
