//! Parts: to make, to order, on order, in hand, fitted, returned.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{ComponentId, DefectId, JobId, PartId};
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

const FIND: &str = "select x.*, d.serial as for_defect from part x left join defect d on d.id = x.defect_id where x.id = ?1";
const OF_JOB: &str = "select x.*, d.serial as for_defect from part x left join defect d on d.id = x.defect_id where x.job_id = ?1 order by x.id";
const MAKE: &str = "insert into part (job_id, name, state, state_since, defect_id, component_id, supplier, price_pence, promised_on, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10) returning id";
const CHANGE: &str = "update part set name = ?2, state_since = iif(state = ?3, state_since, ?4), state = ?3, defect_id = ?5,
    component_id = ?6, supplier = ?7, price_pence = ?8, promised_on = ?9 where id = ?1";
#[cfg(test)]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("parts::FIND", FIND),
    ("parts::OF_JOB", OF_JOB),
    ("parts::MAKE", MAKE),
    ("parts::CHANGE", CHANGE),
];

/// How a part can stand.
pub const STATES: [&str; 6] = [
    "to make", "to order", "on order", "in hand", "fitted", "returned",
];

/// A part as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
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
    /// The component it is for.
    pub component_id: Option<ComponentId>,
    /// Where it comes from.
    pub supplier: String,
    /// Price.
    pub price_pence: Option<i64>,
    /// The day it is promised for.
    pub promised_on: Option<Day>,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// A part as written on the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewPart {
    /// Name.
    pub name: String,
    /// One of [`STATES`].
    pub state: String,
    /// The defect it is for.
    pub defect_id: Option<DefectId>,
    /// The component it is for.
    pub component_id: Option<ComponentId>,
    /// Where it comes from.
    pub supplier: String,
    /// Price.
    pub price_pence: Option<i64>,
    /// The day it is promised for.
    pub promised_on: Option<Day>,
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

/// Writes a part down.
///
/// # Errors
/// [`Error::Rule`] when its state cannot be.
pub async fn make(w: &mut Write, job: JobId, new: &NewPart) -> Result<PartId, Error> {
    let now = w.now();
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
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
