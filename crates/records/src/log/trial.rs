//! Trials as rows: prepared, running, closed.

use crate::error::Error;
use crate::hash::sha256;
use crate::ids::{JobId, TrialId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const FIND: &str = "select * from trial_line where id = ?1";
const OF_JOB: &str = "select * from trial_line where job_id = ?1 order by serial desc";
const RUNNING: &str = "select * from trial_line where state = 'running' and state <> 'closed' and withdrawn_at is null order by started_at desc";
const BEFORE: &str =
    "select * from trial_line where withdrawn_at is null and id < ?1 order by id desc limit ?2";
const OF_OPEN_JOBS: &str = "select t.* from job j cross join trial_line t on t.job_id = j.id
    where j.stands not in ('gone home', 'gone home unrepaired') and j.withdrawn_at is null
    and t.withdrawn_at is null and t.state <> 'prepared' order by t.id desc";
const NEXT_SERIAL: &str = "select coalesce(max(serial), 0) + 1 from trial where job_id = ?1";
const PREPARE: &str = "insert into trial (job_id, serial, kind, question, head, head_hash, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7) returning id";
const ENTRIES: &str = "select seq, key, text, t_s, received_at, hash from entry where trial_id = ?1 and seq > ?2 order by seq";
const WITHDRAW: &str = "update trial set withdrawn_at = ?2 where id = ?1 and state = 'prepared'";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("log::trial::FIND", FIND),
    ("log::trial::OF_JOB", OF_JOB),
    ("log::trial::RUNNING", RUNNING),
    ("log::trial::BEFORE", BEFORE),
    ("log::trial::OF_OPEN_JOBS", OF_OPEN_JOBS),
    ("log::trial::NEXT_SERIAL", NEXT_SERIAL),
    ("log::trial::PREPARE", PREPARE),
    ("log::trial::ENTRIES", ENTRIES),
    ("log::trial::WITHDRAW", WITHDRAW),
];

/// A trial as it is stored; its entries apart.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct Trial {
    /// Its row.
    pub id: TrialId,
    /// The job it belongs to.
    pub job_id: JobId,
    /// Year of the job's number.
    pub job_year: i64,
    /// Serial of the job's number.
    pub job_serial: i64,
    /// Name of the plant.
    pub plant: String,
    /// Which trial of the job.
    pub serial: i64,
    /// `steam`, `hydraulic` …, in the words of the trial file.
    pub kind: String,
    /// What it is to answer.
    pub question: String,
    /// The workshop's answer, once closed: `yes`, `no`, `not-settled`.
    pub answer: Option<String>,
    /// Canonical text of the trial file without entries.
    pub head: String,
    /// SHA-256 of the head: the first link of the chain.
    pub head_hash: String,
    /// `prepared`, `running`, `closed`.
    pub state: String,
    /// When it was prepared.
    pub made_at: Stamp,
    /// When its clock began: at its first entry.
    pub started_at: Option<Stamp>,
    /// When it was sealed.
    pub closed_at: Option<Stamp>,
    /// Number of the sealed record, `26-014/3`.
    pub number: Option<String>,
    /// `pass`, `fail`, `not-proven`, as found when it was closed.
    pub verdict: Option<String>,
    /// Reasons of the verdict, one a line.
    pub because: Option<String>,
    /// How many entries were sealed.
    pub sealed_entries: Option<i64>,
    /// Last link of the sealed chain.
    pub sealed_hash: Option<String>,
    /// When it was withdrawn (only before its first entry).
    pub withdrawn_at: Option<Stamp>,
}

impl Trial {
    /// The job's number and the trial's serial, `26-014/3`.
    #[must_use]
    pub fn label(&self) -> String {
        format!("{}/{}", self.job_number(), self.serial)
    }

    /// The job's number, `26-014`.
    #[must_use]
    pub fn job_number(&self) -> String {
        crate::jobs::number(self.job_year, self.job_serial)
    }

