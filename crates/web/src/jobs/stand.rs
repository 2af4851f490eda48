//! Where a job stands, and what it waits for by hand.

use axum::extract::{Path, State};
use axum::response::Response;
use records::jobs;
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::Posted;
use crate::problem::{Problem, see};

/// Where it is put, as chosen.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct StandForm {
    stands: String,
}

pub(crate) async fn stands(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<StandForm>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let place = posted.form.stands.clone();
    if !jobs::STANDS.contains(&place.as_str()) {
        return Err(Problem::Unreadable(format!(
            "a job can stand: {}",
            jobs::STANDS.join(", ")
        )));
    }
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                jobs::stand(w, job.id, &place).await?;
                Ok(format!("/jobs/{}", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}

/// What it waits for, as ticked.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct WaitForm {
    me: String,
    inspector: String,
}

pub(crate) async fn waits(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<WaitForm>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let (me, inspector) = (posted.form.me == "yes", posted.form.inspector == "yes");
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                jobs::wait(w, job.id, me, inspector).await?;
                Ok(format!("/jobs/{}", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}
