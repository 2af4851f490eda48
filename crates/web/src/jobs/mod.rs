//! Jobs: the list, one job's sheet, booking in and changing.

mod book_form;
mod defects;
mod estimate;
mod examination;
mod form;
pub(crate) mod line;
mod money;
mod parts;
mod payments;
mod pieces;
mod publish;
mod put_back;
mod receipt;
mod record_form;
mod sat;
mod settle;
mod sheet;
mod sittings;
mod stand;
mod states;
mod unknown_boiler;
mod variations;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use records::jobs::{self, Job};
use records::{CustomerId, PlantId, Stamp, customers, plants};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::Posted;
use crate::form_page::FormPage;
use crate::layout::Layout;
use crate::paging::{LINES, Paging, asked};
use crate::problem::{Problem, page, refused, see};
use book_form::BookForm;
use form::JobForm;
use line::JobLine;
pub(crate) use money::percent;
pub(crate) use put_back::WAYS;
pub(crate) use sittings::sitting_page;

/// Every address that is about jobs.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/jobs", get(list).post(book))
        .route("/jobs/new", get(fresh))
        .route("/jobs/{number}", get(sheet::show).post(update))
        .route("/jobs/{number}/change", get(change))
        .route("/jobs/{number}/stands", post(stand::stands))
        .route("/jobs/{number}/waits", post(stand::waits))
        .merge(defects::routes())
        .merge(states::routes())
        .merge(pieces::routes())
        .merge(parts::routes())
        .merge(sittings::routes())
        .merge(variations::routes())
        .merge(estimate::routes())
        .merge(examination::routes())
        .merge(payments::routes())
        .merge(money::routes())
        .merge(publish::routes())
        .merge(receipt::routes())
        .merge(unknown_boiler::routes())
}

#[derive(Template)]
#[template(path = "jobs/list.html")]
struct JobList {
    layout: Layout,
    open: Vec<JobLine>,
    gone: Vec<JobLine>,
    withdrawn: Vec<JobLine>,
    paging: Paging,
    /// Is it the first page?
    first: bool,
}

/// Where the list goes on: behind the job of this year and serial.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Behind {
    year: Option<i64>,
    serial: Option<i64>,
}

async fn list(
    State(desk): State<Desk>,
    Query(behind): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let (now, store) = (Stamp::now(), desk.store());
    let after = behind.year.zip(behind.serial);
    let mut gone = jobs::gone(store, after, asked(LINES)).await?;
    let on = |j: &Job| format!("/jobs?year={}&serial={}#gone", j.year, j.serial);
    let paging = Paging::cut(&mut gone, LINES, "Older ones", on).begins(
        after.is_some(),
        "/jobs#gone",
        "The newest",
    );
    let (open, withdrawn) = match after {
        None => (
            jobs::open(store).await?,
            jobs::withdrawn(store, None, asked(LINES)).await?,
        ),
        Some(_) => (Vec::new(), Vec::new()),
    };
    let lines = |jobs: Vec<Job>| jobs.iter().map(|j| JobLine::of(j, now)).collect();
    page(&JobList {
        layout: desk.layout("Jobs", "jobs").await?,
        open: lines(open),
        gone: lines(gone),
        withdrawn: lines(withdrawn),
        paging,
        first: after.is_none(),
    })
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct ForPlant {
    plant: String,
}

/// The form to book a job in; `?plant=` chooses a known plant.
async fn fresh(
    State(desk): State<Desk>,
    Query(query): Query<ForPlant>,
) -> Result<Html<String>, Problem> {
    let form = BookForm::on(Stamp::now().day().iso(), query.plant);
    page(&book_page(&desk, &form).await?)
}

async fn book_page(desk: &Desk, form: &BookForm) -> Result<FormPage, Problem> {
    let (plants, customers) = (
        plants::choices(
            desk.store(),
            form.plant.trim().parse().ok().map(PlantId::new),
        )
        .await?,
        customers::choices(
            desk.store(),
            form.customer.trim().parse().ok().map(CustomerId::new),
        )
        .await?,
    );
    let earlier = match form.plant() {
        Some(plant) => jobs::of_plant(desk.store(), plant).await?,
        None => Vec::new(),
    };
    let layout = desk.layout("Book a job in", "jobs").await?;
    Ok(FormPage::fresh(
        layout,
        form.fields(&plants, &customers, &earlier),
        "/jobs".into(),
        "Book it in",
        "/jobs".into(),
    ))
}

/// The form once more where a plant was chosen on it that was here before: then it may be a return of an earlier job.
async fn ask_of_return(
    desk: &Desk,
    posted: &Posted<BookForm>,
) -> Result<Option<FormPage>, Problem> {
    let Some(plant) = posted.form.must_ask() else {
        return Ok(None);
    };
    if jobs::of_plant(desk.store(), plant).await?.is_empty() {
        return Ok(None);
    }
    let mut form = book_page(desk, &posted.form).await?;
    form.lead = "not yet: this plant was here before; is it a return?".to_owned();
    form.key.clone_from(&posted.key);
    Ok(Some(form))
}

async fn book(State(desk): State<Desk>, posted: Posted<BookForm>) -> Result<Response, Problem> {
    let booking = match posted.form.read() {
        Ok(booking) => booking,
        Err(faults) => {
            return refused(
                &book_page(&desk, &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    if let Some(asked) = ask_of_return(&desk, &posted).await? {
        return Ok(page(&asked)?.into_response());
    }
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                let plant = match booking.plant {
                    Ok(known) => known,
                    Err(new) => book_form::make_plant(w, new).await?,
                };
                let id = jobs::book(w, plant, &booking.job).await?;
                Ok(format!("/jobs/{}", jobs::by_id_in(w, id).await?.number()))
            })
        })
        .await?;
    Ok(see(&to))
}

async fn change(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    page(&change_page(&desk, &job, &JobForm::of(&job)).await?)
}

async fn change_page(desk: &Desk, job: &Job, form: &JobForm) -> Result<FormPage, Problem> {
    let earlier = jobs::of_plant(desk.store(), job.plant_id).await?;
    let layout = layout(desk, job, "Change the job").await?;
    let at = format!("/jobs/{}", job.number());
    Ok(FormPage::fresh(
        layout,
        form.fields(&earlier, Some(job.id)),
        at.clone(),
        "Save",
        at,
    ))
}

async fn update(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<JobForm>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            return refused(
                &change_page(&desk, &job, &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                jobs::change(w, job.id, &new).await?;
                Ok(format!("/jobs/{}", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}

/// The frame of a page about one job.
pub(crate) async fn layout(desk: &Desk, job: &Job, title: &str) -> Result<Layout, Problem> {
    let mut layout = desk.layout(title, "jobs").await?;
    layout.sheet_no = job.number();
    Ok(layout)
}

/// The plant of a booking: one that is known, or one to write down.
pub(crate) type WhichPlant = Result<PlantId, book_form::PlantToMake>;
