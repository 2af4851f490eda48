//! A trial followed live: each page that looks at it is told, as server-sent events, that something was entered.

use std::convert::Infallible;
use std::time::Duration;

use axum::extract::{Path, State};
use axum::response::sse::{Event, KeepAlive, Sse};
use records::{Stamp, TrialId, log};
use tokio::sync::broadcast::error::RecvError;
use tokio::sync::mpsc;
use tokio_stream::Stream;
use tokio_stream::wrappers::ReceiverStream;

use crate::desk::Desk;
use crate::problem::Problem;

/// How often a line that says nothing keeps the connection open, s.
const KEEP_S: u64 = 10;

/// Tells of each entry of one trial as it is kept: `entry` with the moment. What was entered is then read as ever.
pub(super) async fn follow(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Sse<impl Stream<Item = Result<Event, Infallible>>>, Problem> {
    let id = log::find(desk.store(), TrialId::new(id)).await?.id;
    let (tell, told) = mpsc::channel(1);
    tokio::spawn(pass_on(desk, id, tell));
    let keep = KeepAlive::new().interval(Duration::from_secs(KEEP_S));
    Ok(Sse::new(ReceiverStream::new(told)).keep_alive(keep))
}

/// Passes on what is entered until the page goes away or the program stops.
async fn pass_on(desk: Desk, id: TrialId, tell: mpsc::Sender<Result<Event, Infallible>>) {
    let (mut entered, mut stopping) = (desk.told(), desk.stopping());
    loop {
        let news = tokio::select! {
            news = entered.recv() => news,
            () = tell.closed() => return,
            _ = stopping.wait_for(|stops| *stops) => return,
        };
        match news {
            Ok(trial) if trial != id => {}
            Err(RecvError::Closed) => return,
            // A follower that fell behind is told once: it reads everything anyway.
            Ok(_) | Err(RecvError::Lagged(_)) => {
                let now = Stamp::now().millis().to_string();
                if tell
                    .send(Ok(Event::default().event("entry").data(now)))
                    .await
                    .is_err()
                {
                    return;
                }
            }
        }
    }
}
