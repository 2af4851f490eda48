//! Pictures: each of something, made anew from what was sent, stored by its content beside the database.

pub(crate) mod check;
mod develop;
pub(crate) mod shelf;
pub mod shown;
mod whole;

use std::path::{Path, PathBuf};

use tokio::sync::Semaphore;

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{JobId, PictureId, PlantId};
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

pub use develop::{MOST_BYTES, Unfit, too_many_bytes};
pub use shelf::ComingIn;

const FIND: &str = "select * from picture_line where id = ?1";
const OF: &str = "select * from picture_line where subject = ?1 and subject_id = ?2 order by withdrawn_at is not null, id";
const OF_JOB: &str =
    "select * from picture_line where job_id = ?1 order by withdrawn_at is not null, id";
const OF_PLANT: &str = "select * from picture_line where plant_id = ?1 and job_id is null order by withdrawn_at is not null, id";
const NAMED: &str = "select exists (select 1 from picture where page_sha256 = ?1) or exists (select 1 from picture where small_sha256 = ?1)";
const MAKE: &str = "insert into picture (subject, subject_id, plant_id, job_id, caption, taken_on, page_sha256, small_sha256,
    width, height, small_width, small_height, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13) returning id";
const CHANGE: &str = "update picture set caption = ?2, taken_on = ?3 where id = ?1";
const PLACE_JOB: &str = "select plant_id, id from job where id = ?1";
const PLACE_COMPONENT: &str = "select plant_id, null from component where id = ?1";
const PLACE_DEFECT: &str =
    "select j.plant_id, j.id from defect x join job j on j.id = x.job_id where x.id = ?1";
const PLACE_SITTING: &str =
    "select j.plant_id, j.id from sitting x join job j on j.id = x.job_id where x.id = ?1";
const PLACE_PART: &str =
    "select j.plant_id, j.id from part x join job j on j.id = x.job_id where x.id = ?1";
const PLACE_VARIATION: &str =
    "select j.plant_id, j.id from variation x join job j on j.id = x.job_id where x.id = ?1";
const PLACE_PAPER: &str = "select plant_id, null from paper where id = ?1";
const PLACE_TRIAL: &str =
    "select j.plant_id, j.id from trial x join job j on j.id = x.job_id where x.id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("pictures::FIND", FIND),
    ("pictures::OF", OF),
    ("pictures::OF_JOB", OF_JOB),
    ("pictures::OF_PLANT", OF_PLANT),
    ("pictures::NAMED", NAMED),
    ("pictures::MAKE", MAKE),
    ("pictures::CHANGE", CHANGE),
    ("pictures::PLACE_JOB", PLACE_JOB),
    ("pictures::PLACE_COMPONENT", PLACE_COMPONENT),
    ("pictures::PLACE_DEFECT", PLACE_DEFECT),
    ("pictures::PLACE_SITTING", PLACE_SITTING),
    ("pictures::PLACE_PART", PLACE_PART),
    ("pictures::PLACE_VARIATION", PLACE_VARIATION),
    ("pictures::PLACE_TRIAL", PLACE_TRIAL),
    ("pictures::PLACE_PAPER", PLACE_PAPER),
];

/// One decoding at a time: each may take a few hundred megabytes.
static ONE_AT_A_TIME: Semaphore = Semaphore::const_new(1);

/// What a picture can be of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// The plant as it came, with a job.
    Job,
    /// A component.
    Component,
    /// A defect.
    Defect,
    /// A sitting.
    Sitting,
    /// A part.
    Part,
    /// A variation.
    Variation,
    /// A trial.
    Trial,
    /// Somebody else's paper.
    Paper,
}

impl Of {
    const ALL: [Self; 8] = [
        Self::Job,
        Self::Component,
        Self::Defect,
        Self::Sitting,
        Self::Part,
        Self::Variation,
        Self::Trial,
        Self::Paper,
    ];

