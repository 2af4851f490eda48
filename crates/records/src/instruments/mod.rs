//! The register of instruments: the workshop's own and each plant's, their range, class and calibration.

mod comparison;

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{InstrumentId, PlantId};
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

#[cfg(any(test, feature = "ten-years"))]
pub(crate) use comparison::STATEMENTS as COMPARISON_STATEMENTS;
pub use comparison::{
    Comparison, Gauges, NewComparison, ReadAt, compare, comparison, comparisons, newest_comparison,
};

const FIND: &str = "select i.*, p.name as plant from instrument i left join plant p on p.id = i.plant_id where i.id = ?1";
const OWN: &str = "select i.*, null as plant from instrument i where i.plant_id is null
    order by i.withdrawn_at is not null, i.kind, i.mark";
const ON_PLANTS: &str =
    "select i.*, p.name as plant from instrument i cross join plant p on p.id = i.plant_id
    where i.plant_id is not null and i.id < ?1 order by i.id desc limit ?2";
const AT_HAND: &str = "select i.*, p.name as plant from instrument i left join plant p on p.id = i.plant_id
    where i.withdrawn_at is null and (i.plant_id is null or i.plant_id = ?1) order by i.plant_id is null, i.kind, i.mark";
const MAKE: &str = "insert into instrument (plant_id, kind, mark, name, full_scale, accuracy, resolution, repeatability,
    calibrated_on, calibrated_by, due_on, note, made_at) values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13) returning id";
const CHANGE: &str = "update instrument set plant_id = ?2, kind = ?3, mark = ?4, name = ?5, full_scale = ?6, accuracy = ?7, resolution = ?8,
    repeatability = ?9, calibrated_on = ?10, calibrated_by = ?11, due_on = ?12, note = ?13 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("instruments::FIND", FIND),
    ("instruments::OWN", OWN),
    ("instruments::ON_PLANTS", ON_PLANTS),
    ("instruments::AT_HAND", AT_HAND),
    ("instruments::MAKE", MAKE),
    ("instruments::CHANGE", CHANGE),
];

/// What an instrument can be.
pub const KINDS: [&str; 6] = [
    "pressure gauge",
    "thermometer",
    "CO meter",
    "scale",
    "stopwatch",
    "other",
];

/// An instrument as stored. Figures are as typed, in the unit of its kind; empty is not known.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Instrument {
    /// Its row.
    pub id: InstrumentId,
    /// The plant it belongs to; none for the workshop's own.
    pub plant_id: Option<PlantId>,
    /// One of [`KINDS`].
    pub kind: String,
    /// The mark on it.
    pub mark: String,
    /// What it is.
    pub name: String,
    /// Full scale.
    pub full_scale: String,
    /// A pressure gauge's class; a thermometer's ± °C; a CO meter's ± %.
    pub accuracy: String,
    /// The smallest step that can be read.
    pub resolution: String,
    /// Within what a thermometer repeats itself, K.
    pub repeatability: String,
    /// The day of its calibration.
    pub calibrated_on: Option<Day>,
    /// By whom.
    pub calibrated_by: String,
    /// When it is due again.
    pub due_on: Option<Day>,
    /// A note.
    pub note: String,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
    /// Name of its plant.
    pub plant: Option<String>,
}

impl Instrument {
    /// Whose it is, in words.
    #[must_use]
    pub fn whose(&self) -> &str {
        self.plant.as_deref().unwrap_or("the workshop")
    }

    /// Whether its calibration is over on a day; where no day is known nothing is said.
    #[must_use]
    pub fn is_overdue(&self, on: &Day) -> bool {
        self.due_on.as_ref().is_some_and(|due| due < on)
    }

    /// The unit of what it shows.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        unit_of(&self.kind)
    }
}

/// The unit of what a kind of instrument shows.
#[must_use]
pub fn unit_of(kind: &str) -> &'static str {
    match kind {
        "pressure gauge" => "bar",
        "thermometer" => "°C",
        "CO meter" => "ppm",
        "scale" => "g",
        "stopwatch" => "s",
        _ => "",
    }
}

/// An instrument as written on the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewInstrument {
    /// The plant it belongs to; none for the workshop's own.
    pub plant_id: Option<PlantId>,
    /// One of [`KINDS`].
    pub kind: String,
    /// The mark on it.
    pub mark: String,
    /// What it is.
    pub name: String,
    /// Full scale.
    pub full_scale: String,
    /// A pressure gauge's class; a thermometer's ± °C; a CO meter's ± %.
    pub accuracy: String,
    /// The smallest step that can be read.
    pub resolution: String,
    /// Within what a thermometer repeats itself, K.
    pub repeatability: String,
    /// The day of its calibration.
    pub calibrated_on: Option<Day>,
    /// By whom.
    pub calibrated_by: String,
    /// When it is due again.
    pub due_on: Option<Day>,
    /// A note.
    pub note: String,
}

/// One instrument.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: InstrumentId) -> Result<Instrument, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("instrument"))
}

/// The workshop's own, withdrawn ones last.
///
/// # Errors
/// Only the database's.
pub async fn own(store: &Store) -> Result<Vec<Instrument>, Error> {
    Ok(sqlx::query_as(OWN).fetch_all(store.readers()).await?)
}

/// What sits on the plants, the newest first, from before the one that was shown last.
///
/// # Errors
/// Only the database's.
pub async fn on_plants(
    store: &Store,
    newer: Option<InstrumentId>,
    at_most: i64,
) -> Result<Vec<Instrument>, Error> {
    Ok(sqlx::query_as(ON_PLANTS)
        .bind(newer.map_or(i64::MAX, InstrumentId::get))
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// What is at hand for a trial of a plant: its own instruments and the workshop's.
///
/// # Errors
/// Only the database's.
pub async fn at_hand(store: &Store, plant: PlantId) -> Result<Vec<Instrument>, Error> {
    Ok(sqlx::query_as(AT_HAND)
        .bind(plant)
        .fetch_all(store.readers())
        .await?)
}

/// Writes an instrument down.
///
/// # Errors
/// [`Error::Rule`] when kind or mark cannot be.
pub async fn make(w: &mut Write, new: &NewInstrument) -> Result<InstrumentId, Error> {
    let now = w.now();
    let id: InstrumentId = sqlx::query_scalar(MAKE)
        .bind(new.plant_id)
        .bind(&new.kind)
        .bind(&new.mark)
        .bind(&new.name)
        .bind(&new.full_scale)
        .bind(&new.accuracy)
        .bind(&new.resolution)
        .bind(&new.repeatability)
        .bind(&new.calibrated_on)
        .bind(&new.calibrated_by)
        .bind(&new.due_on)
        .bind(&new.note)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Instrument, id.get()).await?;
    Ok(id)
}

/// Changes an instrument. Trials and comparisons that copied it keep what they copied.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: InstrumentId, new: &NewInstrument) -> Result<(), Error> {
    let before = change::before(w, Subject::Instrument, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(new.plant_id)
        .bind(&new.kind)
        .bind(&new.mark)
        .bind(&new.name)
        .bind(&new.full_scale)
        .bind(&new.accuracy)
        .bind(&new.resolution)
        .bind(&new.repeatability)
        .bind(&new.calibrated_on)
        .bind(&new.calibrated_by)
        .bind(&new.due_on)
        .bind(&new.note)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
