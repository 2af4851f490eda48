//! Sittings: spells at the bench, what was done, and what comes next.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{JobId, SittingId};
use crate::jobs;
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

const FIND: &str = "select * from sitting where id = ?1";
const OF_JOB: &str = "select * from sitting where job_id = ?1 order by serial desc";
const SOME: &str =
    "select * from sitting where job_id = ?1 and serial < ?2 order by serial desc limit ?3";
const NEXT_SERIAL: &str = "select coalesce(max(serial), 0) + 1 from sitting where job_id = ?1";
const MAKE: &str =
    "insert into sitting (job_id, serial, on_day, minutes, done, next_time, made_at, clip)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) returning id";
const CHANGE: &str = "update sitting set on_day = ?2, minutes = ?3, done = ?4, next_time = ?5, clip = ?6 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("sittings::FIND", FIND),
    ("sittings::OF_JOB", OF_JOB),
    ("sittings::SOME", SOME),
    ("sittings::NEXT_SERIAL", NEXT_SERIAL),
    ("sittings::MAKE", MAKE),
    ("sittings::CHANGE", CHANGE),
];

/// A sitting as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Sitting {
    /// Its row.
    pub id: SittingId,
    /// The job.
    pub job_id: JobId,
    /// Which sitting of the job.
    pub serial: i64,
    /// The day.
    pub on_day: Day,
    /// Minutes at the bench.
    pub minutes: i64,
    /// What was done.
    pub done: String,
    /// What comes next.
    pub next_time: String,
    /// Address of a clip; empty where there is none.
    pub clip: String,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// A sitting as written on the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewSitting {
    /// The day.
    pub on_day: Day,
    /// Minutes at the bench.
    pub minutes: i64,
    /// What was done.
    pub done: String,
    /// What comes next; when given it becomes the job's next-time line.
    pub next_time: String,
    /// Address of a clip, `http` or `https`; may stay empty.
    pub clip: String,
}

/// One sitting.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: SittingId) -> Result<Sitting, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("sitting"))
}

/// The sittings of a job, the newest on top, withdrawn ones too.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<Sitting>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// The sittings of a job, the newest on top, withdrawn ones too, behind the one with a serial.
///
/// # Errors
/// Only the database's.
pub async fn some(
    store: &Store,
    job: JobId,
    behind: Option<i64>,
    at_most: i64,
) -> Result<Vec<Sitting>, Error> {
    Ok(sqlx::query_as(SOME)
        .bind(job)
        .bind(behind.unwrap_or(i64::MAX))
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// Writes a sitting down.
///
/// # Errors
/// [`Error::Rule`] when minutes or words cannot be.
pub async fn make(w: &mut Write, job: JobId, new: &NewSitting) -> Result<SittingId, Error> {
    let now = w.now();
    let serial: i64 = sqlx::query_scalar(NEXT_SERIAL)
        .bind(job)
        .fetch_one(w.conn())
        .await?;
    let id: SittingId = sqlx::query_scalar(MAKE)
        .bind(job)
        .bind(serial)
        .bind(&new.on_day)
        .bind(new.minutes)
        .bind(&new.done)
        .bind(&new.next_time)
        .bind(now)
        .bind(&new.clip)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Sitting, id.get()).await?;
    if !new.next_time.is_empty() {
        jobs::next_time(w, job, &new.next_time).await?;
    }
    Ok(id)
}

/// Changes a sitting.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: SittingId, new: &NewSitting) -> Result<(), Error> {
    let before = change::before(w, Subject::Sitting, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.on_day)
        .bind(new.minutes)
        .bind(&new.done)
        .bind(&new.next_time)
        .bind(&new.clip)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
