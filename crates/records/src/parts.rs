//! Parts: to make, to order, on order, in hand, fitted, returned.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{ComponentId, DefectId, JobId, PartId};
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

const FIND: &str = "select x.*, d.serial as for_defect from part x left join defect d on d.id = x.defect_id where x.id = ?1";
const OF_JOB: &str = "select x.*, d.serial as for_defect from part x left join defect d on d.id = x.defect_id where x.job_id = ?1 order by x.id";
// What is made here first, then what comes from somewhere, then what lies ready.
const AWAITED: &str = "select x.*, iif(x.state = 'in hand', 2, x.way <> 'make') as standing, d.serial as for_defect,
        j.year as job_year, j.serial as job_serial, p.name as plant
    from part x join job j on j.id = x.job_id join plant p on p.id = j.plant_id left join defect d on d.id = x.defect_id
    where x.state in ('to make', 'to order', 'on order', 'in hand') and x.withdrawn_at is null
    and j.stands not in ('gone home', 'gone home unrepaired') and j.withdrawn_at is null
    and (iif(x.state = 'in hand', 2, x.way <> 'make'), x.supplier collate nocase, x.promised_on is null, coalesce(x.promised_on, ''), x.id)
        > (?1, ?2, ?3, ?4, ?5)
    order by standing, x.supplier collate nocase, x.promised_on is null, x.promised_on, x.id limit ?6";
const AWAITED_SUMS: &str = "select iif(x.state = 'in hand', 2, x.way <> 'make') as standing, x.supplier, count(*) as parts,
        coalesce(sum(coalesce(x.price_pence, 0) * x.count + coalesce(x.carriage_pence, 0)), 0) as pence,
        sum(x.price_pence is null and x.carriage_pence is null) as unpriced
    from part x join job j on j.id = x.job_id
    where x.state in ('to make', 'to order', 'on order', 'in hand') and x.withdrawn_at is null
    and j.stands not in ('gone home', 'gone home unrepaired') and j.withdrawn_at is null
    group by standing, iif(standing = 1, x.supplier, '') collate nocase";
const MAKE: &str = "insert into part (job_id, name, state, state_since, defect_id, component_id, supplier, price_pence, promised_on, made_at,
    way, material, count, carriage_pence, ordered_on, arrived_on)
    values (?1, ?2, ?3, ?4, ?5, coalesce(?6, (select component_id from defect where id = ?5)), ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16) returning id";
const CHANGE: &str = "update part set name = ?2, state_since = iif(state = ?3, state_since, ?4), state = ?3, defect_id = ?5,
    component_id = coalesce(?6, (select component_id from defect where id = ?5)), supplier = ?7, price_pence = ?8, promised_on = ?9, way = ?10, material = ?11, count = ?12,
    carriage_pence = ?13, ordered_on = ?14, arrived_on = ?15 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("parts::FIND", FIND),
    ("parts::OF_JOB", OF_JOB),
    ("parts::AWAITED", AWAITED),
    ("parts::AWAITED_SUMS", AWAITED_SUMS),
    ("parts::MAKE", MAKE),
    ("parts::CHANGE", CHANGE),
];

/// How a part can stand.
pub const STATES: [&str; 6] = [
    "to make", "to order", "on order", "in hand", "fitted", "returned",
];

/// How a part can be come by.
pub const WAYS: [&str; 2] = ["make", "buy"];

/// A part as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Part {
    /// Its row.
    pub id: PartId,
    /// The job.
    pub job_id: JobId,
    /// Name.
    pub name: String,
    /// One of [`STATES`].
    pub state: String,
    /// Since when.
    pub state_since: Stamp,
    /// The defect it is for.
    pub defect_id: Option<DefectId>,
    /// Number of that defect on the job.
    pub for_defect: Option<i64>,
    /// The component it is for; left out, that of the defect.
    pub component_id: Option<ComponentId>,
    /// Where it comes from.
    pub supplier: String,
    /// Price of one.
    pub price_pence: Option<i64>,
    /// The day it is promised for.
    pub promised_on: Option<Day>,
    /// One of [`WAYS`].
    pub way: String,
    /// What it is to be made of.
    pub material: String,
    /// How many.
    pub count: i64,
    /// What its carriage costs.
    pub carriage_pence: Option<i64>,
    /// The day it was ordered.
    pub ordered_on: Option<Day>,
    /// The day it arrived.
    pub arrived_on: Option<Day>,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

