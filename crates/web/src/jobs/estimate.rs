//! The estimate of a job: hours and parts, each from and to, and what it takes for granted.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::routing::get;
use records::estimates::{self, Estimate, NewEstimate};
use records::jobs::{self, Job};
use records::workshop;
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Posted, Reader};
use crate::form_page::FormPage;
use crate::problem::{Problem, page, refused, see};
use crate::show::{typed_hours, typed_pounds};

pub(super) fn routes() -> Router<Desk> {
    Router::new().route("/jobs/{number}/estimate", get(ask).post(keep))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct EstimateForm {
    least_hours: String,
    most_hours: String,
    hourly: String,
    least_parts: String,
    most_parts: String,
    named: String,
    assumes: String,
}

impl EstimateForm {
    /// What is kept, as it would be typed; a fresh one has the workshop's hour.
    pub(super) fn of(job: &Job, known: Option<&Estimate>, hourly: Option<i64>) -> Self {
        let named = typed_pounds(job.estimate_pence);
        match known {
            None => Self {
                hourly: typed_pounds(hourly),
                named,
                ..Self::default()
            },
            Some(e) => Self {
                least_hours: typed_hours(e.least_minutes),
                most_hours: typed_hours(e.most_minutes),
                hourly: typed_pounds(Some(e.hourly_pence)),
                least_parts: typed_pounds(Some(e.least_parts_pence)),
                most_parts: typed_pounds(Some(e.most_parts_pence)),
                named,
                assumes: e.assumes.clone(),
            },
        }
    }

    fn fields(&self) -> Vec<Field> {
        vec![
            Field::new("head", "labour", "Labour", ""),
            Field::new("number", "least_hours", "At the least", &self.least_hours)
                .hint("hours, such as 7, 7.5 or 7:20")
                .unit("h"),
            Field::new("number", "most_hours", "At the most", &self.most_hours)
                .hint("empty: as the least")
                .unit("h"),
            Field::new("number", "hourly", "An hour costs", &self.hourly).money(),
            Field::new("head", "parts", "Parts", "").hint("with their carriage"),
            Field::new("number", "least_parts", "At the least", &self.least_parts).money(),
            Field::new("number", "most_parts", "At the most", &self.most_parts)
                .hint("empty: as the least")
                .money(),
            Field::new("head", "told", "What the customer was told", ""),
            Field::new("long", "assumes", "It takes for granted", &self.assumes)
                .hint("what must be so for it to hold: the shell is sound, the piston is kept …"),
            Field::new("number", "named", "The one sum named", &self.named)
                .hint("what is charged, with the variations that are agreed; may stay empty")
                .money(),
        ]
    }

    pub(super) fn read(&self) -> Result<NewEstimate, Faults> {
        let mut read = Reader::default();
        let least_minutes = read.hours("least_hours", &self.least_hours).unwrap_or(0);
        let most_minutes = read.hours("most_hours", &self.most_hours);
        let hourly_pence = read.money("hourly", &self.hourly).unwrap_or(0);
        if self.hourly.trim().is_empty() && (least_minutes > 0 || most_minutes.is_some()) {
            read.fault("hourly", "Say what an hour costs.");
        }
        let least_parts_pence = read.money("least_parts", &self.least_parts).unwrap_or(0);
        let most_parts_pence = read.money("most_parts", &self.most_parts);
        if most_minutes.is_some_and(|most| most < least_minutes) {
            read.fault(
                "most_hours",
                "The most is under the least: change one of them.",
            );
        }
        if most_parts_pence.is_some_and(|most| most < least_parts_pence) {
            read.fault(
                "most_parts",
                "The most is under the least: change one of them.",
            );
        }
        let new = NewEstimate {
            least_minutes,
            most_minutes: most_minutes.unwrap_or(least_minutes),
            hourly_pence,
            least_parts_pence,
            most_parts_pence: most_parts_pence.unwrap_or(least_parts_pence),
            assumes: read.words("assumes", &self.assumes),
            named_pence: read.money("named", &self.named),
        };
        read.done(new)
    }
}

async fn form_page(
    desk: &Desk,
    job: &Job,
    known: Option<&Estimate>,
    form: &EstimateForm,
) -> Result<FormPage, Problem> {
    let title = format!("Estimate of {}", job.number());
    let layout = super::layout(desk, job, &title).await?;
    let at = format!("/jobs/{}", job.number());
    let page = FormPage::fresh(
        layout,
        form.fields(),
        format!("{at}/estimate"),
        "Save",
        format!("{at}#money"),
    );
    Ok(match known {
        Some(e) => {
            page.withdrawable("estimate", e.id.get(), e.withdrawn_at.is_some())
                .with_changes(desk)
                .await?
        }
        None => page,
    })
}

async fn ask(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let known = estimates::of_job(desk.store(), job.id).await?;
    let rules = workshop::money(desk.store()).await?;
    let form = EstimateForm::of(&job, known.as_ref(), rules.hourly_pence);
    page(&form_page(&desk, &job, known.as_ref(), &form).await?)
}

async fn keep(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<EstimateForm>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            let known = estimates::of_job(desk.store(), job.id).await?;
            let again = form_page(&desk, &job, known.as_ref(), &posted.form).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                estimates::keep(w, job.id, &new).await?;
                Ok(format!("/jobs/{}#money", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}
