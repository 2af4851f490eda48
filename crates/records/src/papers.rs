//! Other people's papers of a plant: number, pressure, date, valid until, by whom.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{PaperId, PlantId};
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

const FIND: &str = "select * from paper where id = ?1";
const OF_PLANT: &str = "select * from paper where plant_id = ?1 order by withdrawn_at is not null, on_day desc, id desc";
const STANDING: &str = "select * from paper where plant_id = ?1 and withdrawn_at is null order by on_day desc, id desc";
const MAKE: &str = "insert into paper (plant_id, kind, number, pressure_bar, on_day, valid_until, by_whom, note, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9) returning id";
const CHANGE: &str = "update paper set kind = ?2, number = ?3, pressure_bar = ?4, on_day = ?5, valid_until = ?6, by_whom = ?7, note = ?8 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("papers::FIND", FIND),
    ("papers::OF_PLANT", OF_PLANT),
    ("papers::STANDING", STANDING),
    ("papers::MAKE", MAKE),
    ("papers::CHANGE", CHANGE),
];

/// What a paper can be of.
pub const KINDS: [&str; 5] = [
    "water test",
    "steam test",
    "certificate",
    "insurance",
    "other",
];

/// A paper as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Paper {
    /// Its row.
    pub id: PaperId,
    /// The plant.
    pub plant_id: PlantId,
    /// One of [`KINDS`].
    pub kind: String,
    /// Its number.
    pub number: String,
    /// The pressure on it, bar, as typed; empty where none is.
    pub pressure_bar: String,
    /// The day on it.
    pub on_day: Day,
    /// Until when it says it is valid.
    pub valid_until: Option<Day>,
    /// Who gave it.
    pub by_whom: String,
    /// A note.
    pub note: String,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

impl Paper {
    /// What it is in a few words: `water test no. 12 by the club`.
    #[must_use]
    pub fn words(&self) -> String {
        let mut words = self.kind.clone();
        if !self.number.is_empty() {
            words.push_str(&format!(" no. {}", self.number));
        }
        if !self.by_whom.is_empty() {
            words.push_str(&format!(" by {}", self.by_whom));
        }
        words
    }
}

/// A paper as written on the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPaper {
    /// One of [`KINDS`].
    pub kind: String,
    /// Its number.
    pub number: String,
    /// The pressure on it, bar.
    pub pressure_bar: String,
    /// The day on it.
    pub on_day: Day,
    /// Until when it says it is valid.
    pub valid_until: Option<Day>,
    /// Who gave it.
    pub by_whom: String,
    /// A note.
    pub note: String,
}

/// One paper.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: PaperId) -> Result<Paper, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("paper"))
}

/// The papers of a plant, the newest first, withdrawn ones last.
///
/// # Errors
/// Only the database's.
pub async fn of_plant(store: &Store, plant: PlantId) -> Result<Vec<Paper>, Error> {
    Ok(sqlx::query_as(OF_PLANT)
        .bind(plant)
        .fetch_all(store.readers())
        .await?)
}

/// Every paper of a plant that stands, the newest first.
pub(crate) async fn standing_of(w: &mut Write, plant: PlantId) -> Result<Vec<Paper>, Error> {
    Ok(sqlx::query_as(STANDING)
        .bind(plant)
        .fetch_all(w.conn())
        .await?)
}

/// Writes a paper down.
///
/// # Errors
/// [`Error::Rule`] when kind or days cannot be; [`Error::Refused`] when there is no such plant.
pub async fn make(w: &mut Write, plant: PlantId, new: &NewPaper) -> Result<PaperId, Error> {
    let now = w.now();
    let id: PaperId = sqlx::query_scalar(MAKE)
        .bind(plant)
        .bind(&new.kind)
        .bind(&new.number)
        .bind(&new.pressure_bar)
        .bind(&new.on_day)
        .bind(&new.valid_until)
        .bind(&new.by_whom)
        .bind(&new.note)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Paper, id.get()).await?;
    Ok(id)
}

/// Changes what is written of a paper.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: PaperId, new: &NewPaper) -> Result<(), Error> {
    let before = change::before(w, Subject::Paper, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.kind)
        .bind(&new.number)
        .bind(&new.pressure_bar)
        .bind(&new.on_day)
        .bind(&new.valid_until)
        .bind(&new.by_whom)
        .bind(&new.note)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
