//! What the bench and the job say of trials: those running now, and the stops that stand.

use records::log;

use crate::desk::Desk;
use crate::problem::Problem;

/// A trial that is running now, for the bench.
pub(crate) struct RunningLine {
    /// Its address.
    pub address: String,
    /// `26-014/3`.
    pub label: String,
    /// Name of the plant.
    pub plant: String,
    /// `steam` …
    pub kind: String,
    /// What it is to answer.
    pub question: String,
    /// When it began.
    pub since: String,
}

/// A stop that nobody has signed off.
pub(crate) struct StopLine {
    /// The trial's address.
    pub address: String,
    /// `26-014/3`.
    pub label: String,
    /// Name of the plant.
    pub plant: String,
    /// What the flag says.
    pub says: String,
    /// What to do.
    pub todo: String,
}

/// The trials that are running now.
pub(crate) async fn running(desk: &Desk) -> Result<Vec<RunningLine>, Problem> {
    let found = log::running(desk.store()).await?;
    Ok(found
        .into_iter()
        .map(|t| RunningLine {
            address: format!("/trials/{}", t.id),
            label: t.label(),
            plant: t.plant.clone(),
            since: t.started_at.map_or_else(String::new, |s| s.clock()),
            kind: t.kind,
            question: t.question,
        })
        .collect())
}

/// The stops standing in running trials.
pub(crate) async fn standing_stops(_desk: &Desk) -> Result<Vec<StopLine>, Problem> {
    Ok(Vec::new())
}
