//! Appointments: who comes when, which jobs that is about, and what is to be at hand.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::hash::sha256;
use crate::ids::{AppointmentId, JobId};
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

const FIND: &str = "select * from appointment where id = ?1";
const BEFORE: &str = "select * from appointment where (on_day, id) < (?1, ?2) order by on_day desc, id desc limit ?3";
const FROM: &str = "select * from appointment where withdrawn_at is null and on_day >= ?1 order by on_day, at_time, id";
const JOBS: &str =
    "select job_id, what from appointment_job where appointment_id = ?1 order by job_id";
const OF_JOB: &str =
    "select a.* from appointment a join appointment_job j on j.appointment_id = a.id
    where j.job_id = ?1 and a.withdrawn_at is null order by a.on_day desc, a.id desc";
const MAKE: &str = "insert into appointment (on_day, at_time, who, place, at_hand, note, made_at) values (?1, ?2, ?3, ?4, ?5, ?6, ?7) returning id";
const CHANGE: &str = "update appointment set on_day = ?2, at_time = ?3, who = ?4, place = ?5, at_hand = ?6, note = ?7, changes = changes + 1 where id = ?1";
const CLEAR: &str = "delete from appointment_job where appointment_id = ?1";
const ADD: &str = "insert into appointment_job (appointment_id, job_id, what) values (?1, ?2, ?3)";
const KEY: &str = "select exists (select 1 from calendar_key where token_sha256 = ?1)";
const HAS_KEY: &str = "select made_at from calendar_key where id = 1";
const SET_KEY: &str = "insert into calendar_key (id, token_sha256, made_at) values (1, ?1, ?2)
    on conflict (id) do update set token_sha256 = excluded.token_sha256, made_at = excluded.made_at";
const DROP_KEY: &str = "delete from calendar_key where id = 1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("appointments::FIND", FIND),
    ("appointments::BEFORE", BEFORE),
    ("appointments::FROM", FROM),
    ("appointments::JOBS", JOBS),
    ("appointments::OF_JOB", OF_JOB),
    ("appointments::MAKE", MAKE),
    ("appointments::CHANGE", CHANGE),
    ("appointments::CLEAR", CLEAR),
    ("appointments::ADD", ADD),
    ("appointments::KEY", KEY),
    ("appointments::HAS_KEY", HAS_KEY),
    ("appointments::SET_KEY", SET_KEY),
    ("appointments::DROP_KEY", DROP_KEY),
];

/// What a job can be looked at for.
pub const WHAT: [&str; 4] = [
    "water test, the first",
    "water test, a repeat",
    "steam test",
    "to be looked at",
];

/// An appointment as stored; its jobs apart.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Appointment {
    /// Its row.
    pub id: AppointmentId,
    /// The day.
    pub on_day: Day,
    /// Hour and minute, `14:30`; empty where none is agreed.
    pub at_time: String,
    /// Who comes.
    pub who: String,
    /// Where.
    pub place: String,
    /// What is to be at hand.
    pub at_hand: String,
    /// A note.
    pub note: String,
    /// How often it was changed.
    pub changes: i64,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

impl Appointment {
    /// Day and hour: `3 Nov 2026, 14:30`.
    #[must_use]
    pub fn when(&self) -> String {
        if self.at_time.is_empty() {
            self.on_day.full()
        } else {
            format!("{}, {}", self.on_day.full(), self.at_time)
        }
    }
}

/// An appointment as written on the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewAppointment {
    /// The day.
    pub on_day: Day,
    /// Hour and minute, or empty.
    pub at_time: String,
    /// Who comes.
    pub who: String,
    /// Where.
    pub place: String,
    /// What is to be at hand.
    pub at_hand: String,
    /// A note.
    pub note: String,
    /// Which jobs, each with one of [`WHAT`].
    pub jobs: Vec<(JobId, String)>,
}

/// One appointment.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: AppointmentId) -> Result<Appointment, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("appointment"))
}