impl Part {
    /// What all of it costs with its carriage; none where neither is known.
    #[must_use]
    pub fn costs_pence(&self) -> Option<i64> {
        match (self.price_pence, self.carriage_pence) {
            (None, None) => None,
            (price, carriage) => {
                Some(price.unwrap_or(0).saturating_mul(self.count) + carriage.unwrap_or(0))
            }
        }
    }

    /// The same as it would be written on the form.
    #[must_use]
    pub fn written(&self) -> NewPart {
        NewPart {
            name: self.name.clone(),
            state: self.state.clone(),
            defect_id: self.defect_id,
            component_id: self.component_id,
            supplier: self.supplier.clone(),
            price_pence: self.price_pence,
            promised_on: self.promised_on.clone(),
            way: self.way.clone(),
            material: self.material.clone(),
            count: self.count,
            carriage_pence: self.carriage_pence,
            ordered_on: self.ordered_on.clone(),
            arrived_on: self.arrived_on.clone(),
        }
    }
}

/// A part that is not fitted yet, with the job it is for.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Awaited {
    /// The part.
    #[sqlx(flatten)]
    pub part: Part,
    /// 0 to be made here, 1 to come from somewhere, 2 in hand.
    pub standing: i64,
    /// Year of the job's number.
    pub job_year: i64,
    /// Serial of the job's number.
    pub job_serial: i64,
    /// Name of the plant.
    pub plant: String,
}

impl Awaited {
    /// The job's number, `26-014`.
    #[must_use]
    pub fn job_number(&self) -> String {
        crate::jobs::number(self.job_year, self.job_serial)
    }
}

/// A part as written on the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPart {
    /// Name.
    pub name: String,
    /// One of [`STATES`].
    pub state: String,
    /// The defect it is for.
    pub defect_id: Option<DefectId>,
    /// The component it is for; left out, that of the defect.
    pub component_id: Option<ComponentId>,
    /// Where it comes from.
    pub supplier: String,
    /// Price of one.
    pub price_pence: Option<i64>,
    /// The day it is promised for.
    pub promised_on: Option<Day>,
    /// One of [`WAYS`].
    pub way: String,
    /// What it is to be made of.
    pub material: String,
    /// How many.
    pub count: i64,
    /// What its carriage costs.
    pub carriage_pence: Option<i64>,
    /// The day it was ordered; an order without a day was ordered today.
    pub ordered_on: Option<Day>,
    /// The day it arrived; what comes from an order without a day arrived today.
    pub arrived_on: Option<Day>,
}

impl Default for NewPart {
    fn default() -> Self {
        Self {
            name: String::new(),
            state: String::new(),
            defect_id: None,
            component_id: None,
            supplier: String::new(),
            price_pence: None,
            promised_on: None,
            way: "buy".to_owned(),
            material: String::new(),
            count: 1,
            carriage_pence: None,
            ordered_on: None,
            arrived_on: None,
        }
    }
}

impl NewPart {
    /// Made or bought: what is to be made is made, whatever was said.
    fn come_by(&self) -> &str {
        if self.state == "to make" {
            "make"
        } else {
            &self.way
        }
    }

    /// The days of order and arrival, where its state says that they are today.
    fn days(&self, before: &str, today: Day) -> (Option<Day>, Option<Day>) {
        let ordered = self.state == "on order" && before != "on order";
        let came = ["in hand", "fitted"].contains(&self.state.as_str())
            && ["to order", "on order"].contains(&before);
        let or_today =
            |known: &Option<Day>, so: bool| known.clone().or_else(|| so.then(|| today.clone()));
        (
            or_today(&self.ordered_on, ordered),
            or_today(&self.arrived_on, came),
        )
    }
}

