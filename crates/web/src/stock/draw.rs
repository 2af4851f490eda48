//! Drawing from stock in a sitting.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::post;
use records::sittings::{self, Sitting};
use records::stock::{self, Moved};
use records::{SittingId, StockId, jobs};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::BesideForm;
use crate::jobs::sitting_page;
use crate::problem::{Problem, refused, see};

pub(super) fn routes() -> Router<Desk> {
    Router::new().route("/sittings/{id}/draws", post(draw))
}

/// What is drawn, as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct DrawForm {
    stock: String,
    drawn: String,
}

impl DrawForm {
    fn read(&self) -> Result<(StockId, i64), Faults> {
        let mut read = Reader::default();
        let stock = read.row("stock", &self.stock);
        if self.stock.trim().is_empty() {
            read.fault("stock", "Choose what was drawn.");
        }
        let drawn = read.whole("drawn", &self.drawn, 1, 1_000_000, "how many were drawn");
        read.done((StockId::new(stock.unwrap_or_default()), drawn))
    }
}

/// The form beside a sitting; none while nothing is kept in stock.
pub(crate) async fn form(desk: &Desk, sitting: &Sitting) -> Result<Option<BesideForm>, Problem> {
    beside(desk, sitting.id, &DrawForm::default()).await
}

async fn beside(
    desk: &Desk,
    sitting: SittingId,
    form: &DrawForm,
) -> Result<Option<BesideForm>, Problem> {
    let kept = stock::choices(desk.store()).await?;
    let mut picks = vec![Pick::new("", "choose")];
    picks.extend(
        kept.iter()
            .map(|s| Pick::new(s.id, format!("{}, {} left", s.name, s.counted(s.count)))),
    );
    if picks.len() == 1 {
        return Ok(None);
    }
    let fields = vec![
        Field::new("pick", "stock", "Drawn from stock", &form.stock).picks(picks),
        Field::new("number", "drawn", "How many", &form.drawn).hint("in what it is counted in"),
    ];
    let action = format!("/sittings/{sitting}/draws");
    Ok(Some(BesideForm::new(
        "From stock",
        action,
        fields,
        "Draw it",
    )))
}

async fn draw(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<DrawForm>,
) -> Result<Response, Problem> {
    let sitting = sittings::find(desk.store(), SittingId::new(id)).await?;
    let job = jobs::by_id(desk.store(), sitting.job_id).await?;
    let (stock, count) = match posted.form.read() {
        Ok(read) => read,
        Err(faults) => {
            let page = sitting_page(&desk, &job, &sitting).await?;
            let key = page.key.clone();
            let page = match beside(&desk, sitting.id, &posted.form).await? {
                Some(form) => page.beside(form.again(&posted.key)),
                None => page,
            };
            return refused(&page.again(faults, &key));
        }
    };
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            let drawn = Moved::Drawn {
                count,
                job: job.id,
                sitting: sitting.id,
            };
            stock::moved(w, stock, drawn).await?;
            Ok(format!("/jobs/{}#sittings", job.number()))
        })
    });
    Ok(see(&to.await?))
}
