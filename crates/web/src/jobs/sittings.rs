//! Writing down a sitting, and changing it.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::post;
use records::at_bench::{self, AtBench};
use records::components;
use records::defects;
use records::jobs::{self, Job};
use records::pictures::Of;
use records::sittings::{self, NewSitting, Sitting};
use records::{ComponentId, Error, JobId, SittingId, Stamp, Write};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::FormPage;
use crate::jobs::record_form::{self, RecordForm};
use crate::problem::{Problem, see};

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route(
            "/jobs/{number}/sittings",
            record_form::making::<SittingForm>().get(super::sat::list),
        )
        .route(
            "/jobs/{number}/sittings/new",
            record_form::beginning::<SittingForm>(),
        )
        .route("/sittings/{id}", record_form::keeping::<SittingForm>())
        .route("/jobs/{number}/sittings/begin", post(begin))
}

/// More minutes than a day has are no sitting.
const LONGEST_MIN: i64 = 1440;

#[derive(Debug, Default, Deserialize)]
struct Nothing {}

/// Begins a sitting: from now on it shows on the bench.
async fn begin(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<Nothing>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            at_bench::begin(w, job.id).await?;
            Ok(format!("/jobs/{}#sittings", job.number()))
        })
    });
    Ok(see(&to.await?))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct SittingForm {
    on_day: String,
    minutes: String,
    done: String,
    component: String,
    next_time: String,
    clip: String,
    /// Whether it is the sitting that has begun.
    begun: String,
}

/// What the form says: the sitting, and whether it is the one that has begun.
pub(crate) struct Written {
    sitting: NewSitting,
    begun: bool,
}

impl SittingForm {
    /// The lines; of a sitting that has begun with the minutes since then, unless others were typed.
    fn fields_since(&self, on: Vec<Pick>, begun: Option<&AtBench>) -> Vec<Field> {
        let Some(begun) = begun else {
            return self.fields(on);
        };
        let now = Stamp::now();
        let mut form = self.clone();
        if form.minutes.trim().is_empty() {
            form.minutes = begun.minutes(now).min(LONGEST_MIN).to_string();
            form.begun = "yes".to_owned();
        }
        let mut fields = form.fields(on);
        let tick = Field::new("tick", "begun", "Begun", &form.begun)
            .hint("this is the sitting that has begun; saving it puts it down");
        fields.insert(2, tick);
        fields
    }

    fn fields(&self, on: Vec<Pick>) -> Vec<Field> {
        vec![
            Field::new("date", "on_day", "Day", &self.on_day),
            Field::new("number", "minutes", "At the bench", &self.minutes).unit("min"),
            Field::new("long", "done", "What was done", &self.done),
            Field::new("pick", "component", "On", &self.component)
                .picks(on)
                .hint("it is found on that component's page too"),
            Field::new("text", "next_time", "Next time", &self.next_time)
                .hint("becomes the job's next-time line; may stay empty"),
            Field::new("text", "clip", "A clip", &self.clip)
                .hint("its web address, written out in full; may stay empty"),
        ]
    }
}

impl RecordForm for SittingForm {
    type Row = Sitting;
    type New = Written;

    const WRITES: &'static [&'static str] = &[
        "on_day",
        "minutes",
        "done",
        "component_id",
        "next_time",
        "clip",
    ];
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
            component: sitting
                .component_id
                .map_or_else(String::new, |c| c.to_string()),
            next_time: sitting.next_time.clone(),
            clip: sitting.clip.clone(),
            begun: String::new(),
        }
    }

    fn read(&self) -> Result<Written, Faults> {
        let mut read = Reader::default();
        let on_day = read.needed_day("on_day", &self.on_day);
        let minutes = read.whole("minutes", &self.minutes, 0, LONGEST_MIN, "the minutes");
        let done = read.needed("done", &self.done, "Say what was done.");
        let component_id = read.row("component", &self.component).map(ComponentId::new);
        let next_time = read.words("next_time", &self.next_time);
        let clip = read.words("clip", &self.clip);
        let address = |start: &str| {
            clip.strip_prefix(start)
                .is_some_and(|rest| !rest.is_empty())
        };
        if !clip.is_empty() && !address("http://") && !address("https://") {
            read.fault("clip", "A clip's address begins with http:// or https://.");
        }
        let begun = self.begun == "yes";
        let new = on_day.map(|on_day| Written {
            begun,
            sitting: NewSitting {
                on_day,
                minutes,
                done,
                next_time,
                clip,
                component_id,
            },
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
        let begun = match known {
            None => at_bench::of_job(desk.store(), job.id).await?,
            Some(_) => None,
        };
        let mut page = FormPage::fresh(
            layout,
            self.fields_since(components_of(desk, job).await?, begun.as_ref()),
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

    async fn make(w: &mut Write, job: JobId, new: &Written) -> Result<(), Error> {
        let id = sittings::make(w, job, &new.sitting).await?;
        if new.begun {
            at_bench::end(w, job, id).await?;
        }
        Ok(())
    }

    async fn change(w: &mut Write, id: i64, new: &Written) -> Result<(), Error> {
        sittings::change(w, SittingId::new(id), &new.sitting).await
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

/// What a sitting can be spent on.
async fn components_of(desk: &Desk, job: &Job) -> Result<Vec<Pick>, Problem> {
    let all = components::of_plant(desk.store(), job.plant_id).await?;
    let mut on = vec![Pick::new("", "the plant as a whole, or more than one")];
    let kept = all.into_iter().filter(|c| c.withdrawn_at.is_none());
    on.extend(kept.map(|c| Pick::new(c.id, c.name)));
    Ok(on)
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
