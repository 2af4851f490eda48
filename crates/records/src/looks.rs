//! Looks: a quick try without lists or verdict. The first fire, or a pressure over the air cap, makes it a trial.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{DefectId, JobId, LookId, LookLineId, PictureId, TrialId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const FIND: &str = "select k.*, j.year as job_year, j.serial as job_serial, p.name as plant
    from look k join job j on j.id = k.job_id join plant p on p.id = j.plant_id where k.id = ?1";
const OF_JOB: &str = "select k.*, j.year as job_year, j.serial as job_serial, p.name as plant
    from look k join job j on j.id = k.job_id join plant p on p.id = j.plant_id where k.job_id = ?1 order by k.serial desc";
const OPEN: &str = "select k.*, j.year as job_year, j.serial as job_serial, p.name as plant
    from look k join job j on j.id = k.job_id join plant p on p.id = j.plant_id
    where k.ended_at is null and k.withdrawn_at is null order by k.made_at";
const OF_TRIAL: &str = "select id from look where trial_id = ?1";
const LINES: &str = "select * from look_line where look_id = ?1 order by made_at, id";
const FIND_LINE: &str = "select * from look_line where id = ?1";
const NEXT_SERIAL: &str = "select coalesce(max(serial), 0) + 1 from look where job_id = ?1";
const BEGIN: &str =
    "insert into look (job_id, serial, asks, by, made_at) values (?1, ?2, ?3, ?4, ?5) returning id";
const ADD: &str = "insert into look_line (look_id, job_id, words, reading, value, pressed_with, picture_id, defect_id, by, made_at)
    select ?1, job_id, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9 from look where id = ?1 returning id";
const END: &str = "update look set ended_at = ?2, found = ?3 where id = ?1";
const BECAME: &str = "update look set ended_at = ?2, trial_id = ?3 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("looks::FIND", FIND),
    ("looks::OF_JOB", OF_JOB),
    ("looks::OPEN", OPEN),
    ("looks::OF_TRIAL", OF_TRIAL),
    ("looks::LINES", LINES),
    ("looks::FIND_LINE", FIND_LINE),
    ("looks::NEXT_SERIAL", NEXT_SERIAL),
    ("looks::BEGIN", BEGIN),
    ("looks::ADD", ADD),
    ("looks::END", END),
    ("looks::BECAME", BECAME),
];

/// What a pressure can be made with.
pub const PRESSED_WITH: [&str; 3] = ["air", "water", "steam"];

/// A look as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Look {
    /// Its row.
    pub id: LookId,
    /// The job.
    pub job_id: JobId,
    /// Year of the job's number.
    pub job_year: i64,
    /// Serial of the job's number.
    pub job_serial: i64,
    /// Name of the plant.
    pub plant: String,
    /// Which look of the job.
    pub serial: i64,
    /// What somebody wanted to know.
    pub asks: String,
    /// What was found; empty while it goes on.
    pub found: String,
    /// Who looked.
    pub by: String,
    /// When it was put down.
    pub ended_at: Option<Stamp>,
    /// The trial that it became.
    pub trial_id: Option<TrialId>,
    /// When it began.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

impl Look {
    /// The job's number, `26-014`.
    #[must_use]
    pub fn job_number(&self) -> String {
        crate::jobs::number(self.job_year, self.job_serial)
    }

    /// Does it go on?
    #[must_use]
    pub const fn goes_on(&self) -> bool {
        self.ended_at.is_none() && self.withdrawn_at.is_none()
    }
}

/// A line of a look: a note, a reading, a picture or a defect, with its time.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Line {
    /// Its row.
    pub id: LookLineId,
    /// The look.
    pub look_id: LookId,
    /// The job.
    pub job_id: JobId,
    /// What it says.
    pub words: String,
    /// A reading's key, in the words of the trial file.
    pub reading: Option<String>,
    /// Its figure as decimal text.
    pub value: Option<String>,
    /// What a pressure was made with; empty for all else.
    pub pressed_with: String,
    /// The picture taken.
    pub picture_id: Option<PictureId>,
    /// The defect found.
    pub defect_id: Option<DefectId>,
    /// Who wrote it.
    pub by: String,
    /// When.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// A line that is to be written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewLine {
    /// What it says.
    pub words: String,
    /// A reading's key and its figure as decimal text.
    pub reading: Option<(String, String)>,
    /// What a pressure was made with, one of [`PRESSED_WITH`]; empty for all else.
    pub pressed_with: String,
    /// The picture taken.
    pub picture: Option<PictureId>,
    /// The defect found.
    pub defect: Option<DefectId>,
}

