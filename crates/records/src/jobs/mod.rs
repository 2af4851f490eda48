//! Jobs: one visit of one plant. The program gives the number.

mod row;

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{JobId, PlantId};
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

pub(crate) use row::number_of;
pub use row::{Job, WaitsFor, number};

const BY_NUMBER: &str =
    "select * from job_line where year % 100 = ?1 and serial = ?2 order by year desc limit 1";
const BY_ID: &str = "select * from job_line where id = ?1";
const OPEN: &str = "select * from job_line where stands not in ('gone home', 'gone home unrepaired') and withdrawn_at is null order by year, serial";
const GONE: &str = "select * from job_line where stands in ('gone home', 'gone home unrepaired') and withdrawn_at is null
    and (year, serial) < (?1, ?2) order by year desc, serial desc limit ?3";
const WITHDRAWN: &str =
    "select * from job_line where withdrawn_at is not null and (year, serial) < (?1, ?2)
    order by year desc, serial desc limit ?3";
const OF_PLANT: &str = "select * from job_line where plant_id = ?1 order by year desc, serial desc";
const NEXT_SERIAL: &str = "select coalesce(max(serial), 0) + 1 from job where year = ?1";
const BOOK: &str = "insert into job (year, serial, plant_id, words, condition, contents, came_in_on, promised_on, stands_since, me_since,
    next_time, return_of, estimate_pence, private_note, made_at, came_back, back_through, back_charged, steam_to_bar)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19) returning id";
const CHANGE: &str = "update job set words = ?2, condition = ?3, contents = ?4, came_in_on = ?5, promised_on = ?6, next_time = ?7,
    return_of = ?8, estimate_pence = ?9, private_note = ?10, came_back = ?11, back_through = ?12, back_charged = ?13, steam_to_bar = ?14
    where id = ?1";
const SAME_PLANT: &str = "select exists (select 1 from job where id = ?1 and plant_id = ?2)";
const STAND: &str = "update job set stands = ?2, stands_since = ?3 where id = ?1 and stands <> ?2";
const PLACE: &str = "insert into job_place (job_id, place, since) values (?1, ?2, ?3)";
const PLACES: &str = "select place, since from job_place where job_id = ?1 order by since, id";
const WAIT: &str = "update job set me_since = ?2, inspector_since = ?3 where id = ?1";
const NEXT_TIME: &str = "update job set next_time = ?2 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("jobs::BY_NUMBER", BY_NUMBER),
    ("jobs::BY_ID", BY_ID),
    ("jobs::OPEN", OPEN),
    ("jobs::GONE", GONE),
    ("jobs::WITHDRAWN", WITHDRAWN),
    ("jobs::OF_PLANT", OF_PLANT),
    ("jobs::NEXT_SERIAL", NEXT_SERIAL),
    ("jobs::BOOK", BOOK),
    ("jobs::CHANGE", CHANGE),
    ("jobs::SAME_PLANT", SAME_PLANT),
    ("jobs::STAND", STAND),
    ("jobs::PLACE", PLACE),
    ("jobs::PLACES", PLACES),
    ("jobs::WAIT", WAIT),
    ("jobs::NEXT_TIME", NEXT_TIME),
];

/// Where a job can be put by hand; *under trial* is derived from a running trial.
pub const STANDS: [&str; 6] = [
    "in",
    "opened up",
    "on the bench",
    "ready",
    "gone home",
    "gone home unrepaired",
];

/// Through what a plant can come back.
pub const BACK_THROUGH: [&str; 4] = ["our fault", "wear", "use", "not found"];

/// Whether what came back is charged.
pub const BACK_CHARGED: [&str; 2] = ["charged", "not charged"];

/// What is said of a return.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Back {
    /// What came back, in a few words.
    pub what: String,
    /// Through what: one of [`BACK_THROUGH`]; none while that is not settled.
    pub through: Option<String>,
    /// One of [`BACK_CHARGED`]; none while that is not settled.
    pub charged: Option<String>,
}

/// A job as written on the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewJob {
    /// The customer's own words.
    pub words: String,
    /// Condition on arrival.
    pub condition: String,
    /// What came with it.
    pub contents: String,
    /// The day it came in.
    pub came_in_on: Day,
    /// The day it is promised for.
    pub promised_on: Option<Day>,
    /// What to do next.
    pub next_time: String,
    /// The job this is a return of.
    pub return_of: Option<JobId>,
    /// What is said of that.
    pub back: Back,
    /// Up to what gauge pressure its customer lets it be steamed, as typed; empty where nothing was said.
    pub steam_to_bar: String,
    /// Estimate.
    pub estimate_pence: Option<i64>,
    /// A private note.
    pub private_note: String,
}

