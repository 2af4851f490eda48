//! Withdrawing anything that can be withdrawn, and putting it back.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::post;
use records::change::{self, Subject};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::Posted;
use crate::problem::{Problem, see};

/// The address to withdraw by.
pub(crate) fn routes() -> Router<Desk> {
    Router::new().route("/withdraw/{subject}/{id}", post(withdraw))
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct WithdrawForm {
    undo: String,
    back: String,
}

async fn withdraw(
    State(desk): State<Desk>,
    Path((subject, id)): Path<(String, i64)>,
    posted: Posted<WithdrawForm>,
) -> Result<Response, Problem> {
    let subject = Subject::from_slug(&subject).ok_or(Problem::Missing("page"))?;
    let withdrawn = posted.form.undo != "yes";
    let back = ours(&posted.form.back);
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                change::withdraw(w, subject, id, withdrawn).await?;
                Ok(back)
            })
        })
        .await?;
    Ok(see(&to))
}

/// Where a form leads afterwards: only ever to a page of ours.
pub(crate) fn ours(back: &str) -> String {
    let fit = |c: char| c.is_ascii_graphic() && c != '\\';
    if back.starts_with('/') && !back.starts_with("//") && back.chars().all(fit) {
        back.to_owned()
    } else {
        "/".to_owned()
    }
}
