//! Putting an entry right: the correction is an entry of its own, and both figures stay.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use records::{TrialId, fresh_key};

use super::load::Judged;
use super::logbook::Line;
use super::readings::readings;
use super::run::{Head, ReadingBox, layout};
use super::typed::Typed;
use crate::desk::Desk;
use crate::form::Faults;
use crate::layout::Layout;
use crate::problem::{Problem, page};

#[derive(Template)]
#[template(path = "trials/right.html")]
struct Right {
    layout: Layout,
    head: Head,
    line: Line,
    boxes: Vec<ReadingBox>,
    faults: Faults,
    note: String,
    key: String,
}

/// The page that puts one entry right.
pub(super) async fn ask(
    State(desk): State<Desk>,
    Path((id, entry)): Path<(i64, String)>,
) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), TrialId::new(id)).await?;
    if trial.row.state == "closed" {
        return Err(Problem::Refused(
            "this record is sealed: what was read stays as it was put right before the seal"
                .to_owned(),
        ));
    }
    page_of(&desk, &trial, &entry, &Typed::default(), Faults::default()).await
}

/// The same with what was typed.
pub(super) async fn page_of(
    desk: &Desk,
    trial: &Judged,
    entry: &str,
    form: &Typed,
    faults: Faults,
) -> Result<Response, Problem> {
    let line = trial
        .log
        .find(entry)
        .filter(|l| l.can_be_put_right)
        .ok_or(Problem::Missing("entry"))?;
    let boxes = readings(&trial.row.kind)
        .0
        .into_iter()
        .map(|(key, label, unit, signed)| {
            let name = format!("new-{key}");
            ReadingBox {
                key,
                label,
                unit,
                signed,
                value: form.get(&name).to_owned(),
                says: faults.of(&name).to_owned(),
            }
        })
        .collect();
    let right = Right {
        layout: layout(desk, trial, None).await?,
        head: Head::of(desk, trial).await?,
        line,
        boxes,
        note: form.get("note").to_owned(),
        faults,
        key: fresh_key(),
    };
    Ok(page(&right)?.into_response())
}
