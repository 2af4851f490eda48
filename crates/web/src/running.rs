//! What the bench says of trials: those running now, and the stops that stand.

use crate::desk::Desk;
use crate::problem::Problem;
use crate::trials::strips;

pub(crate) use crate::trials::strips::{RunningNow, StopLine};

/// The trials that are running now, each judged as it stands.
pub(crate) async fn running(desk: &Desk) -> Result<Vec<RunningNow>, Problem> {
    strips::running(desk.store()).await
}

/// The stops standing in trials that are not sealed, and those of sealed records that no trial since has answered.
pub(crate) async fn standing_stops(desk: &Desk) -> Result<Vec<StopLine>, Problem> {
    strips::standing_stops(desk.store()).await
}
