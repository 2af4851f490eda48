//! Trials: prepared, taken on a page made for one wet hand, closed, and read again as a sealed record.

mod before;
mod bounds;
pub(crate) mod cautions;
mod close;
mod compare;
mod conflicts;
pub(crate) mod decimal;
mod defect;
mod doubt;
mod draw;
mod entries;
mod entry_form;
mod events;
mod fields;
mod figures;
mod flag_words;
mod follow;
mod for_now;
pub(crate) mod from_look;
mod from_plant;
mod hold_words;
mod holds;
mod in_order;
mod join;
mod judged_once;
mod kind_fields;
mod kind_words;
mod known;
mod lists;
mod load;
mod log_words;
mod logbook;
mod look_next;
mod off_picture;
mod orders;
mod own_entry;
mod paper;
mod pause;
mod phone;
mod prepare;
mod press;
mod procedures;
mod quieten;
mod readings;
mod record;
mod register;
mod right;
mod run;
mod script;
mod sight;
mod signing;
pub(crate) mod strips;
pub(crate) mod tree;
pub(crate) mod typed;
mod voiding;
mod water_pass;
mod when;
mod witness;

use askama::Template;
use axum::Router;
use axum::extract::{Query, State};
use axum::response::Html;
use axum::routing::{get, post};
use records::{TrialId, log};
use serde::Deserialize;

use crate::desk::Desk;
use crate::layout::Layout;
use crate::paging::{Paging, asked};
use crate::problem::{Problem, page};

pub(crate) use load::address;
pub(crate) use orders::about;

/// So many trials stand on one page of the list; each is drawn as its strip.
const LISTED: usize = 40;

/// Every address that is about trials.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/trials", get(list))
        .route(
            "/jobs/{number}/trials/new",
            get(prepare::ask).post(prepare::make),
        )
        .route("/trials/{id}", get(run::show))
        .route("/trials/{id}/readings", get(run::readings))
        .route("/trials/{id}/watch", get(run::watch))
        .route("/trials/{id}/entries", post(entries::enter))
        .route("/trials/{id}/phones", get(join::show).post(phone::heard))
        .route("/trials/{id}/follow", get(follow::follow))
        .route("/trials/{id}/phones/code", post(join::make))
        .route("/trials/{id}/renew", post(pause::renew))
        .route("/trials/{id}/pick", post(conflicts::pick))
        .route("/trials/{id}/paper", get(paper::ask).post(paper::keep))
        .route("/join/{token}", get(join::ask).post(join::come_in))
        .route("/trials/{id}/entries/{entry}/right", get(right::ask))
        .route("/trials/{id}/defects", post(defect::make))
        .route("/trials/{id}/next", post(look_next::make))
        .route("/trials/{id}/for-now", post(for_now::keep))
        .route("/trials/{id}/close", get(close::ask).post(close::seal))
        .route("/trials/{id}/witness", post(witness::sign))
        .route("/trials/{id}/record", get(record::show))
        .route("/trials/{id}/file", get(record::file))
        .route("/plants/{id}/compare", get(compare::show))
        .route("/trials/{id}/withdraw", post(prepare::withdraw))
        .merge(procedures::routes())
}

#[derive(Template)]
#[template(path = "trials/list.html")]
struct List {
    layout: Layout,
    running: Vec<strips::TrialLine>,
    others: Vec<strips::TrialLine>,
    paging: Paging,
}

/// Where the list goes on: behind the trial of this row.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Behind {
    behind: Option<i64>,
}

async fn list(
    State(desk): State<Desk>,
    Query(query): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let store = desk.store();
    let newer = query.behind.map(TrialId::new);
    let running = match newer {
        None => log::running(store).await?,
        Some(_) => Vec::new(),
    };
    let mut others = log::before(store, newer, asked(LISTED)).await?;
    let on = |t: &log::Trial| format!("/trials?behind={}", t.id);
    let paging = Paging::cut(&mut others, LISTED, "Older ones", on).begins(
        newer.is_some(),
        "/trials",
        "The newest",
    );
    others.retain(|t| t.state != "running");
    page(&List {
        layout: desk.layout("Trials", "trials").await?,
        running: strips::lines(store, running).await?,
        others: strips::lines(store, others).await?,
        paging,
    })
}
