//! Parts over all open jobs: what is to be made, what is to be ordered or on order from whom, what lies ready.

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::parts::{self, Awaited};
use records::{Day, PartId, Stamp, fresh_key};
use serde::Deserialize;

use crate::desk::Desk;
use crate::filters;
use crate::form::Posted;
use crate::layout::Layout;
use crate::problem::{Problem, page, see};

/// Every address of the list.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/parts", get(list))
        .route("/parts/{id}/moves", post(moves))
}

/// One line of the list.
struct Line {
    id: i64,
    job: String,
    plant: String,
    name: String,
    material: String,
    for_defect: Option<i64>,
    state: String,
    /// What happened or is to happen when.
    days: String,
    late: bool,
    costs_pence: Option<i64>,
    /// The next step: the state it leads to, and the words on its key.
    next: Option<(&'static str, &'static str)>,
    key: String,
}

/// What comes from one place, or is made here.
struct Group {
    words: String,
    said: String,
    lines: Vec<Line>,
}

#[derive(Template)]
#[template(path = "all_parts/list.html")]
struct List {
    layout: Layout,
    groups: Vec<Group>,
    ready: Vec<Line>,
    drills: [(&'static str, &'static str); 4],
}

/// Drills and packing at hand, on the reckoner's pages.
pub(crate) const DRILLS: [(&str, &str); 4] = [
    ("/reckoner/thread-ba", "BA"),
    ("/reckoner/thread-metric", "metric"),
    ("/reckoner/thread-whitworth", "Whitworth form"),
    ("/reckoner/packing", "gland packing"),
];

async fn list(State(desk): State<Desk>) -> Result<Html<String>, Problem> {
    let today = Stamp::now().day();
    let all = parts::awaited(desk.store()).await?;
    let (ready, waited): (Vec<Awaited>, Vec<Awaited>) =
        all.into_iter().partition(|a| a.part.state == "in hand");
    page(&List {
        layout: desk.layout("Parts of all jobs", "jobs").await?,
        groups: groups(waited, &today),
        ready: ready.iter().map(|a| line(a, &today)).collect(),
        drills: DRILLS,
    })
}

/// What is made here first, then each place that something comes from.
fn groups(waited: Vec<Awaited>, today: &Day) -> Vec<Group> {
    let (made, bought): (Vec<Awaited>, Vec<Awaited>) =
        waited.into_iter().partition(|a| a.part.way == "make");
    let mut groups = Vec::new();
    if !made.is_empty() {
        groups.push(Group {
            words: "To make here".to_owned(),
            said: count(made.len()),
            lines: made.iter().map(|a| line(a, today)).collect(),
        });
    }
    for some in bought.chunk_by(|a, b| same(&a.part.supplier, &b.part.supplier)) {
        let supplier = some.first().map_or("", |a| a.part.supplier.as_str());
        let sum: i64 = some.iter().filter_map(|a| a.part.costs_pence()).sum();
        let unpriced = some.iter().filter(|a| a.part.costs_pence().is_none());
        let mut said = format!(
            "{}, {} with carriage",
            count(some.len()),
            crate::show::pounds(sum)
        );
        match unpriced.count() {
            0 => {}
            n => said.push_str(&format!("; {n} without a price")),
        }
        groups.push(Group {
            words: if supplier.is_empty() {
                "From nobody named yet".to_owned()
            } else {
                supplier.to_owned()
            },
            said,
            lines: some.iter().map(|a| line(a, today)).collect(),
        });
    }
    groups
}

fn same(a: &str, b: &str) -> bool {
    a.to_lowercase() == b.to_lowercase()
}

fn count(n: usize) -> String {
    if n == 1 {
        "1 part".to_owned()
    } else {
        format!("{n} parts")
    }
}

fn line(a: &Awaited, today: &Day) -> Line {
    let part = &a.part;
    let mut days = Vec::new();
    if let Some(day) = &part.ordered_on {
        days.push(format!("ordered {}", day.short()));
    }
    let late = part.state != "in hand" && part.promised_on.as_ref().is_some_and(|day| day < today);
    match (&part.arrived_on, &part.promised_on) {
        (Some(day), _) => days.push(format!("arrived {}", day.short())),
        (None, Some(day)) if late => days.push(format!("was due {}", day.short())),
        (None, Some(day)) => days.push(format!("due {}", day.short())),
        (None, None) => {}
    }
    let many = if part.count > 1 {
        format!("{} × ", part.count)
    } else {
        String::new()
    };
    Line {
        id: part.id.get(),
        job: a.job_number(),
        plant: a.plant.clone(),
        name: format!("{many}{}", part.name),
        material: part.material.clone(),
        for_defect: part.for_defect,
        state: part.state.clone(),
        days: days.join(", "),
        late,
        costs_pence: part.costs_pence(),
        next: match part.state.as_str() {
            "to make" => Some(("in hand", "Made")),
            "to order" => Some(("on order", "Ordered")),
            "on order" => Some(("in hand", "Arrived")),
            "in hand" => Some(("fitted", "Fitted")),
            _ => None,
        },
        key: fresh_key(),
    }
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Move {
    state: String,
}

/// Moves a part on by one press.
async fn moves(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Move>,
) -> Result<Response, Problem> {
    let state = posted.form.state.clone();
    if !parts::STATES.contains(&state.as_str()) {
        let says = format!("a part is {}", parts::STATES.join(", "));
        return Err(Problem::Unreadable(says));
    }
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            parts::moves(w, PartId::new(id), &state).await?;
            Ok("/parts".to_owned())
        })
    });
    Ok(see(&to.await?))
}
