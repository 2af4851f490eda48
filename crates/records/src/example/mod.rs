//! The example workshop: all invented; names, places and numbers are nobody's.
//!
//! Half a dozen jobs, each standing elsewhere. Days are counted back from today, so the book is always fresh.

mod drawers;
mod engine_gone_home;
mod instruments;
mod launch;
mod launch_trials;
mod locomotive;
mod mill;
pub mod pictures;
mod smaller;
pub(crate) mod tell;

use crate::error::Error;
use crate::time::Stamp;
use crate::workshop::{self, MoneyRules};
use crate::writer::Write;

/// Whose workshop it is.
const OWNER: &str = "Orla Wickstead";

/// Furnishes an empty folder with the example workshop.
///
/// # Errors
/// Only the database's.
pub async fn furnish(w: &mut Write) -> Result<(), Error> {
    let today = w.now();
    w.set_by(OWNER);
    w.set_now(today.plus_days(-80));
    workshop::set(w, "Fennel Lane Works", OWNER, true).await?;
    let hour = MoneyRules {
        hourly_pence: Some(3_000),
        ..MoneyRules::default()
    };
    workshop::set_money(w, &hour).await?;
    drawers::furnish(w).await?;
    engine_gone_home::furnish(w, today).await?;
    mill::furnish(w, today).await?;
    launch::furnish(w, today).await?;
    locomotive::furnish(w, today).await?;
    smaller::furnish(w, today).await?;
    w.set_now(today);
    Ok(())
}

/// So many days before today, at an hour of the day in universal time.
fn back(today: Stamp, days: i64, hour: i64) -> Stamp {
    let midnight = today.millis() - today.millis().rem_euclid(86_400_000);
    Stamp::from_millis(midnight)
        .plus_days(-days)
        .plus_seconds(hour * 3600)
}
