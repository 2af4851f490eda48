//! Examining one component: the finding, sound or with its defect, and a picture, in one press.

use askama::Template;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use axum::routing::get;
use records::examinations::{self, NewExamination, Outcome};
use records::jobs::{self, Job};
use records::pictures::{self, NewPicture, Of, Shelved, Unfit};
use records::{Error, Stamp, Write, defects, fresh_key};

use super::{Line, line};
use crate::desk::Desk;
use crate::form::{Faults, Pick, Reader};
use crate::layout::Layout;
use crate::pictures::MOST_READ;
use crate::pictures::receive::{Received, receive, status_of};
use crate::problem::{Problem, page, see};

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route(
            "/jobs/{number}/examination/{component}",
            get(ask).post(examine),
        )
        .layer(DefaultBodyLimit::max(MOST_READ))
}

/// The form as typed.
#[derive(Clone, Debug, Default)]
struct ExamineForm {
    finding: String,
    outcome: String,
    what: String,
    bar: String,
}

const BOXES: [&str; 4] = ["finding", "outcome", "what", "bar"];

impl ExamineForm {
    fn of(sent: &Received) -> Self {
        let typed = |name| sent.typed(name).to_owned();
        Self {
            finding: typed("finding"),
            outcome: typed("outcome"),
            what: typed("what"),
            bar: typed("bar"),
        }
    }

    /// What was found of the component; one box of words is enough where it has a defect.
    fn read(&self, on: &Line) -> Result<NewExamination, Faults> {
        let mut read = Reader::default();
        let finding = read.words("finding", &self.finding);
        let what = read.words("what", &self.what);
        let outcome = match self.outcome.as_str() {
            "defect" => {
                let bar = read.one_of("bar", &self.bar, &defects::BARS);
                let what = if what.is_empty() { &finding } else { &what };
                Outcome::Defect {
                    what: what.clone(),
                    bar,
                }
            }
            "sound in other respects" => Outcome::SoundOtherwise,
            "sound" => Outcome::Sound,
            _ => {
                read.fault("finding", "Press how it came out: sound, or with a defect.");
                Outcome::Sound
            }
        };
        let is_sound = !matches!(outcome, Outcome::Defect { .. });
        if is_sound && !what.is_empty() {
            read.fault(
                "what",
                "Words of a defect stand here: press “It has this defect”, or take them out.",
            );
        }
        if outcome == Outcome::Sound && !on.open().is_empty() {
            read.fault("finding", still_stands(on));
        }
        let finding = match outcome {
            Outcome::Defect { .. } if finding.is_empty() => what,
            _ => finding,
        };
        if finding.is_empty() {
            read.fault("finding", "Say what you found.");
        }
        let component_id = on.component.id;
        read.done(NewExamination {
            component_id,
            finding,
            outcome,
        })
    }
}

/// What stands against calling it sound, and what can be said instead.
fn still_stands(on: &Line) -> String {
    let named: Vec<String> = on
        .open()
        .iter()
        .map(|d| format!("defect {} of {} is {}", d.serial, d.job_number(), d.state))
        .collect();
    format!(
        "Not sound as it is: {}. Is it sound in other respects? Then press that; a defect is cleared on its own page.",
        named.join(", ")
    )
}

#[derive(Template)]
#[template(path = "examination/examine.html")]
struct Examine {
    layout: Layout,
    job: Job,
    line: Line,
    form: ExamineForm,
    bars: Vec<Pick>,
    faults: Faults,
    key: String,
}

async fn examine_page(desk: &Desk, job: Job, on: Line) -> Result<Examine, Problem> {
    let title = format!("{}: examine {}", job.number(), on.component.name);
    Ok(Examine {
        layout: super::super::layout(desk, &job, &title).await?,
        job,
        line: on,
        form: ExamineForm::default(),
        bars: Pick::words(&defects::BARS),
        faults: Faults::default(),
        key: fresh_key(),
    })
}

async fn ask(
    State(desk): State<Desk>,
    Path((number, component)): Path<(String, i64)>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let on = line(&desk, &job, component).await?;
    page(&examine_page(&desk, job, on).await?)
}

async fn examine(
    State(desk): State<Desk>,
    Path((number, component)): Path<(String, i64)>,
    sent: Multipart,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let on = line(&desk, &job, component).await?;
    let mut sent = receive(&desk, sent, &BOXES).await?;
    let form = ExamineForm::of(&sent);
    let new = match form.read(&on) {
        Ok(new) => new,
        Err(faults) => {
            return again(
                &desk,
                (job, on),
                &sent,
                faults,
                StatusCode::UNPROCESSABLE_ENTITY,
            )
            .await;
        }
    };
    let shelved = match shelved(&desk, &mut sent).await? {
        Ok(shelved) => shelved,
        Err(unfit) => {
            let mut faults = Faults::default();
            faults.add("taken", unfit.to_string());
            return again(&desk, (job, on), &sent, faults, status_of(&unfit)).await;
        }
    };
    let to = format!("/jobs/{}/examination", job.number());
    let posted = sent.as_posted(&format!("{to}/{component}"), &shelved)?;
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                keep(w, &job, &new, shelved).await?;
                Ok(to)
            })
        })
        .await?;
    Ok(see(&to))
}

/// The pictures that came with it, which may be none.
async fn shelved(desk: &Desk, sent: &mut Received) -> Result<Result<Vec<Shelved>, Unfit>, Problem> {
    match sent.shelve(desk).await? {
        Err(Unfit::Empty) => Ok(Ok(Vec::new())),
        other => Ok(other),
    }
}

/// The finding, its defect, and the pictures: of the defect where there is one, of the component else.
async fn keep(
    w: &mut Write,
    job: &Job,
    new: &NewExamination,
    shelved: Vec<Shelved>,
) -> Result<(), Error> {
    let (id, defect) = examinations::make(w, job.id, new).await?;
    let (of, subject_id) = match defect {
        Some(defect) => (Of::Defect, defect.get()),
        None => (Of::Component, new.component_id.get()),
    };
    for shelved in shelved {
        let picture = NewPicture {
            of,
            subject_id,
            job: Some(job.id),
            caption: String::new(),
            taken_on: Stamp::now().day(),
            shelved,
        };
        let picture = pictures::make(w, &picture).await?;
        examinations::pictured(w, id, picture).await?;
    }
    Ok(())
}

/// The same page with what is wrong; words stay as typed, a picture must be chosen anew.
async fn again(
    desk: &Desk,
    (job, on): (Job, Line),
    sent: &Received,
    faults: Faults,
    status: StatusCode,
) -> Result<Response, Problem> {
    let mut refused = examine_page(desk, job, on).await?;
    refused.form = ExamineForm::of(sent);
    refused.faults = faults;
    if !sent.key.is_empty() {
        refused.key.clone_from(&sent.key);
    }
    Ok((status, page(&refused)?).into_response())
}
