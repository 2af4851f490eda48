//! What bars steam: of plants that are in the workshop, and of those that have gone home with it.
//!
//! A plant is in the workshop while any job of it is open: a bar that an earlier visit left standing is here again with it.

use crate::error::Error;
use crate::store::Store;
use crate::time::Stamp;

const HERE: &str = "select 0 as for_now, n.id, j.year as job_year, j.serial as job_serial, p.name as plant, n.what, '' as ends_it, n.made_at as since
    from job o cross join job j on j.plant_id = o.plant_id cross join defect n on n.job_id = j.id join plant p on p.id = j.plant_id
    where o.stands not in ('gone home', 'gone home unrepaired') and o.withdrawn_at is null and j.withdrawn_at is null
    and n.bar = 'no steam' and n.state <> 'cleared' and n.withdrawn_at is null
    union select 1, x.id, j.year, j.serial, p.name, x.what, x.ends_it, x.since
    from job o cross join job j on j.plant_id = o.plant_id cross join temporary_state x on x.job_id = j.id join plant p on p.id = j.plant_id
    where o.stands not in ('gone home', 'gone home unrepaired') and o.withdrawn_at is null and j.withdrawn_at is null
    and x.bar = 'no steam' and x.ended_at is null and x.withdrawn_at is null
    order by for_now, job_year, job_serial, n.id";
const GONE: &str = "select b.for_now, b.id, j.year as job_year, j.serial as job_serial, p.name as plant, b.what, b.ends_it, b.since
    from (select 0 as for_now, n.id, n.job_id, n.what, '' as ends_it, n.made_at as since from defect n
            where n.bar = 'no steam' and n.state <> 'cleared' and n.withdrawn_at is null
        union all select 1, x.id, x.job_id, x.what, x.ends_it, x.since from temporary_state x
            where x.bar = 'no steam' and x.ended_at is null and x.withdrawn_at is null) b
    join job j on j.id = b.job_id join plant p on p.id = j.plant_id
    where j.withdrawn_at is null and (j.year, j.serial, b.for_now, b.id) < (?1, ?2, ?3, ?4)
    and not exists (select 1 from job o where o.plant_id = j.plant_id and o.stands not in ('gone home', 'gone home unrepaired') and o.withdrawn_at is null)
    order by j.year desc, j.serial desc, b.for_now desc, b.id desc limit ?5";
// The first that is found is enough.
const ANY_GONE: &str = "select exists (select 1 from defect n cross join job j on j.id = n.job_id
        where n.bar = 'no steam' and n.state <> 'cleared' and n.withdrawn_at is null and j.withdrawn_at is null
        and not exists (select 1 from job o where o.plant_id = j.plant_id and o.stands not in ('gone home', 'gone home unrepaired') and o.withdrawn_at is null))
    or exists (select 1 from temporary_state x cross join job j on j.id = x.job_id
        where x.bar = 'no steam' and x.ended_at is null and x.withdrawn_at is null and j.withdrawn_at is null
        and not exists (select 1 from job o where o.plant_id = j.plant_id and o.stands not in ('gone home', 'gone home unrepaired') and o.withdrawn_at is null))";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("barred::HERE", HERE),
    ("barred::GONE", GONE),
    ("barred::ANY_GONE", ANY_GONE),
];

/// A bar against steam: a defect, or what is off or plugged for now.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Bar {
    /// Is it for now, and no defect?
    pub for_now: bool,
    /// Its row.
    pub id: i64,
    /// Year of the job's number.
    pub job_year: i64,
    /// Serial of the job's number.
    pub job_serial: i64,
    /// Name of the plant.
    pub plant: String,
    /// What is wrong, or what was done for now.
    pub what: String,
    /// What ends it, where it is for now.
    pub ends_it: String,
    /// Since when.
    pub since: Stamp,
}

/// Where the list of those that have gone home goes on: behind the bar with this year, serial, kind and row.
pub type After = (i64, i64, bool, i64);

impl Bar {
    /// The job's number, `26-014`.
    #[must_use]
    pub fn job_number(&self) -> String {
        crate::jobs::number(self.job_year, self.job_serial)
    }

    /// Where a list goes on behind it.
    #[must_use]
    pub const fn key(&self) -> After {
        (self.job_year, self.job_serial, self.for_now, self.id)
    }

    /// What it is, in words.
    #[must_use]
    pub fn says(&self) -> String {
        if !self.for_now {
            return self.what.clone();
        }
        let since = self.since.short();
        format!("{}, since {since}; ends with: {}", self.what, self.ends_it)
    }
}

/// Every bar against steam of every plant that is in the workshop, whichever visit it is from.
///
/// # Errors
/// Only the database's.
pub async fn here(store: &Store) -> Result<Vec<Bar>, Error> {
    Ok(sqlx::query_as(HERE).fetch_all(store.readers()).await?)
}

/// The bars of plants that have gone home with them, the newest visit first.
///
/// # Errors
/// Only the database's.
pub async fn gone(store: &Store, after: Option<After>, at_most: i64) -> Result<Vec<Bar>, Error> {
    let (year, serial, for_now, id) = after.unwrap_or((i64::MAX, i64::MAX, true, i64::MAX));
    Ok(sqlx::query_as(GONE)
        .bind(year)
        .bind(serial)
        .bind(for_now)
        .bind(id)
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// Has any plant gone home with a bar against steam?
///
/// # Errors
/// Only the database's.
pub async fn any_gone(store: &Store) -> Result<bool, Error> {
    Ok(sqlx::query_scalar(ANY_GONE)
        .fetch_one(store.readers())
        .await?)
}
