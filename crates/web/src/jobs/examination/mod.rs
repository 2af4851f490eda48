//! The examination of a job: every component with what was found of it, and what still waits to be examined.

mod examine;
mod finding;

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::response::Html;
use axum::routing::get;
use records::components::{self, Component};
use records::defects::{self, Defect};
use records::examinations::{self, Examination, Tally};
use records::jobs::{self, Job};

use crate::desk::Desk;
use crate::layout::Layout;
use crate::problem::{Problem, page};

pub(super) use finding::FindingForm;

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/jobs/{number}/examination", get(show))
        .merge(examine::routes())
        .merge(finding::routes())
}

/// One component, and what is known of it in this job.
struct Line {
    component: Component,
    /// What was found in this job, the newest first.
    found: Vec<Examination>,
    /// What the newest earlier job said.
    before: Option<Examination>,
    /// Its defects: those of this job, and those of others that are not cleared.
    defects: Vec<Defect>,
}

impl Line {
    /// How it stands, in a few words; its defects alone where nobody has looked at it.
    fn stands(&self) -> String {
        let defects = counted(&self.defects);
        let newest = self.found.first().map(|f| f.outcome.as_str());
        let outcome = match newest {
            Some("sound") if !self.open().is_empty() => "",
            Some("defect") if !defects.is_empty() => "",
            Some("defect") => "a defect that was withdrawn",
            Some(outcome) => outcome,
            None => "",
        };
        let both = [defects.as_str(), outcome];
        let said: Vec<&str> = both.into_iter().filter(|w| !w.is_empty()).collect();
        said.join("; ")
    }

    /// Its defects that are not cleared.
    fn open(&self) -> Vec<&Defect> {
        open(&self.defects)
    }
}

/// How many defects, and how they stand.
fn counted(defects: &[Defect]) -> String {
    let of = |state: &str| defects.iter().filter(|d| d.state == state).count();
    let states: Vec<String> = ["standing", "deferred", "cleared"]
        .into_iter()
        .filter(|state| of(state) > 0)
        .map(|state| format!("{} {state}", of(state)))
        .collect();
    match defects {
        [] => String::new(),
        [one] => format!("1 defect, {}", one.state),
        more => format!("{} defects: {}", more.len(), states.join(", ")),
    }
}

/// Those that are not cleared.
fn open(defects: &[Defect]) -> Vec<&Defect> {
    defects.iter().filter(|d| d.state != "cleared").collect()
}

/// Every component of a job's plant with what is known of it, in the order of its tree.
async fn lines(desk: &Desk, job: &Job) -> Result<Vec<Line>, Problem> {
    let store = desk.store();
    let mut found = examinations::of_plant(store, job.plant_id).await?;
    found.retain(|f| f.withdrawn_at.is_none());
    let defects = examinations::defects_of_plant(store, job.plant_id).await?;
    let mut all = components::of_plant(store, job.plant_id).await?;
    all.retain(|c| c.withdrawn_at.is_none());
    let line = |component: Component| {
        let own = |f: &&Examination| f.component_id == component.id;
        let earlier = |f: &&Examination| (f.job_year, f.job_serial) < (job.year, job.serial);
        let here = |d: &&Defect| {
            d.component_id == Some(component.id) && (d.job_id == job.id || d.state != "cleared")
        };
        Line {
            found: found
                .iter()
                .filter(own)
                .filter(|f| f.job_id == job.id)
                .cloned()
                .collect(),
            before: found.iter().filter(own).find(earlier).cloned(),
            defects: defects.iter().filter(here).cloned().collect(),
            component,
        }
    };
    Ok(all.into_iter().map(line).collect())
}

/// One component of the job's plant.
async fn line(desk: &Desk, job: &Job, component: i64) -> Result<Line, Problem> {
    lines(desk, job)
        .await?
        .into_iter()
        .find(|l| l.component.id.get() == component)
        .ok_or(Problem::Missing("component on this plant"))
}

#[derive(Template)]
#[template(path = "examination/list.html")]
struct List {
    layout: Layout,
    job: Job,
    tally: Tally,
    lines: Vec<Line>,
    /// What is not cleared of this job and is on no component.
    elsewhere: Vec<Defect>,
}

impl List {
    /// What was written down last in this job.
    fn newest(&self) -> Option<&Examination> {
        let found = self.lines.iter().filter_map(|l| l.found.first());
        found.max_by_key(|f| (f.made_at.millis(), f.id))
    }

    /// Was any of them looked at in an earlier job?
    fn looked_before(&self) -> bool {
        self.lines.iter().any(|l| l.before.is_some())
    }

    /// The first component that nobody has looked at.
    fn next(&self) -> Option<&Component> {
        let waiting = self.lines.iter().find(|l| l.found.is_empty());
        waiting.map(|l| &l.component)
    }
}

async fn show(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let mut elsewhere = defects::of_job(desk.store(), job.id).await?;
    elsewhere
        .retain(|d| d.component_id.is_none() && d.state != "cleared" && d.withdrawn_at.is_none());
    page(&List {
        elsewhere,
        layout: super::layout(&desk, &job, &format!("Examination {}", job.number())).await?,
        tally: examinations::tally(desk.store(), job.id).await?,
        lines: lines(&desk, &job).await?,
        job,
    })
}
