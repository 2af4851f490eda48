//! Who is at the bench now: a sitting that has begun and is not put down yet.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{BenchSpellId, JobId, SittingId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const RUNNING: &str = "select b.*, j.year as job_year, j.serial as job_serial, p.name as plant
    from bench_spell b join job j on j.id = b.job_id join plant p on p.id = j.plant_id
    where b.ended_at is null and b.withdrawn_at is null order by b.began_at";
const OF_JOB: &str = "select b.*, j.year as job_year, j.serial as job_serial, p.name as plant
    from bench_spell b join job j on j.id = b.job_id join plant p on p.id = j.plant_id
    where b.job_id = ?1 and b.ended_at is null and b.withdrawn_at is null";
const BEGIN: &str =
    "insert into bench_spell (job_id, began_at, by, made_at) values (?1, ?2, ?3, ?2) returning id";
const END: &str = "update bench_spell set ended_at = ?2, sitting_id = ?3 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("at_bench::RUNNING", RUNNING),
    ("at_bench::OF_JOB", OF_JOB),
    ("at_bench::BEGIN", BEGIN),
    ("at_bench::END", END),
];

/// A sitting that has begun.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct AtBench {
    /// Its row.
    pub id: BenchSpellId,
    /// The job.
    pub job_id: JobId,
    /// Year of the job's number.
    pub job_year: i64,
    /// Serial of the job's number.
    pub job_serial: i64,
    /// Name of the plant.
    pub plant: String,
    /// Since when.
    pub began_at: Stamp,
    /// Who began it.
    pub by: String,
}

impl AtBench {
    /// The job's number, `26-014`.
    #[must_use]
    pub fn job_number(&self) -> String {
        crate::jobs::number(self.job_year, self.job_serial)
    }

    /// Whole minutes since it began.
    #[must_use]
    pub fn minutes(&self, now: Stamp) -> i64 {
        (now.millis() - self.began_at.millis()).max(0) / 60_000
    }
}

/// Every sitting that has begun, the longest first.
///
/// # Errors
/// Only the database's.
pub async fn running(store: &Store) -> Result<Vec<AtBench>, Error> {
    Ok(sqlx::query_as(RUNNING).fetch_all(store.readers()).await?)
}

/// The sitting of a job that has begun.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Option<AtBench>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_optional(store.readers())
        .await?)
}

async fn of_job_in(w: &mut Write, job: JobId) -> Result<Option<AtBench>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_optional(w.conn())
        .await?)
}

/// Begins a sitting; one that has begun goes on.
///
/// # Errors
/// Only the database's.
pub async fn begin(w: &mut Write, job: JobId) -> Result<BenchSpellId, Error> {
    if let Some(known) = of_job_in(w, job).await? {
        return Ok(known.id);
    }
    let (now, by) = (w.now(), w.by().to_owned());
    let id: BenchSpellId = sqlx::query_scalar(BEGIN)
        .bind(job)
        .bind(now)
        .bind(by)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::BenchSpell, id.get()).await?;
    Ok(id)
}

/// Puts the sitting of a job down: it became this one. Nothing has begun: nothing is done.
///
/// # Errors
/// Only the database's.
pub async fn end(w: &mut Write, job: JobId, sitting: SittingId) -> Result<(), Error> {
    let Some(known) = of_job_in(w, job).await? else {
        return Ok(());
    };
    let before = change::before(w, Subject::BenchSpell, known.id.get()).await?;
    let now = w.now();
    sqlx::query(END)
        .bind(known.id)
        .bind(now.max(known.began_at))
        .bind(sitting)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
