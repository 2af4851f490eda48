//! A witness signs at close, on the phone that is handed over: a name typed, and what was seen is under it.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use records::TrialId;
use records::log::Sent;

use super::close;
use super::entries::{Coming, append};
use super::load::Judged;
use super::tree::{Tree, quoted};
use super::typed::Typed;
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::problem::{Problem, see};

/// The longest name, in characters.
const LONGEST: usize = 80;

/// The witness's signature is an entry under their own name; it says on whose phone it was given.
pub(super) async fn sign(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let id = TrialId::new(id);
    let trial = Judged::load(desk.store(), id).await?;
    if let Some(why) = close::not_closable(&trial) {
        return Err(Problem::Refused(why));
    }
    let entry = match read(&posted.form, &desk.by().await?) {
        Ok(entry) => entry,
        Err(faults) => {
            let mut response = close::show(&desk, &trial, &posted.form, faults).await?;
            *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
            return Ok(response);
        }
    };
    let sent = Sent {
        trial: id,
        key: posted.key.clone(),
        content: posted.content.clone(),
        written_at: None,
        from: None,
    };
    append(&desk, sent, Coming::Script { entry, signs: None }).await?;
    Ok(see(&format!(
        "{}/close#signed-as-witness",
        super::address(id)
    )))
}

/// The entry, or what is wanting.
fn read(form: &Typed, by: &str) -> Result<Tree, Faults> {
    let mut faults = Faults::default();
    let (name, is) = (form.get("witness"), form.get("witness_is"));
    if name.is_empty() {
        faults.add("witness", "The witness types their own name.");
    } else if name.chars().count() > LONGEST {
        faults.add("witness", format!("At most {LONGEST} characters."));
    } else if name == by {
        faults.add(
            "witness",
            format!("{by} tries this trial: a witness is somebody else."),
        );
    }
    if is.chars().count() > LONGEST {
        faults.add("witness_is", format!("At most {LONGEST} characters."));
    }
    if form.get("witness_saw") != "yes" {
        faults.add("witness_saw", "The witness ticks the line to sign.");
    }
    if !faults.list().is_empty() {
        return Err(faults);
    }
    let what = if is.is_empty() {
        String::new()
    } else {
        format!("{is}; ")
    };
    let mut entry = Tree::empty();
    entry.put("signs", quoted("witness"));
    entry.put("by", quoted(name));
    entry.put(
        "note",
        quoted(&format!("{what}signed where {by} was signed in")),
    );
    Ok(entry)
}
