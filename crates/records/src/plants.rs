//! Plants: what the customer owns; they come back over the years.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{CustomerId, PlantId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const FIND: &str = "select p.*, c.name as customer from plant p join customer c on c.id = p.customer_id where p.id = ?1";
const LIST: &str = "select p.*, c.name as customer from plant p join customer c on c.id = p.customer_id where p.withdrawn_at is null
    and p.name collate nocase >= ?1 and (p.name collate nocase > ?1 or p.id > ?2)
    order by p.name collate nocase, p.id limit ?3";
const NEWEST: &str = "select p.*, c.name as customer from plant p join customer c on c.id = p.customer_id where p.withdrawn_at is null and p.id <= ?1 order by p.id desc limit ?2";
const OF_CUSTOMER: &str =
    "select p.*, c.name as customer from plant p join customer c on c.id = p.customer_id
    where p.customer_id = ?1 and p.withdrawn_at is null order by p.name collate nocase, p.id";
const MAKE: &str = "insert into plant (name, customer_id, boiler_mark, note, made_at) values (?1, ?2, ?3, ?4, ?5) returning id";
const CHANGE: &str =
    "update plant set name = ?2, customer_id = ?3, boiler_mark = ?4, note = ?5 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("plants::FIND", FIND),
    ("plants::LIST", LIST),
    ("plants::NEWEST", NEWEST),
    ("plants::OF_CUSTOMER", OF_CUSTOMER),
    ("plants::MAKE", MAKE),
    ("plants::CHANGE", CHANGE),
];

/// A plant as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Plant {
    /// Its row.
    pub id: PlantId,
    /// Name.
    pub name: String,
    /// Whose it is.
    pub customer_id: CustomerId,
    /// Name of the customer.
    pub customer: String,
    /// Mark on the boiler.
    pub boiler_mark: String,
    /// A private note.
    pub note: String,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// A plant as written on the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPlant {
    /// Name.
    pub name: String,
    /// Whose it is.
    pub customer_id: CustomerId,
    /// Mark on the boiler.
    pub boiler_mark: String,
    /// A private note.
    pub note: String,
}

/// One plant.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: PlantId) -> Result<Plant, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("plant"))
}

/// How many stand in a list to choose from.
const CHOICES: i64 = 300;

/// The plants that are not withdrawn, by name, from behind the one that was shown last.
///
/// # Errors
/// Only the database's.
pub async fn list(
    store: &Store,
    after: Option<(&str, PlantId)>,
    at_most: i64,
) -> Result<Vec<Plant>, Error> {
    let (name, id) = after.map_or(("", 0), |(name, id)| (name, id.get()));
    Ok(sqlx::query_as(LIST)
        .bind(name)
        .bind(id)
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// The plants to choose from, by name: the newest, and the one that is chosen already.
///
/// # Errors
/// Only the database's.
pub async fn choices(store: &Store, chosen: Option<PlantId>) -> Result<Vec<Plant>, Error> {
    let mut some: Vec<Plant> = sqlx::query_as(NEWEST)
        .bind(i64::MAX)
        .bind(CHOICES)
        .fetch_all(store.readers())
        .await?;
    if let Some(chosen) = chosen.filter(|c| !some.iter().any(|s| s.id == *c)) {
        some.extend(
            sqlx::query_as::<_, Plant>(FIND)
                .bind(chosen)
                .fetch_optional(store.readers())
                .await?,
        );
    }
    some.sort_by_cached_key(|s| s.name.to_lowercase());
    Ok(some)
}

/// The plants of a customer that are not withdrawn, by name.
///
/// # Errors
/// Only the database's.
pub async fn of_customer(store: &Store, customer: CustomerId) -> Result<Vec<Plant>, Error> {
    Ok(sqlx::query_as(OF_CUSTOMER)
        .bind(customer)
        .fetch_all(store.readers())
        .await?)
}

/// Writes a plant down.
///
/// # Errors
/// [`Error::Refused`] when there is no such customer.
pub async fn make(w: &mut Write, new: &NewPlant) -> Result<PlantId, Error> {
    let now = w.now();
    let id: PlantId = sqlx::query_scalar(MAKE)
        .bind(&new.name)
        .bind(new.customer_id)
        .bind(&new.boiler_mark)
        .bind(&new.note)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Plant, id.get()).await?;
    Ok(id)
}

/// Changes a plant. Trials that copied its particulars keep what they copied.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: PlantId, new: &NewPlant) -> Result<(), Error> {
    let before = change::before(w, Subject::Plant, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.name)
        .bind(new.customer_id)
        .bind(&new.boiler_mark)
        .bind(&new.note)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