/// One look.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: LookId) -> Result<Look, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("look"))
}

async fn find_in(w: &mut Write, id: LookId) -> Result<Look, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(w.conn())
        .await?
        .ok_or(Error::Missing("look"))
}

/// The looks of a job, the newest on top, withdrawn ones too.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<Look>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Every look that goes on, the longest first.
///
/// # Errors
/// Only the database's.
pub async fn open(store: &Store) -> Result<Vec<Look>, Error> {
    Ok(sqlx::query_as(OPEN).fetch_all(store.readers()).await?)
}

/// The look that a trial was at first.
///
/// # Errors
/// Only the database's.
pub async fn of_trial(store: &Store, trial: TrialId) -> Result<Option<LookId>, Error> {
    Ok(sqlx::query_scalar(OF_TRIAL)
        .bind(trial)
        .fetch_optional(store.readers())
        .await?)
}

/// The lines of a look in the order they were written, withdrawn ones too.
///
/// # Errors
/// Only the database's.
pub async fn lines(store: &Store, look: LookId) -> Result<Vec<Line>, Error> {
    Ok(sqlx::query_as(LINES)
        .bind(look)
        .fetch_all(store.readers())
        .await?)
}

/// One line.
///
/// # Errors
/// [`Error::Missing`].
pub async fn line(store: &Store, id: LookLineId) -> Result<Line, Error> {
    sqlx::query_as(FIND_LINE)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("line"))
}

/// Begins a look at what somebody wants to know.
///
/// # Errors
/// [`Error::Rule`] when nothing is asked.
pub async fn begin(w: &mut Write, job: JobId, asks: &str) -> Result<LookId, Error> {
    let (now, by) = (w.now(), w.by().to_owned());
    let serial: i64 = sqlx::query_scalar(NEXT_SERIAL)
        .bind(job)
        .fetch_one(w.conn())
        .await?;
    let id: LookId = sqlx::query_scalar(BEGIN)
        .bind(job)
        .bind(serial)
        .bind(asks)
        .bind(by)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Look, id.get()).await?;
    Ok(id)
}

/// Writes a line into a look. One that was put down goes on with it; one that became a trial takes no more.
///
/// # Errors
/// [`Error::Missing`]; [`Error::Refused`] once it is a trial.
pub async fn add(w: &mut Write, look: LookId, new: &NewLine) -> Result<LookLineId, Error> {
    let known = find_in(w, look).await?;
    if known.trial_id.is_some() {
        return Err(Error::Refused(
            "this look became a trial: write it down there".to_owned(),
        ));
    }
    if known.ended_at.is_some() {
        put(w, &known, None, &known.found.clone()).await?;
    }
    let (now, by) = (w.now(), w.by().to_owned());
    let (reading, value) = new.reading.clone().unzip();
    Ok(sqlx::query_scalar(ADD)
        .bind(look)
        .bind(&new.words)
        .bind(reading)
        .bind(value)
        .bind(&new.pressed_with)
        .bind(new.picture)
        .bind(new.defect)
        .bind(by)
        .bind(now)
        .fetch_one(w.conn())
        .await?)
}

/// Puts a look down with what was found.
///
/// # Errors
/// [`Error::Missing`].
pub async fn end(w: &mut Write, id: LookId, found: &str) -> Result<(), Error> {
    let known = find_in(w, id).await?;
    let at = known.ended_at.unwrap_or_else(|| w.now());
    put(w, &known, Some(at), found).await
}

async fn put(w: &mut Write, look: &Look, ended: Option<Stamp>, found: &str) -> Result<(), Error> {
    let before = change::before(w, Subject::Look, look.id.get()).await?;
    sqlx::query(END)
        .bind(look.id)
        .bind(ended)
        .bind(found)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Makes a look the trial that it really is.
///
/// # Errors
/// [`Error::Missing`]; [`Error::Rule`] when it is another trial already.
pub async fn became(w: &mut Write, id: LookId, trial: TrialId) -> Result<(), Error> {
    let before = change::before(w, Subject::Look, id.get()).await?;
    let now = w.now();
    sqlx::query(BECAME)
        .bind(id)
        .bind(now)
        .bind(trial)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
