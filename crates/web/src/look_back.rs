//! Looking back: one page that searches everything that was typed.

use askama::Template;
use axum::Router;
use axum::extract::{Query, State};
use axum::response::Html;
use axum::routing::get;
use records::components::KINDS;
use records::look_back::{Asked, Found, MOST, Piece, look};
use records::{PlantId, plants};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::Pick;
use crate::layout::Layout;
use crate::problem::{Problem, page};

/// The address of the search.
pub(crate) fn routes() -> Router<Desk> {
    Router::new().route("/look-back", get(show))
}

/// What is looked for, as typed.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct LookForm {
    words: String,
    plant: String,
    kind: String,
}

/// One line of the answer.
struct Line {
    title: Vec<Piece>,
    piece: Vec<Piece>,
    what: String,
    address: String,
    on: String,
    withdrawn: bool,
}

#[derive(Template)]
#[template(path = "look_back/show.html")]
struct LookBack {
    layout: Layout,
    form: LookForm,
    plants: Vec<Pick>,
    kinds: Vec<Pick>,
    lines: Vec<Line>,
    more: bool,
    asked: bool,
}

async fn show(
    State(desk): State<Desk>,
    Query(form): Query<LookForm>,
) -> Result<Html<String>, Problem> {
    let mut of_plant = vec![Pick::new("", "every plant")];
    let chosen = form.plant.parse().ok().map(PlantId::new);
    let all = plants::choices(desk.store(), chosen).await?;
    of_plant.extend(all.into_iter().map(|p| Pick::new(p.id, p.name)));
    let mut kinds = vec![Pick::new("", "everything")];
    kinds.extend(KINDS.map(|k| Pick::new(k, k.replace('-', " "))));
    let asked = Asked {
        words: form.words.chars().take(200).collect(),
        plant: chosen,
        component_kind: form.kind.clone(),
    };
    let mut found = look(desk.store(), &asked).await?;
    let more = found.len() > MOST;
    found.truncate(MOST);
    page(&LookBack {
        layout: desk.layout("Look back", "look-back").await?,
        asked: !form.words.trim().is_empty() || !form.plant.is_empty() || !form.kind.is_empty(),
        lines: found.into_iter().map(line).collect(),
        plants: of_plant,
        kinds,
        more,
        form,
    })
}

fn line(found: Found) -> Line {
    let mut what = word(&found.subject).to_owned();
    if found.subject == "job" {
        what = format!("job, {}", found.plant);
    } else if !found.job.is_empty() {
        what = format!("{what} of {}, {}", found.job, found.plant);
    } else if !found.plant.is_empty() && found.subject != "plant" {
        what = format!("{what} of {}", found.plant);
    }
    Line {
        address: address(&found),
        on: found.at.day().full(),
        title: found.title,
        piece: found.piece,
        withdrawn: found.withdrawn,
        what,
    }
}

/// What kind of thing was found, in words.
fn word(subject: &str) -> &str {
    match subject {
        "state" => "for now",
        "piece" => "piece off the plant",
        "news" => "news for the customer",
        "entry" => "trial note",
        "fitted" => "what is fitted",
        "reckoning" => "reckoned",
        other => other,
    }
}

/// The place where what was found is dealt with.
fn address(found: &Found) -> String {
    let id = found.subject_id;
    match (found.subject.as_str(), found.entry, found.component) {
        ("job", ..) => format!("/jobs/{}", found.job),
        ("piece", ..) => format!("/jobs/{}#for-now", found.job),
        ("unknown boiler", ..) => format!("/jobs/{}/unknown-boiler", found.job),
        ("news", ..) => format!("/jobs/{}/publish", found.job),
        ("entry", Some((trial, seq)), _) => format!("/trials/{trial}/record#a{seq}"),
        ("fitted", _, Some(component)) => format!("/components/{component}#fitted"),
        ("estimate", ..) => format!("/jobs/{}/estimate", found.job),
        ("stock", ..) => format!("/stock/{id}"),
        (subject, ..) => format!("/{subject}s/{id}"),
    }
}
