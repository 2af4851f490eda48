//! News owed: when the customer of each open job last heard something.

use crate::error::Error;
use crate::ids::JobId;
use crate::store::Store;
use crate::time::{Day, Stamp};

const LAST_SAID: &str = "select j.id as job_id, j.year as job_year, j.serial as job_serial, j.plant, j.customer, j.came_in_on,
    (select max(n.made_at) from news n where n.job_id = j.id and n.shown = 1 and n.withdrawn_at is null) as last_said
    from job_line j where j.stands not in ('gone home', 'gone home unrepaired') and j.withdrawn_at is null";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[("owed::LAST_SAID", LAST_SAID)];

/// When the customer of a job last heard something.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Heard {
    /// The job.
    pub job_id: JobId,
    /// Year of its number.
    pub job_year: i64,
    /// Serial of its number.
    pub job_serial: i64,
    /// Name of the plant.
    pub plant: String,
    /// Name of the customer.
    pub customer: String,
    /// The day it came in.
    pub came_in_on: Day,
    /// When something was last published.
    pub last_said: Option<Stamp>,
}

impl Heard {
    /// The job's number, `26-014`.
    #[must_use]
    pub fn job_number(&self) -> String {
        crate::jobs::number(self.job_year, self.job_serial)
    }

    /// Since when nothing was said: since the last news, or since it came in.
    #[must_use]
    pub fn since(&self) -> Stamp {
        self.last_said.unwrap_or_else(|| self.came_in_on.noon())
    }
}

/// When each open job's customer last heard something, the longest silence first.
///
/// # Errors
/// Only the database's.
pub async fn heard(store: &Store) -> Result<Vec<Heard>, Error> {
    let mut all: Vec<Heard> = sqlx::query_as(LAST_SAID).fetch_all(store.readers()).await?;
    all.sort_by_key(Heard::since);
    Ok(all)
}
