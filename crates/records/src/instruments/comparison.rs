//! Two gauges read side by side: what each was then, and what they showed, as typed.

use serde_json::{Map, Value};

use super::Instrument;
use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{ComparisonId, InstrumentId};
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

const FIND: &str = "select * from comparison where id = ?1";
const OF: &str = "select * from comparison where instrument_id = ?1 order by withdrawn_at is not null, on_day desc, id desc";
const NEWEST: &str = "select * from comparison where instrument_id = ?1 and withdrawn_at is null order by on_day desc, id desc limit 1";
const MAKE: &str =
    "insert into comparison (instrument_id, against_id, on_day, gauges, points, by, note, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) returning id";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("instruments::comparison::FIND", FIND),
    ("instruments::comparison::OF", OF),
    ("instruments::comparison::NEWEST", NEWEST),
    ("instruments::comparison::MAKE", MAKE),
];

/// A comparison as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Comparison {
    /// Its row.
    pub id: ComparisonId,
    /// The gauge that was held against another.
    pub instrument_id: InstrumentId,
    /// The test gauge.
    pub against_id: InstrumentId,
    /// The day.
    pub on_day: Day,
    /// JSON of both gauges as they were then.
    pub gauges: String,
    /// JSON of what they showed.
    pub points: String,
    /// Who read them.
    pub by: String,
    /// A note.
    pub note: String,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// Both gauges as they were when they were compared; figures as typed, empty where not known.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Gauges {
    /// Mark of the test gauge.
    pub test_mark: String,
    /// Its class.
    pub test_class: String,
    /// Its full scale, bar.
    pub test_span: String,
    /// Its smallest step, bar.
    pub test_step: String,
    /// When it was due again.
    pub test_due: String,
    /// Class of the gauge that was compared.
    pub class: String,
    /// Its full scale, bar.
    pub span: String,
    /// Its smallest step, bar.
    pub step: String,
}

/// What the two showed at one pressure, as typed; `down` is empty where it was not read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReadAt {
    /// The test gauge.
    pub test: String,
    /// The gauge, going up.
    pub up: String,
    /// The gauge, coming down.
    pub down: String,
}

/// A comparison as written on the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewComparison {
    /// The day.
    pub on_day: Day,
    /// What they showed, the lowest pressure first.
    pub points: Vec<ReadAt>,
    /// A note.
    pub note: String,
}

impl Gauges {
    /// Both as they are now.
    #[must_use]
    pub fn of(gauge: &Instrument, test: &Instrument) -> Self {
        Self {
            test_mark: test.mark.clone(),
            test_class: test.accuracy.clone(),
            test_span: test.full_scale.clone(),
            test_step: test.resolution.clone(),
            test_due: test
                .due_on
                .as_ref()
                .map_or_else(String::new, |d| d.iso().to_owned()),
            class: gauge.accuracy.clone(),
            span: gauge.full_scale.clone(),
            step: gauge.resolution.clone(),
        }
    }

    fn pairs(&self) -> [(&'static str, &String); 8] {
        [
            ("test_mark", &self.test_mark),
            ("test_class", &self.test_class),
            ("test_span_bar", &self.test_span),
            ("test_step_bar", &self.test_step),
            ("test_due", &self.test_due),
            ("class", &self.class),
            ("span_bar", &self.span),
            ("step_bar", &self.step),
        ]
    }
}

impl Comparison {
    /// Both gauges as they were then.
    #[must_use]
    pub fn as_they_were(&self) -> Gauges {
        let kept: Map<String, Value> = serde_json::from_str(&self.gauges).unwrap_or_default();
        Gauges {
            test_mark: text(&kept, "test_mark"),
            test_class: text(&kept, "test_class"),
            test_span: text(&kept, "test_span_bar"),
            test_step: text(&kept, "test_step_bar"),
            test_due: text(&kept, "test_due"),
            class: text(&kept, "class"),
            span: text(&kept, "span_bar"),
            step: text(&kept, "step_bar"),
        }
    }

    /// What they showed.
    #[must_use]
    pub fn read_at(&self) -> Vec<ReadAt> {
        let kept: Vec<Map<String, Value>> = serde_json::from_str(&self.points).unwrap_or_default();
        kept.iter()
            .map(|p| ReadAt {
                test: text(p, "test_bar"),
                up: text(p, "up_bar"),
                down: text(p, "down_bar"),
            })
            .collect()
    }
}

fn text(map: &Map<String, Value>, key: &str) -> String {
    map.get(key)
        .and_then(Value::as_str)
        .unwrap_or("")
        .to_owned()
}

/// One comparison.
///
/// # Errors
/// [`Error::Missing`].
pub async fn comparison(store: &Store, id: ComparisonId) -> Result<Comparison, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("comparison"))
}

/// Every comparison of a gauge, the newest first, withdrawn ones last.
///
/// # Errors
/// Only the database's.
pub async fn comparisons(store: &Store, id: InstrumentId) -> Result<Vec<Comparison>, Error> {
    Ok(sqlx::query_as(OF)
        .bind(id)
        .fetch_all(store.readers())
        .await?)
}

/// The newest comparison of a gauge that stands.
///
/// # Errors
/// Only the database's.
pub async fn newest_comparison(
    store: &Store,
    id: InstrumentId,
) -> Result<Option<Comparison>, Error> {
    Ok(sqlx::query_as(NEWEST)
        .bind(id)
        .fetch_optional(store.readers())
        .await?)
}

/// Keeps what two gauges showed side by side, with both as they are today.
///
/// # Errors
/// [`Error::Rule`] when a gauge is compared with itself.
pub async fn compare(
    w: &mut Write,
    (gauge, test): (InstrumentId, InstrumentId),
    gauges: &Gauges,
    new: &NewComparison,
) -> Result<ComparisonId, Error> {
    let (now, by) = (w.now(), w.by().to_owned());
    let object = |pairs: Vec<(&str, &String)>| -> Value {
        let pairs = pairs.into_iter().filter(|(_, v)| !v.is_empty());
        pairs
            .map(|(k, v)| (k.to_owned(), Value::from(v.as_str())))
            .collect::<Map<_, _>>()
            .into()
    };
    let points: Vec<Value> = new
        .points
        .iter()
        .map(|p| {
            object(vec![
                ("test_bar", &p.test),
                ("up_bar", &p.up),
                ("down_bar", &p.down),
            ])
        })
        .collect();
    let id: ComparisonId = sqlx::query_scalar(MAKE)
        .bind(gauge)
        .bind(test)
        .bind(&new.on_day)
        .bind(object(gauges.pairs().to_vec()).to_string())
        .bind(Value::from(points).to_string())
        .bind(by)
        .bind(&new.note)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Comparison, id.get()).await?;
    Ok(id)
}