/// The latest first, withdrawn ones too, from before the one that was shown last.
///
/// # Errors
/// Only the database's.
pub async fn before(
    store: &Store,
    later: Option<(&Day, AppointmentId)>,
    at_most: i64,
) -> Result<Vec<Appointment>, Error> {
    let (day, id) = later.map_or(("9999-99-99", i64::MAX), |(day, id)| (day.iso(), id.get()));
    Ok(sqlx::query_as(BEFORE)
        .bind(day)
        .bind(id)
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// Those on a day and after it, the soonest first.
///
/// # Errors
/// Only the database's.
pub async fn from(store: &Store, day: &Day) -> Result<Vec<Appointment>, Error> {
    Ok(sqlx::query_as(FROM)
        .bind(day)
        .fetch_all(store.readers())
        .await?)
}

/// Those that are about a job, the latest first.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<Appointment>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Which jobs an appointment is about, and what each is looked at for.
///
/// # Errors
/// Only the database's.
pub async fn jobs(store: &Store, id: AppointmentId) -> Result<Vec<(JobId, String)>, Error> {
    Ok(sqlx::query_as(JOBS)
        .bind(id)
        .fetch_all(store.readers())
        .await?)
}

/// Writes an appointment down.
///
/// # Errors
/// [`Error::Rule`] when time, name or what is to be done cannot be.
pub async fn make(w: &mut Write, new: &NewAppointment) -> Result<AppointmentId, Error> {
    let now = w.now();
    let id: AppointmentId = sqlx::query_scalar(MAKE)
        .bind(&new.on_day)
        .bind(&new.at_time)
        .bind(&new.who)
        .bind(&new.place)
        .bind(&new.at_hand)
        .bind(&new.note)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    set_jobs(w, id, &new.jobs).await?;
    change::made(w, Subject::Appointment, id.get()).await?;
    Ok(id)
}

/// Changes an appointment.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: AppointmentId, new: &NewAppointment) -> Result<(), Error> {
    let before = change::before(w, Subject::Appointment, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.on_day)
        .bind(&new.at_time)
        .bind(&new.who)
        .bind(&new.place)
        .bind(&new.at_hand)
        .bind(&new.note)
        .execute(w.conn())
        .await?;
    set_jobs(w, id, &new.jobs).await?;
    before.changed(w).await
}

async fn set_jobs(w: &mut Write, id: AppointmentId, jobs: &[(JobId, String)]) -> Result<(), Error> {
    sqlx::query(CLEAR).bind(id).execute(w.conn()).await?;
    for (job, what) in jobs {
        sqlx::query(ADD)
            .bind(id)
            .bind(job)
            .bind(what)
            .execute(w.conn())
            .await?;
    }
    Ok(())
}

/// Makes the calendar's private address anew; the one before is dead.
///
/// # Errors
/// Only the database's.
pub async fn set_calendar_key(w: &mut Write, token: &str) -> Result<(), Error> {
    let now = w.now();
    sqlx::query(SET_KEY)
        .bind(sha256(token.as_bytes()))
        .bind(now)
        .execute(w.conn())
        .await?;
    Ok(())
}

/// Ends the calendar's private address.
///
/// # Errors
/// Only the database's.
pub async fn drop_calendar_key(w: &mut Write) -> Result<(), Error> {
    sqlx::query(DROP_KEY).execute(w.conn()).await?;
    Ok(())
}

/// Whether a token is the calendar's private address.
///
/// # Errors
/// Only the database's.
pub async fn is_calendar_key(store: &Store, token: &str) -> Result<bool, Error> {
    Ok(sqlx::query_scalar(KEY)
        .bind(sha256(token.as_bytes()))
        .fetch_one(store.readers())
        .await?)
}

/// Since when there is a private address of the calendar.
///
/// # Errors
/// Only the database's.
pub async fn calendar_key_since(store: &Store) -> Result<Option<Stamp>, Error> {
    Ok(sqlx::query_scalar(HAS_KEY)
        .fetch_optional(store.readers())
        .await?)
}
