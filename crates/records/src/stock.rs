//! Small stock: what is used all the time, with its count; a sitting draws from it.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{JobId, SittingId, StockId, StockMoveId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const FIND: &str = "select * from stock where id = ?1";
const LIST: &str =
    "select * from stock where (withdrawn_at is not null, name collate nocase, id) > (?1, ?2, ?3)
    order by withdrawn_at is not null, name collate nocase, id limit ?4";
const CHOICES: &str =
    "select * from stock where withdrawn_at is null order by name collate nocase, id limit 1000";
const LOW: &str = "select count(*) from stock where withdrawn_at is null and count <= least";
const MAKE: &str =
    "insert into stock (name, unit, least, price_pence, supplier, lies, note, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) returning id";
const CHANGE: &str = "update stock set name = ?2, unit = ?3, least = ?4, price_pence = ?5, supplier = ?6, lies = ?7, note = ?8 where id = ?1";
const MOVE: &str =
    "insert into stock_move (stock_id, what, by_count, job_id, sitting_id, price_pence, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7) returning id";
const MOVES: &str = "select m.*, k.name, k.unit, s.serial as sitting_serial, j.year as job_year, j.serial as job_serial
    from stock_move m join stock k on k.id = m.stock_id left join sitting s on s.id = m.sitting_id left join job j on j.id = m.job_id
    where m.stock_id = ?1 and m.id < ?2 order by m.id desc limit ?3";
const OF_JOB: &str = "select m.*, k.name, k.unit, s.serial as sitting_serial, j.year as job_year, j.serial as job_serial
    from stock_move m join stock k on k.id = m.stock_id left join sitting s on s.id = m.sitting_id left join job j on j.id = m.job_id
    where m.job_id = ?1 order by m.id";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("stock::FIND", FIND),
    ("stock::LIST", LIST),
    ("stock::CHOICES", CHOICES),
    ("stock::LOW", LOW),
    ("stock::MAKE", MAKE),
    ("stock::CHANGE", CHANGE),
    ("stock::MOVE", MOVE),
    ("stock::MOVES", MOVES),
    ("stock::OF_JOB", OF_JOB),
];

/// Something kept in stock.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Stock {
    /// Its row.
    pub id: StockId,
    /// Name.
    pub name: String,
    /// What it is counted in: cm, pieces …
    pub unit: String,
    /// How many are left.
    pub count: i64,
    /// At or under this it is to be bought.
    pub least: Option<i64>,
    /// What one costs.
    pub price_pence: Option<i64>,
    /// Where it comes from.
    pub supplier: String,
    /// Where it lies.
    pub lies: String,
    /// A note.
    pub note: String,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

impl Stock {
    /// Is it to be bought?
    #[must_use]
    pub fn is_low(&self) -> bool {
        self.withdrawn_at.is_none() && self.least.is_some_and(|least| self.count <= least)
    }

    /// A count of it with its unit, `12 cm`.
    #[must_use]
    pub fn counted(&self, count: i64) -> String {
        format!("{count} {}", self.unit).trim_end().to_owned()
    }
}

/// Stock as written on the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewStock {
    /// Name.
    pub name: String,
    /// What it is counted in.
    pub unit: String,
    /// At or under this it is to be bought.
    pub least: Option<i64>,
    /// What one costs.
    pub price_pence: Option<i64>,
    /// Where it comes from.
    pub supplier: String,
    /// Where it lies.
    pub lies: String,
    /// A note.
    pub note: String,
}

/// What came, was drawn, or was found by counting.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct StockMove {
    /// Its row.
    pub id: StockMoveId,
    /// Of what.
    pub stock_id: StockId,
    /// Its name.
    pub name: String,
    /// Its unit.
    pub unit: String,
    /// `drawn`, `come in`, `counted`.
    pub what: String,
    /// By how much: less than nothing where it was drawn.
    pub by_count: i64,
    /// The job it was drawn for.
    pub job_id: Option<JobId>,
    /// Year of that job's number.
    pub job_year: Option<i64>,
    /// Serial of that job's number.
    pub job_serial: Option<i64>,
    /// The sitting it was drawn in.
    pub sitting_id: Option<SittingId>,
    /// Serial of that sitting.
    pub sitting_serial: Option<i64>,
    /// What one cost then.
    pub price_pence: Option<i64>,
    /// When.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

impl StockMove {
    /// The number of the job it was drawn for, `26-014`.
    #[must_use]
    pub fn job_number(&self) -> Option<String> {
        let (year, serial) = self.job_year.zip(self.job_serial)?;
        Some(crate::jobs::number(year, serial))
    }

