//! The sittings of a job: the newest on its sheet, further back on a list that goes on.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::Html;
use records::Store;
use records::jobs::{self, Job};
use records::sittings::{self, Sitting};

use crate::desk::Desk;
use crate::layout::Layout;
use crate::paging::{Behind, LINES, Paging, asked};
use crate::problem::{Problem, page};

/// So many stand on the sheet of the job.
const ON_SHEET: usize = 30;

#[derive(Template)]
#[template(path = "jobs/sittings_list.html")]
struct Sat {
    layout: Layout,
    job: Job,
    sittings: Vec<Sitting>,
    paging: Paging,
}

fn list_of(job: &Job) -> String {
    format!("/jobs/{}/sittings", job.number())
}

/// The newest sittings of a job, and where the others are.
pub(super) async fn on_the_sheet(
    store: &Store,
    job: &Job,
) -> Result<(Vec<Sitting>, Paging), Problem> {
    some(store, job, None, ON_SHEET).await
}

async fn some(
    store: &Store,
    job: &Job,
    behind: Option<i64>,
    lines: usize,
) -> Result<(Vec<Sitting>, Paging), Problem> {
    let mut sat = sittings::some(store, job.id, behind, asked(lines)).await?;
    let on = |s: &Sitting| format!("{}?behind={}", list_of(job), s.serial);
    let paging = Paging::cut(&mut sat, lines, "Earlier sittings", on);
    Ok((sat, paging))
}

pub(super) async fn list(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    Query(last): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let (sittings, paging) = some(desk.store(), &job, last.behind, LINES).await?;
    page(&Sat {
        layout: super::layout(&desk, &job, &format!("Sittings of {}", job.number())).await?,
        paging: paging.begins(last.behind.is_some(), &list_of(&job), "The newest"),
        sittings,
        job,
    })
}