    /// Seconds from its start to a moment, as decimal text; `0` before the start.
    #[must_use]
    pub fn seconds_at(&self, moment: Stamp) -> String {
        self.started_at
            .map_or_else(|| "0".to_owned(), |s| s.seconds_to(moment))
    }
}

/// One entry of the log as it is stored.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow)]
pub struct Entry {
    /// Its place in the log, from 1.
    pub seq: i64,
    /// The client's key.
    pub key: String,
    /// Canonical text.
    pub text: String,
    /// Seconds into the trial.
    pub t_s: f64,
    /// When the server had it.
    pub received_at: Stamp,
    /// Its link of the chain.
    pub hash: String,
}

/// What a trial is prepared with.
#[derive(Clone, Debug)]
pub struct NewTrial {
    /// The job.
    pub job_id: JobId,
    /// `steam`, `hydraulic` …
    pub kind: String,
    /// What it is to answer.
    pub question: String,
    /// Canonical text of the trial file without entries: plant, instruments and limits copied in.
    pub head: String,
}

/// Prepares a trial: what it is prepared with never changes afterwards.
///
/// # Errors
/// [`Error::Refused`] when there is no such job.
pub async fn prepare(w: &mut Write, new: &NewTrial) -> Result<TrialId, Error> {
    let now = w.now();
    let serial: i64 = sqlx::query_scalar(NEXT_SERIAL)
        .bind(new.job_id)
        .fetch_one(w.conn())
        .await?;
    let id = sqlx::query_scalar(PREPARE)
        .bind(new.job_id)
        .bind(serial)
        .bind(&new.kind)
        .bind(&new.question)
        .bind(&new.head)
        .bind(sha256(new.head.as_bytes()))
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    Ok(id)
}

/// Withdraws a trial that was prepared and has no entry, or puts it back.
///
/// # Errors
/// [`Error::Refused`] once the log has begun.
pub async fn withdraw(w: &mut Write, id: TrialId, withdrawn: bool) -> Result<(), Error> {
    let at = withdrawn.then(|| w.now());
    let done = sqlx::query(WITHDRAW)
        .bind(id)
        .bind(at)
        .execute(w.conn())
        .await?;
    if done.rows_affected() == 0 {
        return Err(Error::Refused(
            "a trial whose log has begun stays".to_owned(),
        ));
    }
    Ok(())
}

/// One trial.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: TrialId) -> Result<Trial, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("trial"))
}

pub(crate) async fn find_in(w: &mut Write, id: TrialId) -> Result<Trial, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(w.conn())
        .await?
        .ok_or(Error::Missing("trial"))
}

/// Every trial of a job, the newest first, withdrawn ones too.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<Trial>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Every trial that is running now.
///
/// # Errors
/// Only the database's.
pub async fn running(store: &Store) -> Result<Vec<Trial>, Error> {
    Ok(sqlx::query_as(RUNNING).fetch_all(store.readers()).await?)
}

/// Every trial that has begun, of the jobs that have not gone home; the newest first.
///
/// # Errors
/// Only the database's.
pub async fn of_open_jobs(store: &Store) -> Result<Vec<Trial>, Error> {
    Ok(sqlx::query_as(OF_OPEN_JOBS)
        .fetch_all(store.readers())
        .await?)
}

/// The trials that were prepared before one, or the newest, in every state.
///
/// # Errors
/// Only the database's.
pub async fn before(
    store: &Store,
    newer: Option<TrialId>,
    at_most: i64,
) -> Result<Vec<Trial>, Error> {
    Ok(sqlx::query_as(BEFORE)
        .bind(newer.map_or(i64::MAX, TrialId::get))
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// The entries of a trial after a place in its log (0: all), in the order they came.
///
/// # Errors
/// Only the database's.
pub async fn entries(store: &Store, trial: TrialId, after: i64) -> Result<Vec<Entry>, Error> {
    Ok(sqlx::query_as(ENTRIES)
        .bind(trial)
        .bind(after)
        .fetch_all(store.readers())
        .await?)
}