/// Reads `26-014` into year within the century, and serial.
#[must_use]
pub fn read_number(text: &str) -> Option<(i64, i64)> {
    let (year, serial) = text.trim().split_once('-')?;
    let digits = |t: &str| {
        (!t.is_empty() && t.len() <= 6 && t.bytes().all(|b| b.is_ascii_digit()))
            .then(|| t.parse().ok())?
    };
    (year.len() == 2).then_some(())?;
    Some((digits(year)?, digits(serial)?))
}

/// The job with a number.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, number: &str) -> Result<Job, Error> {
    let (year, serial) = read_number(number).ok_or(Error::Missing("job"))?;
    sqlx::query_as(BY_NUMBER)
        .bind(year)
        .bind(serial)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("job"))
}

/// The job of a row.
///
/// # Errors
/// [`Error::Missing`].
pub async fn by_id(store: &Store, id: JobId) -> Result<Job, Error> {
    sqlx::query_as(BY_ID)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("job"))
}

/// The same within a transaction.
///
/// # Errors
/// [`Error::Missing`].
pub async fn by_id_in(w: &mut Write, id: JobId) -> Result<Job, Error> {
    sqlx::query_as(BY_ID)
        .bind(id)
        .fetch_optional(w.conn())
        .await?
        .ok_or(Error::Missing("job"))
}

/// Jobs that have not gone home.
///
/// # Errors
/// Only the database's.
pub async fn open(store: &Store) -> Result<Vec<Job>, Error> {
    Ok(sqlx::query_as(OPEN).fetch_all(store.readers()).await?)
}

/// Where a list of jobs goes on: the year and serial of the last that was shown.
pub type After = Option<(i64, i64)>;

/// Jobs that have gone home, the newest first.
///
/// # Errors
/// Only the database's.
pub async fn gone(store: &Store, after: After, at_most: i64) -> Result<Vec<Job>, Error> {
    some(store, GONE, after, at_most).await
}

/// Jobs that were withdrawn, the newest first.
///
/// # Errors
/// Only the database's.
pub async fn withdrawn(store: &Store, after: After, at_most: i64) -> Result<Vec<Job>, Error> {
    some(store, WITHDRAWN, after, at_most).await
}

