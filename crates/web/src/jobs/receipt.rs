//! The receipt that is handed over when a plant comes in: what came, in which state, with which papers.

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::response::Html;
use axum::routing::get;
use records::customers::{self, Customer};
use records::jobs::{self, Job};
use records::papers::{self, Paper};
use records::pictures::{self, Of, Picture};
use records::{Stamp, components};

use crate::desk::Desk;
use crate::layout::Layout;
use crate::problem::{Problem, page};
use crate::trials::tree::Tree;

pub(super) fn routes() -> Router<Desk> {
    Router::new().route("/jobs/{number}/receipt", get(show))
}

#[derive(Template)]
#[template(path = "jobs/receipt.html")]
struct Receipt {
    layout: Layout,
    job: Job,
    customer: Customer,
    contents: Vec<String>,
    condition: Vec<String>,
    papers: Vec<Paper>,
    pictures: Vec<Picture>,
    working: String,
    owner: String,
    made: String,
}

impl Receipt {
    fn small(&self, picture: &Picture) -> String {
        crate::pictures::address(&picture.small_sha256)
    }
}

/// Words as they were written, a line each.
fn lines(words: &str) -> Vec<String> {
    let all = words.lines().map(str::trim).filter(|l| !l.is_empty());
    all.map(str::to_owned).collect()
}

async fn show(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let store = desk.store();
    let job = jobs::find(store, &number).await?;
    let parts = components::of_plant(store, job.plant_id).await?;
    let known = Tree::read(&components::together(&parts, &job.plant)?);
    let mut papers = papers::of_plant(store, job.plant_id).await?;
    papers.retain(|p| p.withdrawn_at.is_none());
    let mut pictures = pictures::of(store, Of::Job, job.id.get()).await?;
    pictures.retain(|p| p.withdrawn_at.is_none());
    page(&Receipt {
        layout: super::layout(&desk, &job, &format!("Receipt {}", job.number())).await?,
        customer: customers::find(store, job.customer_id).await?,
        contents: lines(&job.contents),
        condition: lines(&job.condition),
        working: known.map_or_else(|_| String::new(), |k| k.typed_at("working_pressure_bar")),
        owner: desk.owner().await?,
        made: Stamp::now().day().full(),
        papers,
        pictures,
        job,
    })
}
