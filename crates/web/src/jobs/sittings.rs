//! Writing down a sitting, and changing it.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::jobs::{self, Job};
use records::sittings::{self, NewSitting, Sitting};
use records::{SittingId, Stamp};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Posted, Reader};
use crate::form_page::FormPage;
use crate::problem::{Problem, page, refused, see};

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/jobs/{number}/sittings", post(create))
        .route("/jobs/{number}/sittings/new", get(fresh))
        .route("/sittings/{id}", get(change).post(update))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct SittingForm {
    on_day: String,
    minutes: String,
    done: String,
    next_time: String,
}

impl SittingForm {
    fn of(sitting: &Sitting) -> Self {
        Self {
            on_day: sitting.on_day.iso().to_owned(),
            minutes: sitting.minutes.to_string(),
            done: sitting.done.clone(),
            next_time: sitting.next_time.clone(),
        }
    }

    fn fields(&self) -> Vec<Field> {
        vec![
            Field::new("date", "on_day", "Day", &self.on_day),
            Field::new("number", "minutes", "At the bench", &self.minutes).unit("min"),
            Field::new("long", "done", "What was done", &self.done),
            Field::new("text", "next_time", "Next time", &self.next_time)
                .hint("becomes the job's next-time line; may stay empty"),
        ]
    }

    fn read(&self) -> Result<NewSitting, Faults> {
        let mut read = Reader::default();
        let on_day = read.needed_day("on_day", &self.on_day);
        let minutes = read.whole("minutes", &self.minutes, 0, 1440, "the minutes");
        let done = read.needed("done", &self.done, "Say what was done.");
        let next_time = read.words("next_time", &self.next_time);
        let new = on_day.map(|on_day| NewSitting {
            on_day,
            minutes,
            done,
            next_time,
        });
        read.done(new)
            .and_then(|new| new.ok_or_else(Faults::default))
    }
}

async fn form_page(
    desk: &Desk,
    job: &Job,
    known: Option<&Sitting>,
    form: &SittingForm,
) -> Result<FormPage, Problem> {
    let (title, action) = match known {
        None => (
            "Write down a sitting".to_owned(),
            format!("/jobs/{}/sittings", job.number()),
        ),
        Some(s) => (
            format!("Sitting {}", s.serial),
            format!("/sittings/{}", s.id),
        ),
    };
    let layout = super::layout(desk, job, &title).await?;
    let page = FormPage::fresh(
        layout,
        form.fields(),
        action,
        "Save",
        format!("/jobs/{}#sittings", job.number()),
    );
    Ok(match known {
        Some(s) => page.withdrawable("sitting", s.id.get(), s.withdrawn_at.is_some()),
        None => page,
    })
}

async fn fresh(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let form = SittingForm {
        on_day: Stamp::now().day().iso().to_owned(),
        ..SittingForm::default()
    };
    page(&form_page(&desk, &job, None, &form).await?)
}

async fn create(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<SittingForm>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            return refused(
                &form_page(&desk, &job, None, &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                sittings::make(w, job.id, &new).await?;
                Ok(format!("/jobs/{}#sittings", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}

async fn change(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let sitting = sittings::find(desk.store(), SittingId::new(id)).await?;
    let job = jobs::by_id(desk.store(), sitting.job_id).await?;
    page(&form_page(&desk, &job, Some(&sitting), &SittingForm::of(&sitting)).await?)
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<SittingForm>,
) -> Result<Response, Problem> {
    let sitting = sittings::find(desk.store(), SittingId::new(id)).await?;
    let job = jobs::by_id(desk.store(), sitting.job_id).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            return refused(
                &form_page(&desk, &job, Some(&sitting), &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                sittings::change(w, sitting.id, &new).await?;
                Ok(format!("/jobs/{}#sittings", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}