    /// Its word, in an address and in the database.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Job => "job",
            Self::Component => "component",
            Self::Defect => "defect",
            Self::Sitting => "sitting",
            Self::Part => "part",
            Self::Variation => "variation",
            Self::Trial => "trial",
            Self::Paper => "paper",
        }
    }

    /// Reads its word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|of| of.word() == word)
    }

    const fn place(self) -> &'static str {
        match self {
            Self::Job => PLACE_JOB,
            Self::Component => PLACE_COMPONENT,
            Self::Defect => PLACE_DEFECT,
            Self::Sitting => PLACE_SITTING,
            Self::Part => PLACE_PART,
            Self::Variation => PLACE_VARIATION,
            Self::Trial => PLACE_TRIAL,
            Self::Paper => PLACE_PAPER,
        }
    }
}

/// A picture as stored, with the words for what it is of.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Picture {
    /// Its row.
    pub id: PictureId,
    /// What kind of thing it is of: a word of [`Of`].
    pub subject: String,
    /// Which one.
    pub subject_id: i64,
    /// The plant.
    pub plant_id: PlantId,
    /// The job; a paper's picture belongs to none, a component's only where it was taken at its examination.
    pub job_id: Option<JobId>,
    /// What to look at.
    pub caption: String,
    /// The day it was taken.
    pub taken_on: Day,
    /// SHA-256 of the one for a page of its own.
    pub page_sha256: String,
    /// SHA-256 of the small one.
    pub small_sha256: String,
    /// Pixels across, on a page of its own.
    pub width: i64,
    /// Pixels down.
    pub height: i64,
    /// Pixels across, small.
    pub small_width: i64,
    /// Pixels down, small.
    pub small_height: i64,
    /// When it came in.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
    /// Year of the job's number.
    pub job_year: Option<i64>,
    /// Serial of the job's number.
    pub job_serial: Option<i64>,
    /// Name of the plant.
    pub plant: String,
    /// What it is of, in words.
    pub of_what: String,
}

impl Picture {
    /// Number of its job; empty for a picture of the plant itself.
    #[must_use]
    pub fn job_number(&self) -> String {
        crate::jobs::number_of(self.job_year, self.job_serial)
    }

    /// What it is of, without more words: `defect 3`.
    #[must_use]
    pub fn of_short(&self) -> &str {
        self.of_what.split(", ").next().unwrap_or(&self.of_what)
    }

    /// What it shows, for whoever cannot see it: the caption, or what it is of.
    #[must_use]
    pub fn says(&self) -> &str {
        if self.caption.is_empty() {
            &self.of_what
        } else {
            &self.caption
        }
    }
}

/// A picture on the shelf, in both sizes, not yet written down as being of anything.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shelved {
    page: (String, i64, i64),
    small: (String, i64, i64),
}

/// A picture as written down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPicture {
    /// What it is of.
    pub of: Of,
    /// Which one.
    pub subject_id: i64,
    /// The job it is taken in, where what it is of belongs to none.
    pub job: Option<JobId>,
    /// What to look at.
    pub caption: String,
    /// The day it was taken.
    pub taken_on: Day,
    /// The picture itself.
    pub shelved: Shelved,
}

/// Makes a picture of ours from a file that came in, and puts both sizes on the shelf.
/// The rows that name them come after: see [`make`].
///
/// # Errors
/// Whatever the disk says; what the file itself is unfit for is the inner refusal.
pub async fn shelve(folder: &Path, file: ComingIn) -> Result<Result<Shelved, Unfit>, Error> {
    let turn = ONE_AT_A_TIME.acquire().await.map_err(|_| Error::Busy)?;
    let shelf = folder.join(shelf::FOLDER);
    // The turn goes along: a sender who hangs up does not let a second decoding begin.
    tokio::task::spawn_blocking(move || {
        let _turn = turn;
        shelve_now(&shelf, file.path())
    })
    .await
    .unwrap_or(Ok(Err(Unfit::Damaged)))
}

