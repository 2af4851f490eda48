//! Pieces off the plant, and where they lie.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::jobs::{self, Job};
use records::{PieceId, states};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Posted, Reader};
use crate::form_page::FormPage;
use crate::problem::{Problem, page, refused, see};

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/jobs/{number}/pieces", post(create))
        .route("/jobs/{number}/pieces/new", get(fresh))
        .route("/pieces/{id}/back", post(back))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct PieceForm {
    what: String,
    lies: String,
}

impl PieceForm {
    fn read(&self) -> Result<(String, String), Faults> {
        let mut read = Reader::default();
        let what = read.needed("what", &self.what, "Name the piece.");
        let lies = read.needed(
            "lies",
            &self.lies,
            "Say where it lies, so that it is found again.",
        );
        read.done((what, lies))
    }
}

async fn form_page(desk: &Desk, job: &Job, form: &PieceForm) -> Result<FormPage, Problem> {
    let fields = vec![
        Field::new("text", "what", "Piece", &form.what),
        Field::new("text", "lies", "Where it lies", &form.lies).hint("tin 14, shelf B …"),
    ];
    let layout = super::layout(desk, job, "A piece off the plant").await?;
    let number = job.number();
    Ok(FormPage::fresh(
        layout,
        fields,
        format!("/jobs/{number}/pieces"),
        "Save",
        format!("/jobs/{number}#for-now"),
    ))
}

async fn fresh(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    page(&form_page(&desk, &job, &PieceForm::default()).await?)
}

async fn create(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<PieceForm>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let (what, lies) = match posted.form.read() {
        Ok(read) => read,
        Err(faults) => {
            return refused(
                &form_page(&desk, &job, &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                states::lay(w, job.id, &what, &lies).await?;
                Ok(format!("/jobs/{}#for-now", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct BackForm {
    off: String,
}

async fn back(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<BackForm>,
) -> Result<Response, Problem> {
    let piece = states::find_piece(desk.store(), PieceId::new(id)).await?;
    let job = jobs::by_id(desk.store(), piece.job_id).await?;
    let is_back = posted.form.off != "yes";
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                states::back(w, piece.id, is_back).await?;
                Ok(format!("/jobs/{}#for-now", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}