async fn some(
    store: &Store,
    statement: &'static str,
    after: After,
    at_most: i64,
) -> Result<Vec<Job>, Error> {
    let (year, serial) = after.unwrap_or((i64::MAX, i64::MAX));
    Ok(sqlx::query_as(statement)
        .bind(year)
        .bind(serial)
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// Every job a plant ever had, the newest first.
///
/// # Errors
/// Only the database's.
pub async fn of_plant(store: &Store, plant: PlantId) -> Result<Vec<Job>, Error> {
    Ok(sqlx::query_as(OF_PLANT)
        .bind(plant)
        .fetch_all(store.readers())
        .await?)
}

/// Where a job stood, each since when, in the order it came there.
///
/// # Errors
/// Only the database's.
pub async fn places(store: &Store, job: JobId) -> Result<Vec<(String, Stamp)>, Error> {
    Ok(sqlx::query_as(PLACES)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Books a job in: it gets the next number of the year it came in, stands *in*, and waits for me.
///
/// # Errors
/// [`Error::Refused`] when there is no such plant, or it is said to be a return of another plant's job.
pub async fn book(w: &mut Write, plant: PlantId, new: &NewJob) -> Result<JobId, Error> {
    returns_of_its_own(w, plant, new).await?;
    let (now, year) = (w.now(), new.came_in_on.year());
    let serial: i64 = sqlx::query_scalar(NEXT_SERIAL)
        .bind(year)
        .fetch_one(w.conn())
        .await?;
    let id: JobId = sqlx::query_scalar(BOOK)
        .bind(year)
        .bind(serial)
        .bind(plant)
        .bind(&new.words)
        .bind(&new.condition)
        .bind(&new.contents)
        .bind(&new.came_in_on)
        .bind(&new.promised_on)
        .bind(now)
        .bind(now)
        .bind(&new.next_time)
        .bind(new.return_of)
        .bind(new.estimate_pence)
        .bind(&new.private_note)
        .bind(now)
        .bind(&new.back.what)
        .bind(&new.back.through)
        .bind(&new.back.charged)
        .bind(&new.steam_to_bar)
        .fetch_one(w.conn())
        .await?;
    sqlx::query(PLACE)
        .bind(id)
        .bind("in")
        .bind(new.came_in_on.noon())
        .execute(w.conn())
        .await?;
    change::made(w, Subject::Job, id.get()).await?;
    Ok(id)
}

/// A job is a return of an earlier job of the same plant.
async fn returns_of_its_own(w: &mut Write, plant: PlantId, new: &NewJob) -> Result<(), Error> {
    let Some(earlier) = new.return_of else {
        return Ok(());
    };
    let own: bool = sqlx::query_scalar(SAME_PLANT)
        .bind(earlier)
        .bind(plant)
        .fetch_one(w.conn())
        .await?;
    if own {
        return Ok(());
    }
    Err(Error::Refused(
        "a job is a return of an earlier job of the same plant".to_owned(),
    ))
}

/// Changes what is written of a job.
///
/// # Errors
/// [`Error::Missing`]; [`Error::Refused`] when it is said to be a return of another plant's job.
pub async fn change(w: &mut Write, id: JobId, new: &NewJob) -> Result<(), Error> {
    let plant = by_id_in(w, id).await?.plant_id;
    returns_of_its_own(w, plant, new).await?;
    let before = change::before(w, Subject::Job, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.words)
        .bind(&new.condition)
        .bind(&new.contents)
        .bind(&new.came_in_on)
        .bind(&new.promised_on)
        .bind(&new.next_time)
        .bind(new.return_of)
        .bind(new.estimate_pence)
        .bind(&new.private_note)
        .bind(&new.back.what)
        .bind(&new.back.through)
        .bind(&new.back.charged)
        .bind(&new.steam_to_bar)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Puts a job where it stands. It does not go home repaired while a bar forbids handover.
///
/// # Errors
/// [`Error::Refused`] with the reason; [`Error::Rule`] for an unknown place.
pub async fn stand(w: &mut Write, id: JobId, place: &str) -> Result<(), Error> {
    let job = by_id_in(w, id).await?;
    if place == "gone home" && job.no_steam + job.no_handover > 0 {
        let bars = job.no_steam + job.no_handover;
        return Err(Error::Refused(format!(
            "{bars} bars forbid handover: clear the defects and end what is for now first, or send it home unrepaired"
        )));
    }
    if place.starts_with("gone home") && job.trial_since.is_some() {
        return Err(Error::Refused(
            "a trial of it is running: close the trial first".to_owned(),
        ));
    }
    let before = change::before(w, Subject::Job, id.get()).await?;
    let now = w.now();
    if sqlx::query(STAND)
        .bind(id)
        .bind(place)
        .bind(now)
        .execute(w.conn())
        .await?
        .rows_affected()
        > 0
    {
        sqlx::query(PLACE)
            .bind(id)
            .bind(place)
            .bind(now)
            .execute(w.conn())
            .await?;
    }
    before.changed(w).await
}

/// Says whether it waits for me and for the inspector. What already waited keeps its *since*.
///
/// # Errors
/// [`Error::Missing`].
pub async fn wait(w: &mut Write, id: JobId, me: bool, inspector: bool) -> Result<(), Error> {
    let job = by_id_in(w, id).await?;
    let before = change::before(w, Subject::Job, id.get()).await?;
    let now = w.now();
    let since = |wanted: bool, known: Option<Stamp>| wanted.then(|| known.unwrap_or(now));
    sqlx::query(WAIT)
        .bind(id)
        .bind(since(me, job.me_since))
        .bind(since(inspector, job.inspector_since))
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Writes the next-time line.
///
/// # Errors
/// Only the database's.
pub async fn next_time(w: &mut Write, id: JobId, line: &str) -> Result<(), Error> {
    let before = change::before(w, Subject::Job, id.get()).await?;
    sqlx::query(NEXT_TIME)
        .bind(id)
        .bind(line)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

#[cfg(test)]
mod tests {
    use super::read_number;

    #[test]
    fn a_number_is_year_and_serial() {
        assert_eq!(read_number("26-014"), Some((26, 14)));
        assert_eq!(read_number(" 26-1014 "), Some((26, 1014)));
        for bad in [
            "", "26", "026-1", "26-", "26--1", "26-+1", "26-1/2", "aa-001",
        ] {
            assert_eq!(read_number(bad), None, "{bad}");
        }
    }
}
