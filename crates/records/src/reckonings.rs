//! Reckonings kept on a job: the inputs as entered, and the answer as it was then.

use crate::error::Error;
use crate::ids::{JobId, ReckoningId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const KEEP: &str =
    "insert into reckoning (job_id, name, title, typed, answer, verdict, by, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) returning id";
const FIND: &str =
    "select id, job_id, name, title, typed, answer, verdict, by, made_at, withdrawn_at
    from reckoning where id = ?1";
const OF_JOB: &str =
    "select id, job_id, name, title, typed, answer, verdict, by, made_at, withdrawn_at
    from reckoning where job_id = ?1 order by id desc";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("reckonings::KEEP", KEEP),
    ("reckonings::FIND", FIND),
    ("reckonings::OF_JOB", OF_JOB),
];

/// What is kept.
#[derive(Clone, Debug)]
pub struct NewReckoning {
    /// The reckoner's name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// The boxes as typed, one JSON object.
    pub typed: String,
    /// The answer as it was shown, one JSON object.
    pub answer: String,
    /// The verdict's word; empty where there was none to give.
    pub verdict: String,
}

/// A reckoning that was kept; it never changes.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Reckoning {
    /// Its row.
    pub id: ReckoningId,
    /// The job it was kept on.
    pub job_id: JobId,
    /// The reckoner's name.
    pub name: String,
    /// Its title then.
    pub title: String,
    /// The boxes as typed, one JSON object.
    pub typed: String,
    /// The answer as it was shown, one JSON object.
    pub answer: String,
    /// The verdict's word; empty where there was none to give.
    pub verdict: String,
    /// Who kept it.
    pub by: String,
    /// When.
    pub made_at: Stamp,
    /// When it was withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// Keeps a reckoning on a job.
///
/// # Errors
/// [`Error::Rule`] when something is not JSON.
pub async fn keep(w: &mut Write, job: JobId, new: &NewReckoning) -> Result<ReckoningId, Error> {
    let (now, by) = (w.now(), w.by().to_owned());
    let id = sqlx::query_scalar(KEEP)
        .bind(job)
        .bind(&new.name)
        .bind(&new.title)
        .bind(&new.typed)
        .bind(&new.answer)
        .bind(&new.verdict)
        .bind(by)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    Ok(id)
}

/// One that was kept.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: ReckoningId) -> Result<Reckoning, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("reckoning"))
}

/// Those of a job, the newest first.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<Reckoning>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}