    /// How much was moved, with its unit, whichever way.
    #[must_use]
    pub fn counted(&self) -> String {
        format!("{} {}", self.by_count.abs(), self.unit)
            .trim_end()
            .to_owned()
    }

    /// What was drawn cost; nothing where no price was known, or it was not drawn.
    #[must_use]
    pub fn costs_pence(&self) -> Option<i64> {
        (self.what == "drawn" && self.withdrawn_at.is_none())
            .then(|| self.price_pence.map(|p| p.saturating_mul(-self.by_count)))
            .flatten()
    }
}

/// How stock is moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moved {
    /// Drawn at the bench.
    Drawn {
        /// How much.
        count: i64,
        /// For which job.
        job: JobId,
        /// In which sitting.
        sitting: SittingId,
    },
    /// Bought.
    ComeIn(i64),
    /// Counted: so many are there.
    Counted(i64),
}

/// One thing in stock.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: StockId) -> Result<Stock, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("stock"))
}

/// What is in stock by name, what was withdrawn at the end; behind one of them.
///
/// # Errors
/// Only the database's.
pub async fn list(store: &Store, after: Option<&Stock>, at_most: i64) -> Result<Vec<Stock>, Error> {
    Ok(sqlx::query_as(LIST)
        .bind(after.is_some_and(|s| s.withdrawn_at.is_some()))
        .bind(after.map_or("", |s| s.name.as_str()))
        .bind(after.map_or(0, |s| s.id.get()))
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// What can be drawn from, by name.
///
/// # Errors
/// Only the database's.
pub async fn choices(store: &Store) -> Result<Vec<Stock>, Error> {
    Ok(sqlx::query_as(CHOICES).fetch_all(store.readers()).await?)
}

/// How many things are to be bought.
///
/// # Errors
/// Only the database's.
pub async fn low(store: &Store) -> Result<i64, Error> {
    Ok(sqlx::query_scalar(LOW).fetch_one(store.readers()).await?)
}

/// What came and went of one thing, the newest first, behind one of these moves.
///
/// # Errors
/// Only the database's.
pub async fn moves(
    store: &Store,
    id: StockId,
    behind: Option<i64>,
    at_most: i64,
) -> Result<Vec<StockMove>, Error> {
    Ok(sqlx::query_as(MOVES)
        .bind(id)
        .bind(behind.unwrap_or(i64::MAX))
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// What was drawn for a job, withdrawn draws too.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<StockMove>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Writes something down as kept in stock.
///
/// # Errors
/// [`Error::Rule`] when a value cannot be.
pub async fn make(w: &mut Write, new: &NewStock) -> Result<StockId, Error> {
    let now = w.now();
    let id: StockId = sqlx::query_scalar(MAKE)
        .bind(&new.name)
        .bind(&new.unit)
        .bind(new.least)
        .bind(new.price_pence)
        .bind(&new.supplier)
        .bind(&new.lies)
        .bind(&new.note)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Stock, id.get()).await?;
    Ok(id)
}

/// Changes what is written of it; its count moves by draws, deliveries and counting.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: StockId, new: &NewStock) -> Result<(), Error> {
    let before = change::before(w, Subject::Stock, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.name)
        .bind(&new.unit)
        .bind(new.least)
        .bind(new.price_pence)
        .bind(&new.supplier)
        .bind(&new.lies)
        .bind(&new.note)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Moves stock.
///
/// # Errors
/// [`Error::Missing`]; [`Error::Refused`] when more would be drawn than the book holds.
pub async fn moved(w: &mut Write, id: StockId, by: Moved) -> Result<StockMoveId, Error> {
    let known: Option<Stock> = sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(w.conn())
        .await?;
    let known = known.ok_or(Error::Missing("stock"))?;
    let (what, by_count, job, sitting) = match by {
        Moved::Drawn { count, .. } if count > known.count => {
            return Err(Error::Refused(format!(
                "the book holds only {} of {}; if there is more, count it first",
                known.counted(known.count),
                known.name
            )));
        }
        Moved::Drawn {
            count,
            job,
            sitting,
        } => ("drawn", -count, Some(job), Some(sitting)),
        Moved::ComeIn(count) => ("come in", count, None, None),
        Moved::Counted(count) => ("counted", count - known.count, None, None),
    };
    let now = w.now();
    let made: StockMoveId = sqlx::query_scalar(MOVE)
        .bind(id)
        .bind(what)
        .bind(by_count)
        .bind(job)
        .bind(sitting)
        .bind(known.price_pence)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::StockMove, made.get()).await?;
    Ok(made)
}