fn shelve_now(shelf: &Path, file: &Path) -> Result<Result<Shelved, Unfit>, Error> {
    let developed = match develop::develop(file)? {
        Ok(developed) => developed,
        Err(unfit) => return Ok(Err(unfit)),
    };
    let on_shelf = |made: &develop::Sized| -> Result<(String, i64, i64), Error> {
        let hash = shelf::put(shelf, &made.bytes)?;
        Ok((hash, i64::from(made.width), i64::from(made.height)))
    };
    Ok(Ok(Shelved {
        page: on_shelf(&developed.page)?,
        small: on_shelf(&developed.small)?,
    }))
}

/// Writes down what a picture on the shelf is of.
///
/// # Errors
/// [`Error::Missing`] when what it is of is not there.
pub async fn make(w: &mut Write, new: &NewPicture) -> Result<PictureId, Error> {
    let now = w.now();
    let (plant, job): (PlantId, Option<JobId>) = sqlx::query_as(new.of.place())
        .bind(new.subject_id)
        .fetch_optional(w.conn())
        .await?
        .ok_or(Error::Missing(new.of.word()))?;
    let (page, width, height) = &new.shelved.page;
    let (small, small_width, small_height) = &new.shelved.small;
    let id: PictureId = sqlx::query_scalar(MAKE)
        .bind(new.of.word())
        .bind(new.subject_id)
        .bind(plant)
        .bind(job.or(new.job))
        .bind(&new.caption)
        .bind(&new.taken_on)
        .bind(page)
        .bind(small)
        .bind(width)
        .bind(height)
        .bind(small_width)
        .bind(small_height)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Picture, id.get()).await?;
    Ok(id)
}

/// Changes caption and day.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(
    w: &mut Write,
    id: PictureId,
    caption: &str,
    taken_on: &Day,
) -> Result<(), Error> {
    let before = change::before(w, Subject::Picture, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(caption)
        .bind(taken_on)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Whether there is something to take a picture of.
///
/// # Errors
/// [`Error::Missing`] when there is not.
pub async fn is_there(store: &Store, of: Of, id: i64) -> Result<(), Error> {
    sqlx::query_as::<_, (PlantId, Option<JobId>)>(of.place())
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .map(drop)
        .ok_or(Error::Missing(of.word()))
}

/// One picture.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: PictureId) -> Result<Picture, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("picture"))
}

/// The pictures of one thing, withdrawn ones last.
///
/// # Errors
/// Only the database's.
pub async fn of(store: &Store, of: Of, id: i64) -> Result<Vec<Picture>, Error> {
    Ok(sqlx::query_as(OF)
        .bind(of.word())
        .bind(id)
        .fetch_all(store.readers())
        .await?)
}

/// Every picture of a job and of all that belongs to it, withdrawn ones last.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<Picture>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// The pictures of a plant that belong to no job, withdrawn ones last.
///
/// # Errors
/// Only the database's.
pub async fn of_plant(store: &Store, plant: PlantId) -> Result<Vec<Picture>, Error> {
    Ok(sqlx::query_as(OF_PLANT)
        .bind(plant)
        .fetch_all(store.readers())
        .await?)
}

/// Where the file with a hash lies, if a row names it; nothing else on the disk is ever answered with.
///
/// # Errors
/// [`Error::Missing`] for every other hash.
pub async fn file(store: &Store, hash: &str) -> Result<PathBuf, Error> {
    let own: bool = sqlx::query_scalar(NAMED)
        .bind(hash)
        .fetch_one(store.readers())
        .await?;
    if own {
        Ok(path_of(store, hash))
    } else {
        Err(Error::Missing("picture"))
    }
}

/// Where a file that a row names lies.
pub(crate) fn path_of(store: &Store, hash: &str) -> PathBuf {
    shelf::path_of(&store.folder().join(shelf::FOLDER), hash)
}
