//! Sittings that have begun and are not put down yet.

use records::at_bench::{self, AtBench};
use records::{Stamp, Store, fresh_key};

use crate::problem::Problem;
use crate::show::hours;

/// One that lasts longer was likely forgotten, minutes (trade practice).
const LONG_MIN: i64 = 8 * 60;

/// A sitting that has begun, as the bench and the job show it.
pub(crate) struct Begun {
    /// Its row.
    pub id: i64,
    /// The job's number.
    pub number: String,
    /// Name of the plant.
    pub plant: String,
    /// Since when, and how long that is.
    pub since: String,
    /// Who began it.
    pub by: String,
    /// Was it likely forgotten?
    pub long: bool,
    /// A hidden key for a form of it.
    pub key: String,
}

impl Begun {
    pub(crate) fn of(at: &AtBench, now: Stamp) -> Self {
        let minutes = at.minutes(now);
        let when = if at.began_at.day() == now.day() {
            at.began_at.clock().chars().take(5).collect()
        } else {
            at.began_at.full()
        };
        Self {
            id: at.id.get(),
            number: at.job_number(),
            plant: at.plant.clone(),
            since: format!("since {when}, {}", hours(minutes)),
            by: at.by.clone(),
            long: minutes > LONG_MIN,
            key: fresh_key(),
        }
    }
}

pub(super) async fn all(store: &Store, now: Stamp) -> Result<Vec<Begun>, Problem> {
    let running = at_bench::running(store).await?;
    Ok(running.iter().map(|at| Begun::of(at, now)).collect())
}
