//! A trial followed live: each page that looks at it is told, as server-sent events, that something was entered.

use std::convert::Infallible;
use std::time::Duration;

use axum::extract::{Path, State};
use axum::response::sse::{Event, KeepAlive, Sse};
use records::log;
use records::{Stamp, TrialId};
use tokio_stream::wrappers::BroadcastStream;
use tokio_stream::{Stream, StreamExt};

use crate::desk::Desk;
use crate::problem::Problem;

/// How often a line that says nothing keeps the connection open, s.
const KEEP_S: u64 = 10;

/// Tells of each entry of one trial as it is kept: `entry` with the moment. What was entered is then read as ever.
pub(super) async fn follow(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Sse<impl Stream<Item = Result<Event, Infallible>>>, Problem> {
    let trial = log::find(desk.store(), TrialId::new(id)).await?;
    let told = BroadcastStream::new(desk.told()).filter_map(move |told| match told {
        Ok(entered) if entered != trial.id => None,
        // A follower that fell behind is told once more: it reads everything anyway.
        Ok(_) | Err(_) => Some(Ok(Event::default()
            .event("entry")
            .data(Stamp::now().millis().to_string()))),
    });
    Ok(Sse::new(told).keep_alive(KeepAlive::new().interval(Duration::from_secs(KEEP_S))))
}
