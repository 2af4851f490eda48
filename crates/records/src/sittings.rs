//! Sittings: spells at the bench, what was done, and what comes next.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::fitted;
use crate::ids::{ComponentId, JobId, PlantId, SittingId};
use crate::jobs;
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

const FIND: &str = "select s.*, c.name as component from sitting s left join component c on c.id = s.component_id where s.id = ?1";
const OF_JOB: &str =
    "select s.*, c.name as component from sitting s left join component c on c.id = s.component_id
    where s.job_id = ?1 order by s.serial desc";
const SOME: &str =
    "select s.*, c.name as component from sitting s left join component c on c.id = s.component_id
    where s.job_id = ?1 and s.serial < ?2 order by s.serial desc limit ?3";
const NEXT_SERIAL: &str = "select coalesce(max(serial), 0) + 1 from sitting where job_id = ?1";
const MAKE: &str =
    "insert into sitting (job_id, serial, on_day, minutes, done, next_time, made_at, clip, component_id)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9) returning id";
const CHANGE: &str = "update sitting set on_day = ?2, minutes = ?3, done = ?4, next_time = ?5, clip = ?6, component_id = ?7 where id = ?1";
const PLANT: &str = "select plant_id from job where id = ?1";
const JOB: &str = "select job_id from sitting where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("sittings::FIND", FIND),
    ("sittings::OF_JOB", OF_JOB),
    ("sittings::SOME", SOME),
    ("sittings::NEXT_SERIAL", NEXT_SERIAL),
    ("sittings::MAKE", MAKE),
    ("sittings::CHANGE", CHANGE),
    ("sittings::PLANT", PLANT),
    ("sittings::JOB", JOB),
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
    /// The component it was spent on, where it was one.
    pub component_id: Option<ComponentId>,
    /// Its name.
    pub component: Option<String>,
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
    /// The component it was spent on, where it was one; of the job's own plant.
    pub component_id: Option<ComponentId>,
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
/// [`Error::Rule`] when minutes or words cannot be; [`Error::Refused`] when the component is not on the job's plant.
pub async fn make(w: &mut Write, job: JobId, new: &NewSitting) -> Result<SittingId, Error> {
    on_its_plant(w, job, new).await?;
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
        .bind(new.component_id)
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
/// [`Error::Missing`]; [`Error::Refused`] when the component is not on the job's plant.
pub async fn change(w: &mut Write, id: SittingId, new: &NewSitting) -> Result<(), Error> {
    let job: Option<JobId> = sqlx::query_scalar(JOB)
        .bind(id)
        .fetch_optional(w.conn())
        .await?;
    on_its_plant(w, job.ok_or(Error::Missing("sitting"))?, new).await?;
    let before = change::before(w, Subject::Sitting, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.on_day)
        .bind(new.minutes)
        .bind(&new.done)
        .bind(&new.next_time)
        .bind(&new.clip)
        .bind(new.component_id)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// A sitting is spent on a component of the plant that the job is about.
async fn on_its_plant(w: &mut Write, job: JobId, new: &NewSitting) -> Result<(), Error> {
    let Some(component) = new.component_id else {
        return Ok(());
    };
    let plant: Option<PlantId> = sqlx::query_scalar(PLANT)
        .bind(job)
        .fetch_optional(w.conn())
        .await?;
    fitted::on_plant(w, component, Some(plant.ok_or(Error::Missing("job"))?)).await
}
