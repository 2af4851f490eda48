//! The bench: what is running, what must not be steamed, what waits for what, what comes next.

mod begun;
mod due;

use std::collections::HashMap;

use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use records::examinations::Tally;
use records::jobs::WaitsFor;
use records::{Stamp, examinations, jobs, workshop};

use crate::barred::NoSteam;
use crate::desk::Desk;
use crate::jobs::line::JobLine;
use crate::layout::Layout;
use crate::problem::{Problem, page};
use crate::start;

pub(crate) use begun::Begun;

/// The address of the bench.
pub(crate) fn routes() -> Router<Desk> {
    Router::new().route("/", get(show))
}

/// The jobs that wait for one thing.
struct Group {
    words: &'static str,
    jobs: Vec<JobLine>,
}

#[derive(Template)]
#[template(path = "bench/show.html")]
struct Bench {
    layout: Layout,
    owner: String,
    is_example: bool,
    now: String,
    running: Vec<crate::running::RunningNow>,
    stops: Vec<crate::running::StopLine>,
    no_steam: NoSteam,
    groups: Vec<Group>,
    begun: Vec<Begun>,
    looks: Vec<crate::looks::LookLine>,
    due: due::Due,
    coming: Vec<records::appointments::Appointment>,
    retests: Vec<crate::retests::DueLine>,
    open: usize,
}

async fn show(State(desk): State<Desk>) -> Result<Response, Problem> {
    let Some(workshop) = workshop::find(desk.store()).await? else {
        return start::first(State(desk)).await;
    };
    let now = Stamp::now();
    let open = jobs::open(desk.store()).await?;
    let bench = Bench {
        layout: desk.layout("The bench", "bench").await?,
        owner: workshop.owner,
        is_example: workshop.is_example,
        now: now.full(),
        running: crate::running::running(&desk).await?,
        stops: crate::running::standing_stops(&desk).await?,
        no_steam: NoSteam::find(desk.store()).await?,
        coming: crate::appointments::coming(&desk).await?,
        retests: crate::retests::near(&desk).await?,
        open: open.len(),
        looks: crate::looks::going_on(&desk).await?,
        begun: begun::all(desk.store(), now).await?,
        due: due::find(desk.store(), &open, now).await?,
        groups: groups(&open, now, &examinations::begun(desk.store()).await?),
    };
    Ok(page(&bench)?.into_response())
}

/// A job that waits for two things stands in the group where I can act, and names the other in its line.
fn groups(open: &[jobs::Job], now: Stamp, begun: &HashMap<i64, Tally>) -> Vec<Group> {
    let line = |job: &jobs::Job| {
        let tally = begun
            .get(&job.id.get())
            .filter(|t| t.examined < t.components);
        JobLine {
            examined: tally.map_or_else(String::new, |t| t.words()),
            ..JobLine::of(job, now)
        }
    };
    let first = |job: &jobs::Job| job.waits().first().map(|(what, _)| *what);
    let mut groups: Vec<Group> = WaitsFor::ALL
        .into_iter()
        .map(|what| Group {
            words: what.words(),
            jobs: open
                .iter()
                .filter(|j| first(j) == Some(what))
                .map(line)
                .collect(),
        })
        .collect();
    groups.push(Group {
        words: "nothing that is written down",
        jobs: open
            .iter()
            .filter(|j| first(j).is_none())
            .map(line)
            .collect(),
    });
    for group in &mut groups {
        // Barred from steam first, then the longest waiting.
        group
            .jobs
            .sort_by_key(|j| (j.no_steam == 0, j.since_millis));
    }
    groups.retain(|g| !g.jobs.is_empty());
    groups
}
