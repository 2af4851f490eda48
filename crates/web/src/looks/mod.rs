//! A look: what somebody wants to know, tried quickly; notes, readings, pictures and defects with their times.
//!
//! No lists and no verdict. The first fire, or a pressure over the air cap, makes it the trial that it really is.

mod line;

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use records::change::Subject;
use records::jobs::{self, Job};
use records::looks::{self, Line, Look};
use records::{Error, LookId, Stamp, Write, defects};

use crate::changes::{self, Changes};
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::layout::{Keys, Layout};
use crate::problem::{Problem, page, see};
use crate::put_back::{Kept, Way};
use crate::trials::from_look;
use crate::trials::typed::Typed;

/// Every address that is about looks.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/jobs/{number}/looks", post(begin))
        .route("/looks/{id}", get(show))
        .route("/looks/{id}/lines", post(line::write))
        .route("/looks/{id}/end", post(end))
}

pub(super) fn address(id: LookId) -> String {
    format!("/looks/{id}")
}

#[derive(Template)]
#[template(path = "looks/show.html")]
struct LookPage {
    layout: Layout,
    job: Job,
    look: Look,
    lines: Vec<Line>,
    cap: String,
    form: Typed,
    faults: Faults,
    readings: &'static [line::Readable],
    keys: Keys,
    changes: Changes,
}

async fn look_page(
    desk: &Desk,
    look: Look,
    form: Typed,
    faults: Faults,
) -> Result<LookPage, Problem> {
    let job = jobs::by_id(desk.store(), look.job_id).await?;
    let title = format!("{} {}: look {}", job.number(), job.plant, look.serial);
    let mut layout = desk.layout(&title, "jobs").await?;
    layout.sheet_no = job.number();
    Ok(LookPage {
        layout,
        changes: changes::of(desk, Subject::Look, look.id.get(), address(look.id)).await?,
        lines: looks::lines(desk.store(), look.id).await?,
        cap: from_look::most_bar(desk, &job).await?.1,
        readings: line::READABLE,
        keys: Keys,
        job,
        look,
        form,
        faults,
    })
}

async fn show(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Response, Problem> {
    let look = looks::find(desk.store(), LookId::new(id)).await?;
    Ok(page(&look_page(&desk, look, Typed::default(), Faults::default()).await?)?.into_response())
}

/// The page again with what was typed and what is wrong with it.
async fn again(desk: &Desk, look: Look, form: Typed, faults: Faults) -> Result<Response, Problem> {
    let shown = look_page(desk, look, form, faults).await?;
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&shown)?).into_response())
}

/// One line and one press on the job's sheet.
async fn begin(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let asks = posted.form.get("asks").to_owned();
    if asks.is_empty() {
        return Err(Problem::Unreadable(
            "a look is at something: write in one line what you want to know".to_owned(),
        ));
    }
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move { Ok(address(looks::begin(w, job.id, &asks).await?)) })
        })
        .await?;
    Ok(see(&to))
}

/// Puts it down, with what was found; or says it anew.
async fn end(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let id = LookId::new(id);
    let found = posted.form.get("found").to_owned();
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                looks::end(w, id, &found).await?;
                Ok(address(id))
            })
        })
        .await?;
    Ok(see(&to))
}

/// What was found can be put back as it was.
pub(crate) const WAYS: &[Way] = &[Way::by::<Found>(Subject::Look)];

/// What a look found.
struct Found;

impl Kept for Found {
    type Row = Look;
    type New = String;

    const WRITES: &'static [&'static str] = &["found"];

    async fn find(desk: &Desk, id: i64) -> Result<Look, Error> {
        looks::find(desk.store(), LookId::new(id)).await
    }

    fn written(row: &Look) -> Result<Self::New, Faults> {
        Ok(row.found.clone())
    }

    async fn change(w: &mut Write, id: i64, new: &Self::New) -> Result<(), Error> {
        looks::end(w, LookId::new(id), new).await
    }
}

/// A look as the job's sheet and the bench show it.
pub(crate) struct LookLine {
    /// Its row.
    pub id: i64,
    /// Which look of the job.
    pub serial: i64,
    /// The job's number.
    pub number: String,
    /// Name of the plant.
    pub plant: String,
    /// What is asked.
    pub asks: String,
    /// What was found.
    pub found: String,
    /// When it began, and that it goes on.
    pub when: String,
    /// The trial it became.
    pub trial: Option<i64>,
    /// Withdrawn?
    pub withdrawn: bool,
}

impl LookLine {
    fn of(look: Look, now: Stamp) -> Self {
        let when = match (look.goes_on(), look.made_at.day() == now.day()) {
            (true, true) => format!("goes on since {}", look.made_at.clock()),
            (true, false) => format!("goes on since {}", look.made_at.full()),
            (false, _) => look.made_at.full(),
        };
        Self {
            id: look.id.get(),
            serial: look.serial,
            number: look.job_number(),
            plant: look.plant,
            asks: look.asks,
            found: look.found,
            when,
            trial: look.trial_id.map(records::TrialId::get),
            withdrawn: look.withdrawn_at.is_some(),
        }
    }
}

/// The looks of a job, the newest on top.
pub(crate) async fn of_job(desk: &Desk, job: &Job) -> Result<Vec<LookLine>, Problem> {
    let all = looks::of_job(desk.store(), job.id).await?;
    let now = Stamp::now();
    Ok(all.into_iter().map(|l| LookLine::of(l, now)).collect())
}

/// The looks that go on, for the bench.
pub(crate) async fn going_on(desk: &Desk) -> Result<Vec<LookLine>, Problem> {
    let all = looks::open(desk.store()).await?;
    let now = Stamp::now();
    Ok(all.into_iter().map(|l| LookLine::of(l, now)).collect())
}
