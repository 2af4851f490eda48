//! What is blanked, tied, borrowed, swapped or left off *for now*; and pieces off the plant.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{JobId, PieceId, PlantId, SittingId, StateId, TrialId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const FIND: &str = "select x.*, a.serial as sitting_serial, b.serial as ended_serial, t.serial as trial_serial, j.year as job_year, j.serial as job_serial, p.name as plant
    from temporary_state x join job j on j.id = x.job_id join plant p on p.id = j.plant_id
    left join sitting a on a.id = x.sitting_id left join sitting b on b.id = x.ended_by_sitting
    left join trial t on t.id = x.trial_id where x.id = ?1";
const OF_JOB: &str = "select x.*, a.serial as sitting_serial, b.serial as ended_serial, t.serial as trial_serial, j.year as job_year, j.serial as job_serial, p.name as plant
    from temporary_state x join job j on j.id = x.job_id join plant p on p.id = j.plant_id
    left join sitting a on a.id = x.sitting_id left join sitting b on b.id = x.ended_by_sitting
    left join trial t on t.id = x.trial_id
    where x.job_id = ?1 order by x.ended_at is not null, x.since, x.id";
const STANDING: &str = "select x.*, a.serial as sitting_serial, b.serial as ended_serial, t.serial as trial_serial, j.year as job_year, j.serial as job_serial, p.name as plant
    from temporary_state x join job j on j.id = x.job_id join plant p on p.id = j.plant_id
    left join sitting a on a.id = x.sitting_id left join sitting b on b.id = x.ended_by_sitting
    left join trial t on t.id = x.trial_id
    where j.plant_id = ?1 and x.ended_at is null and x.withdrawn_at is null and j.withdrawn_at is null order by x.bar <> 'no steam', x.since";
const MAKE: &str = "insert into temporary_state (job_id, what, place, how, bar, since, sitting_id, ends_it, made_at, trial_id, offered)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?6, ?9, ?10) returning id";
const OFFERED: &str = "select id, ended_at from temporary_state where trial_id = ?1 and offered = ?2 and withdrawn_at is null";
const CHANGE: &str = "update temporary_state set what = ?2, place = ?3, how = ?4, bar = ?5, sitting_id = ?6, ends_it = ?7 where id = ?1";
const END: &str = "update temporary_state set ended_at = ?2, ended_by_sitting = ?3 where id = ?1";
const PIECE: &str = "select * from piece where id = ?1";
const PIECES: &str = "select * from piece where job_id = ?1 order by back_at is not null, id";
const LAY: &str = "insert into piece (job_id, what, lies, since, made_at) values (?1, ?2, ?3, ?4, ?4) returning id";
const LAY_ANEW: &str = "update piece set what = ?2, lies = ?3 where id = ?1";
const BACK: &str = "update piece set back_at = ?2 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("states::FIND", FIND),
    ("states::OF_JOB", OF_JOB),
    ("states::STANDING", STANDING),
    ("states::MAKE", MAKE),
    ("states::OFFERED", OFFERED),
    ("states::CHANGE", CHANGE),
    ("states::END", END),
    ("states::PIECE", PIECE),
    ("states::PIECES", PIECES),
    ("states::LAY", LAY),
    ("states::LAY_ANEW", LAY_ANEW),
    ("states::BACK", BACK),
];

/// What can have been done for now.
pub const WAYS: [&str; 5] = ["blanked", "tied", "borrowed", "swapped", "left off"];

/// A temporary state as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct TemporaryState {
    /// Its row.
    pub id: StateId,
    /// The job.
    pub job_id: JobId,
    /// Year of the job's number.
    pub job_year: i64,
    /// Serial of the job's number.
    pub job_serial: i64,
    /// Name of the plant.
    pub plant: String,
    /// What.
    pub what: String,
    /// Where on the plant.
    pub place: String,
    /// One of [`WAYS`].
    pub how: String,
    /// What it forbids.
    pub bar: String,
    /// Since when.
    pub since: Stamp,
    /// The sitting it was done in.
    pub sitting_id: Option<SittingId>,
    /// Serial of that sitting.
    pub sitting_serial: Option<i64>,
    /// The trial it was made for.
    pub trial_id: Option<TrialId>,
    /// Serial of that trial.
    pub trial_serial: Option<i64>,
    /// Which of those that such a trial offers; empty for any other.
    pub offered: String,
    /// What ends it.
    pub ends_it: String,
    /// When it ended.
    pub ended_at: Option<Stamp>,
    /// The sitting that ended it.
    pub ended_by_sitting: Option<SittingId>,
    /// Serial of that sitting.
    pub ended_serial: Option<i64>,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

impl TemporaryState {
    /// The job's number, `26-014`.
    #[must_use]
    pub fn job_number(&self) -> String {
        crate::jobs::number(self.job_year, self.job_serial)
    }
}

/// A temporary state as written on the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewState {
    /// What.
    pub what: String,
    /// Where on the plant.
    pub place: String,
    /// One of [`WAYS`].
    pub how: String,
    /// What it forbids.
    pub bar: String,
    /// The sitting it was done in.
    pub sitting_id: Option<SittingId>,
    /// What ends it.
    pub ends_it: String,
}

