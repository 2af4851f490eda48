//! Parts over all open jobs: what is to be made, what is to be ordered or on order from whom, what lies ready.

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::parts::{self, Awaited, AwaitedSum};
use records::{Day, PartId, Stamp, fresh_key};
use serde::Deserialize;

use crate::desk::Desk;
use crate::filters;
use crate::form::Posted;
use crate::layout::Layout;
use crate::paging::{LINES, Paging, asked};
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

/// How a part stands: to be made here; in hand.
const MADE: i64 = 0;
const READY: i64 = 2;

#[derive(Template)]
#[template(path = "all_parts/list.html")]
struct List {
    layout: Layout,
    groups: Vec<Group>,
    /// Is anything waited for, on whichever page?
    awaited: bool,
    ready: Vec<Line>,
    /// How many lie ready, on whichever page.
    in_hand: i64,
    paging: Paging,
    /// The address of this page.
    at: String,
    drills: [(&'static str, &'static str); 4],
}

/// Drills and packing at hand, on the reckoner's pages.
pub(crate) const DRILLS: [(&str, &str); 4] = [
    ("/reckoner/thread-ba", "BA"),
    ("/reckoner/thread-metric", "metric"),
    ("/reckoner/thread-whitworth", "Whitworth form"),
    ("/reckoner/packing", "gland packing"),
];

/// Where the list goes on: behind this part, which stood so.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Behind {
    standing: i64,
    behind: Option<i64>,
}

impl Behind {
    /// The address of the page that begins there.
    fn at(&self) -> String {
        self.behind.map_or_else(
            || "/parts".to_owned(),
            |id| format!("/parts?standing={}&behind={id}", self.standing),
        )
    }
}

async fn list(
    State(desk): State<Desk>,
    Query(query): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let (today, store) = (Stamp::now().day(), desk.store());
    let last = match query.behind {
        Some(id) => Some(parts::find(store, PartId::new(id)).await?),
        None => None,
    };
    let behind = last.as_ref().map(|part| (query.standing, part));
    let mut all = parts::awaited(store, behind, asked(LINES)).await?;
    let on = |a: &Awaited| {
        let (standing, behind) = (a.standing, Some(a.part.id.get()));
        Behind { standing, behind }.at()
    };
    let paging = Paging::cut(&mut all, LINES, "Further on", on).begins(
        last.is_some(),
        "/parts",
        "From the beginning",
    );
    let sums = parts::awaited_sums(store).await?;
    let (ready, waited): (Vec<Awaited>, Vec<Awaited>) =
        all.into_iter().partition(|a| a.standing == READY);
    let in_hand = sums.iter().filter(|s| s.standing == READY);
    page(&List {
        layout: desk.layout("Parts of all jobs", "jobs").await?,
        in_hand: in_hand.map(|s| s.parts).sum(),
        awaited: sums.iter().any(|s| s.standing != READY),
        groups: groups(&waited, &sums, &today),
        ready: ready.iter().map(|a| line(a, &today)).collect(),
        at: query.at(),
        paging,
        drills: DRILLS,
    })
}

/// What is made here first, then each place that something comes from; the sums are of all of it, on whichever page.
fn groups(waited: &[Awaited], sums: &[AwaitedSum], today: &Day) -> Vec<Group> {
    let one_place = |a: &Awaited, b: &Awaited| {
        a.standing == b.standing && (a.standing == MADE || same(&a.part.supplier, &b.part.supplier))
    };
    let groups = waited.chunk_by(one_place).filter_map(|some| {
        let first = some.first()?;
        let supplier = first.part.supplier.as_str();
        let sum = sums.iter().find(|s| {
            s.standing == first.standing && (s.standing == MADE || same(&s.supplier, supplier))
        })?;
        let words = match (first.standing, supplier) {
            (MADE, _) => "To make here",
            (_, "") => "From nobody named yet",
            (_, supplier) => supplier,
        };
        Some(Group {
            words: words.to_owned(),
            said: said(sum),
            lines: some.iter().map(|a| line(a, today)).collect(),
        })
    });
    groups.collect()
}

/// How many parts of one place, and what they cost.
fn said(sum: &AwaitedSum) -> String {
    let parts = count(sum.parts);
    if sum.standing == MADE {
        return parts;
    }
    if sum.unpriced == sum.parts {
        return format!("{parts}, no price yet");
    }
    let said = format!("{parts}, {} with carriage", crate::show::pounds(sum.pence));
    match sum.unpriced {
        0 => said,
        n => format!("{said}; {n} without a price"),
    }
}

/// As the database tells places apart.
fn same(a: &str, b: &str) -> bool {
    a.eq_ignore_ascii_case(b)
}

fn count(n: i64) -> String {
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
    back: String,
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
    let back = match posted.form.back.as_str() {
        "" => "/parts".to_owned(),
        back => crate::withdraw::ours(back),
    };
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            parts::moves(w, PartId::new(id), &state).await?;
            Ok(back)
        })
    });
    Ok(see(&to.await?))
}
