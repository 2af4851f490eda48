//! Pieces off the plant, and where they lie.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::post;
use records::jobs::{self, Job};
use records::pictures::Of;
use records::states::{self, Piece};
use records::{Error, JobId, PieceId, Write};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Posted, Reader};
use crate::form_page::FormPage;
use crate::jobs::record_form::{self, RecordForm};
use crate::problem::{Problem, see};

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/jobs/{number}/pieces", record_form::making::<PieceForm>())
        .route(
            "/jobs/{number}/pieces/new",
            record_form::beginning::<PieceForm>(),
        )
        .route("/pieces/{id}", record_form::keeping::<PieceForm>())
        .route("/pieces/{id}/back", post(back))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct PieceForm {
    what: String,
    lies: String,
}

impl RecordForm for PieceForm {
    type Row = Piece;
    type New = (String, String);

    const WRITES: &'static [&'static str] = &["what", "lies"];
    const ANCHOR: &'static str = "for-now";
    const PICTURES: Option<Of> = None;

    fn fresh() -> Self {
        PieceForm::default()
    }

    fn of(piece: &Piece) -> Self {
        Self {
            what: piece.what.clone(),
            lies: piece.lies.clone(),
        }
    }

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

    async fn find(desk: &Desk, id: i64) -> Result<(Piece, JobId), Error> {
        let row = states::find_piece(desk.store(), PieceId::new(id)).await?;
        let job = row.job_id;
        Ok((row, job))
    }

    async fn page(
        &self,
        desk: &Desk,
        job: &Job,
        known: Option<&Piece>,
    ) -> Result<FormPage, Problem> {
        let fields = vec![
            Field::new("text", "what", "Piece", &self.what),
            Field::new("text", "lies", "Where it lies", &self.lies).hint("tin 14, shelf B …"),
        ];
        let number = job.number();
        let (title, action) = match known {
            None => (
                "A piece off the plant".to_owned(),
                format!("/jobs/{number}/pieces"),
            ),
            Some(p) => (
                format!("Off the plant: {}", p.what),
                format!("/pieces/{}", p.id),
            ),
        };
        let layout = super::layout(desk, job, &title).await?;
        let back = format!("/jobs/{number}#for-now");
        let page = FormPage::fresh(layout, fields, action, "Save", back);
        Ok(match known {
            Some(p) => {
                page.withdrawable("piece-off-the-plant", p.id.get(), p.withdrawn_at.is_some())
            }
            None => page,
        })
    }

    async fn make(w: &mut Write, job: JobId, new: &Self::New) -> Result<(), Error> {
        states::lay(w, job, &new.0, &new.1).await.map(drop)
    }

    async fn change(w: &mut Write, id: i64, new: &Self::New) -> Result<(), Error> {
        states::lay_anew(w, PieceId::new(id), &new.0, &new.1).await
    }
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
