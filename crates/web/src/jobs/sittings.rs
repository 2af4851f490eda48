//! Writing down a sitting, and changing it.

use axum::Router;
use records::defects;
use records::jobs::Job;
use records::pictures::Of;
use records::sittings::{self, NewSitting, Sitting};
use records::{Error, JobId, SittingId, Stamp, Write};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Reader};
use crate::form_page::FormPage;
use crate::jobs::record_form::{self, RecordForm};
use crate::problem::Problem;

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route(
            "/jobs/{number}/sittings",
            record_form::making::<SittingForm>(),
        )
        .route(
            "/jobs/{number}/sittings/new",
            record_form::beginning::<SittingForm>(),
        )
        .route("/sittings/{id}", record_form::keeping::<SittingForm>())
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
    fn fields(&self) -> Vec<Field> {
        vec![
            Field::new("date", "on_day", "Day", &self.on_day),
            Field::new("number", "minutes", "At the bench", &self.minutes).unit("min"),
            Field::new("long", "done", "What was done", &self.done),
            Field::new("text", "next_time", "Next time", &self.next_time)
                .hint("becomes the job's next-time line; may stay empty"),
        ]
    }
}

impl RecordForm for SittingForm {
    type Row = Sitting;
    type New = NewSitting;

    const ANCHOR: &'static str = "sittings";
    const PICTURES: Option<Of> = Some(Of::Sitting);

    fn fresh() -> Self {
        SittingForm {
            on_day: Stamp::now().day().iso().to_owned(),
            ..SittingForm::default()
        }
    }

    fn of(sitting: &Sitting) -> Self {
        Self {
            on_day: sitting.on_day.iso().to_owned(),
            minutes: sitting.minutes.to_string(),
            done: sitting.done.clone(),
            next_time: sitting.next_time.clone(),
        }
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

    async fn find(desk: &Desk, id: i64) -> Result<(Sitting, JobId), Error> {
        let row = sittings::find(desk.store(), SittingId::new(id)).await?;
        let job = row.job_id;
        Ok((row, job))
    }

    async fn page(
        &self,
        desk: &Desk,
        job: &Job,
        known: Option<&Sitting>,
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
        let mut page = FormPage::fresh(
            layout,
            self.fields(),
            action,
            "Save",
            format!("/jobs/{}#sittings", job.number()),
        );
        if known.is_none() {
            page.lead = put_off_to_this(desk, job).await?;
        }
        Ok(match known {
            Some(s) => {
                let page = page.withdrawable("sitting", s.id.get(), s.withdrawn_at.is_some());
                match crate::stock::draw_form(desk, s).await? {
                    Some(form) => page.beside(form),
                    None => page,
                }
            }
            None => page,
        })
    }

    async fn make(w: &mut Write, job: JobId, new: &NewSitting) -> Result<(), Error> {
        sittings::make(w, job, new).await.map(drop)
    }

    async fn change(w: &mut Write, id: i64, new: &NewSitting) -> Result<(), Error> {
        sittings::change(w, SittingId::new(id), new).await
    }
}

/// The page of a sitting, for a form beside it.
pub(crate) async fn sitting_page(
    desk: &Desk,
    job: &Job,
    sitting: &Sitting,
) -> Result<FormPage, Problem> {
    SittingForm::of(sitting)
        .page(desk, job, Some(sitting))
        .await
}

/// The defects that were put off to the next sitting, for the head of a fresh form.
async fn put_off_to_this(desk: &Desk, job: &Job) -> Result<String, Problem> {
    let all = defects::of_job(desk.store(), job.id).await?;
    let mine: Vec<String> = all
        .iter()
        .filter(|d| {
            d.state == "deferred" && d.deferred_until == "sitting" && d.withdrawn_at.is_none()
        })
        .map(|d| format!("{}, {}", d.serial, d.what))
        .collect();
    Ok(if mine.is_empty() {
        String::new()
    } else {
        format!("put off to this sitting: {}", mine.join("; "))
    })
}
