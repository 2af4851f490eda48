//! The estimate of a job: hours and parts, each from and to, and what it takes for granted.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{EstimateId, JobId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const FIND: &str = "select * from estimate where id = ?1";
const OF_JOB: &str = "select * from estimate where job_id = ?1";
const MAKE: &str = "insert into estimate (job_id, least_minutes, most_minutes, hourly_pence, least_parts_pence, most_parts_pence, assumes, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) returning id";
const CHANGE: &str = "update estimate set least_minutes = ?2, most_minutes = ?3, hourly_pence = ?4, least_parts_pence = ?5,
    most_parts_pence = ?6, assumes = ?7, withdrawn_at = null where id = ?1";
const NAME: &str = "update job set estimate_pence = ?2 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("estimates::FIND", FIND),
    ("estimates::OF_JOB", OF_JOB),
    ("estimates::MAKE", MAKE),
    ("estimates::CHANGE", CHANGE),
    ("estimates::NAME", NAME),
];

/// An estimate as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Estimate {
    /// Its row.
    pub id: EstimateId,
    /// The job.
    pub job_id: JobId,
    /// Least of the bench's minutes.
    pub least_minutes: i64,
    /// Most of them.
    pub most_minutes: i64,
    /// What an hour cost when it was made.
    pub hourly_pence: i64,
    /// Least of the parts.
    pub least_parts_pence: i64,
    /// Most of them.
    pub most_parts_pence: i64,
    /// What it takes for granted.
    pub assumes: String,
    /// When it was first made.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// An estimate as written on the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewEstimate {
    /// Least of the bench's minutes.
    pub least_minutes: i64,
    /// Most of them.
    pub most_minutes: i64,
    /// What an hour costs.
    pub hourly_pence: i64,
    /// Least of the parts.
    pub least_parts_pence: i64,
    /// Most of them.
    pub most_parts_pence: i64,
    /// What it takes for granted.
    pub assumes: String,
    /// The one sum that the customer was named.
    pub named_pence: Option<i64>,
}

/// One estimate.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: EstimateId) -> Result<Estimate, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("estimate"))
}

/// The estimate of a job; none before one is made.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Option<Estimate>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_optional(store.readers())
        .await?)
}

/// Makes the estimate of a job, or changes it; what it was before is kept. The sum that was named goes to
/// the job.
///
/// # Errors
/// [`Error::Rule`] when a least is over its most.
pub async fn keep(w: &mut Write, job: JobId, new: &NewEstimate) -> Result<(), Error> {
    let now = w.now();
    let known: Option<Estimate> = sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_optional(w.conn())
        .await?;
    let before = match &known {
        Some(known) => Some(change::before(w, Subject::Estimate, known.id.get()).await?),
        None => None,
    };
    let (statement, first) = match &known {
        Some(known) => (CHANGE, known.id.get()),
        None => (MAKE, job.get()),
    };
    let query = sqlx::query_scalar(statement)
        .bind(first)
        .bind(new.least_minutes)
        .bind(new.most_minutes)
        .bind(new.hourly_pence)
        .bind(new.least_parts_pence)
        .bind(new.most_parts_pence)
        .bind(&new.assumes);
    let made: Option<i64> = match before {
        Some(_) => query.fetch_optional(w.conn()).await?,
        None => query.bind(now).fetch_optional(w.conn()).await?,
    };
    match (before, made) {
        (Some(before), _) => before.changed(w).await?,
        (None, Some(id)) => change::made(w, Subject::Estimate, id).await?,
        (None, None) => {}
    }
    let before = change::before(w, Subject::Job, job.get()).await?;
    sqlx::query(NAME)
        .bind(job)
        .bind(new.named_pence)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