/// One part.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: PartId) -> Result<Part, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("part"))
}

/// The parts of a job, withdrawn ones too.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<Part>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// The parts of open jobs that are not fitted yet, by how they stand and where they come from; behind one that
/// stood so.
///
/// # Errors
/// Only the database's.
pub async fn awaited(
    store: &Store,
    behind: Option<(i64, &Part)>,
    at_most: i64,
) -> Result<Vec<Awaited>, Error> {
    let (standing, part) = behind.unzip();
    let promised = part.and_then(|p| p.promised_on.as_ref());
    Ok(sqlx::query_as(AWAITED)
        .bind(standing.unwrap_or(-1))
        .bind(part.map_or("", |p| p.supplier.as_str()))
        .bind(promised.is_none())
        .bind(promised.map_or("", Day::iso))
        .bind(part.map_or(0, |p| p.id.get()))
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// What the parts of open jobs come to, by how they stand and where they come from, however many there are.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct AwaitedSum {
    /// 0 to be made here, 1 to come from somewhere, 2 in hand.
    pub standing: i64,
    /// Where they come from.
    pub supplier: String,
    /// How many.
    pub parts: i64,
    /// What they cost with carriage, as far as a price is known.
    pub pence: i64,
    /// How many of them have no price.
    pub unpriced: i64,
}

/// Those sums.
///
/// # Errors
/// Only the database's.
pub async fn awaited_sums(store: &Store) -> Result<Vec<AwaitedSum>, Error> {
    Ok(sqlx::query_as(AWAITED_SUMS)
        .fetch_all(store.readers())
        .await?)
}

/// Writes a part down.
///
/// # Errors
/// [`Error::Rule`] when its state cannot be.
pub async fn make(w: &mut Write, job: JobId, new: &NewPart) -> Result<PartId, Error> {
    let now = w.now();
    let (ordered_on, arrived_on) = new.days("", now.day());
    let id: PartId = sqlx::query_scalar(MAKE)
        .bind(job)
        .bind(&new.name)
        .bind(&new.state)
        .bind(now)
        .bind(new.defect_id)
        .bind(new.component_id)
        .bind(&new.supplier)
        .bind(new.price_pence)
        .bind(&new.promised_on)
        .bind(now)
        .bind(new.come_by())
        .bind(&new.material)
        .bind(new.count)
        .bind(new.carriage_pence)
        .bind(ordered_on)
        .bind(arrived_on)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Part, id.get()).await?;
    Ok(id)
}

/// Changes a part.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: PartId, new: &NewPart) -> Result<(), Error> {
    let before = change::before(w, Subject::Part, id.get()).await?;
    let now = w.now();
    let known: Part = sqlx::query_as(FIND).bind(id).fetch_one(w.conn()).await?;
    let (ordered_on, arrived_on) = new.days(&known.state, now.day());
    sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.name)
        .bind(&new.state)
        .bind(now)
        .bind(new.defect_id)
        .bind(new.component_id)
        .bind(&new.supplier)
        .bind(new.price_pence)
        .bind(&new.promised_on)
        .bind(new.come_by())
        .bind(&new.material)
        .bind(new.count)
        .bind(new.carriage_pence)
        .bind(ordered_on)
        .bind(arrived_on)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Moves a part on: ordered, arrived, made, fitted, sent back.
///
/// # Errors
/// [`Error::Missing`]; [`Error::Rule`] for an unknown state.
pub async fn moves(w: &mut Write, id: PartId, state: &str) -> Result<(), Error> {
    let known: Option<Part> = sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(w.conn())
        .await?;
    let known = known.ok_or(Error::Missing("part"))?;
    let new = NewPart {
        state: state.to_owned(),
        ..known.written()
    };
    change(w, id, &new).await
}