/// A piece off the plant.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Piece {
    /// Its row.
    pub id: PieceId,
    /// The job.
    pub job_id: JobId,
    /// What it is.
    pub what: String,
    /// Where it lies.
    pub lies: String,
    /// Since when it is off.
    pub since: Stamp,
    /// When it went back on.
    pub back_at: Option<Stamp>,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// One temporary state.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: StateId) -> Result<TemporaryState, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("temporary state"))
}

/// The temporary states of a job, standing ones first, withdrawn ones too.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<TemporaryState>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Every temporary state that stands on a plant, from whichever of its jobs; those that forbid steam first.
///
/// # Errors
/// Only the database's.
pub async fn standing(store: &Store, plant: PlantId) -> Result<Vec<TemporaryState>, Error> {
    Ok(sqlx::query_as(STANDING)
        .bind(plant)
        .fetch_all(store.readers())
        .await?)
}

/// Writes down something done for now.
///
/// # Errors
/// [`Error::Rule`] when a word cannot be.
pub async fn make(w: &mut Write, job: JobId, new: &NewState) -> Result<StateId, Error> {
    insert(w, job, new, None, "").await
}

/// Writes down what a trial needs for now. Each that it offers is there once: one that was ended stands again.
///
/// # Errors
/// [`Error::Rule`] when a word cannot be.
pub async fn make_for_trial(
    w: &mut Write,
    (job, trial): (JobId, TrialId),
    offered: &str,
    new: &NewState,
) -> Result<StateId, Error> {
    let known: Option<(StateId, Option<Stamp>)> = sqlx::query_as(OFFERED)
        .bind(trial)
        .bind(offered)
        .fetch_optional(w.conn())
        .await?;
    match known {
        Some((id, Some(_))) => end(w, id, false, None).await.map(|()| id),
        Some((id, None)) => Ok(id),
        None => insert(w, job, new, Some(trial), offered).await,
    }
}

async fn insert(
    w: &mut Write,
    job: JobId,
    new: &NewState,
    trial: Option<TrialId>,
    offered: &str,
) -> Result<StateId, Error> {
    let now = w.now();
    let id: StateId = sqlx::query_scalar(MAKE)
        .bind(job)
        .bind(&new.what)
        .bind(&new.place)
        .bind(&new.how)
        .bind(&new.bar)
        .bind(now)
        .bind(new.sitting_id)
        .bind(&new.ends_it)
        .bind(trial)
        .bind(offered)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::State, id.get()).await?;
    Ok(id)
}

/// Changes what is written of it.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: StateId, new: &NewState) -> Result<(), Error> {
    let before = change::before(w, Subject::State, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.what)
        .bind(&new.place)
        .bind(&new.how)
        .bind(&new.bar)
        .bind(new.sitting_id)
        .bind(&new.ends_it)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Ends it, by a sitting where one is named; or lets it stand again.
///
/// # Errors
/// [`Error::Missing`].
pub async fn end(
    w: &mut Write,
    id: StateId,
    ended: bool,
    by: Option<SittingId>,
) -> Result<(), Error> {
    let before = change::before(w, Subject::State, id.get()).await?;
    let at = ended.then(|| w.now());
    sqlx::query(END)
        .bind(id)
        .bind(at)
        .bind(by.filter(|_| ended))
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// One piece off a plant.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find_piece(store: &Store, id: PieceId) -> Result<Piece, Error> {
    sqlx::query_as(PIECE)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("piece"))
}

/// The pieces off a job's plant, those still off first.
///
/// # Errors
/// Only the database's.
pub async fn pieces(store: &Store, job: JobId) -> Result<Vec<Piece>, Error> {
    Ok(sqlx::query_as(PIECES)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Writes down where a piece off the plant lies.
///
/// # Errors
/// [`Error::Rule`] when a word is missing.
pub async fn lay(w: &mut Write, job: JobId, what: &str, lies: &str) -> Result<PieceId, Error> {
    let now = w.now();
    let id: PieceId = sqlx::query_scalar(LAY)
        .bind(job)
        .bind(what)
        .bind(lies)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Piece, id.get()).await?;
    Ok(id)
}

/// Changes what is written of a piece.
///
/// # Errors
/// [`Error::Missing`]; [`Error::Rule`] when a word is missing.
pub async fn lay_anew(w: &mut Write, id: PieceId, what: &str, lies: &str) -> Result<(), Error> {
    let before = change::before(w, Subject::Piece, id.get()).await?;
    sqlx::query(LAY_ANEW)
        .bind(id)
        .bind(what)
        .bind(lies)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Says that a piece went back on, or is off after all.
///
/// # Errors
/// [`Error::Missing`].
pub async fn back(w: &mut Write, id: PieceId, back: bool) -> Result<(), Error> {
    let before = change::before(w, Subject::Piece, id.get()).await?;
    let at = back.then(|| w.now());
    sqlx::query(BACK)
        .bind(id)
        .bind(at)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
