//! What bars steam: on the bench that of plants in the workshop, on a page of its own that of plants gone home with it.

use askama::Template;
use axum::Router;
use axum::extract::{Query, State};
use axum::response::Html;
use axum::routing::get;
use records::Store;
use records::barred::{self, Bar};
use serde::Deserialize;

use crate::desk::Desk;
use crate::layout::Layout;
use crate::paging::{LINES, Paging, asked};
use crate::problem::{Problem, page};

/// The address of the list.
pub(crate) fn routes() -> Router<Desk> {
    Router::new().route("/no-steam", get(list))
}

/// What bars steam, for the bench.
pub(crate) struct NoSteam {
    /// Every bar of a plant that is here.
    pub here: Vec<Bar>,
    /// Has any plant gone home with one? How many they are is not counted here, for they only grow more.
    pub gone: bool,
}

impl NoSteam {
    pub(crate) async fn find(store: &Store) -> Result<Self, Problem> {
        Ok(Self {
            here: barred::here(store).await?,
            gone: barred::any_gone(store).await?,
        })
    }
}

/// Where the list goes on.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Behind {
    year: Option<i64>,
    serial: Option<i64>,
    for_now: bool,
    id: i64,
}

#[derive(Template)]
#[template(path = "bench/gone.html")]
struct Gone {
    layout: Layout,
    bars: Vec<Bar>,
    paging: Paging,
}

async fn list(
    State(desk): State<Desk>,
    Query(last): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let after = last.year.zip(last.serial);
    let after = after.map(|(year, serial)| (year, serial, last.for_now, last.id));
    let mut bars = barred::gone(desk.store(), after, asked(LINES)).await?;
    let on = |b: &Bar| {
        let (year, serial, for_now, id) = b.key();
        format!("/no-steam?year={year}&serial={serial}&for_now={for_now}&id={id}")
    };
    let paging = Paging::cut(&mut bars, LINES, "Older ones", on).begins(
        after.is_some(),
        "/no-steam",
        "The newest",
    );
    page(&Gone {
        layout: desk
            .layout("Gone home with a no-steam bar", "bench")
            .await?,
        bars,
        paging,
    })
}
