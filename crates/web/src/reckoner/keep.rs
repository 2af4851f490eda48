//! Keeping an answer on a job, and looking at it again.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::response::{Html, Response};
use records::reckonings::{self, NewReckoning, Reckoning};
use records::{ReckoningId, jobs};
use triallog::reckon;

use super::shown::Shown;
use super::typed::Boxes;
use super::units::Units;
use super::{Asked, taken};
use crate::desk::Desk;
use crate::form::Posted;
use crate::layout::Layout;
use crate::problem::{Problem, page, see};

/// Reckons once more from what was typed and keeps both on the job.
pub(super) async fn keep(
    State(desk): State<Desk>,
    Path(name): Path<String>,
    headers: HeaderMap,
    posted: Posted<Boxes>,
) -> Result<Response, Problem> {
    let reckoner = reckon::named(&name).map_err(|_| Problem::Missing("reckoner"))?;
    let units = Units::of(&headers);
    let mut boxes = posted.form.clone();
    taken(&mut boxes, "key");
    let job = jobs::find(desk.store(), &taken(&mut boxes, "job")).await?;
    let number: usize = boxes.get("form").and_then(|n| n.parse().ok()).unwrap_or(0);
    let form = reckoner
        .forms
        .get(number)
        .ok_or(Problem::Missing("way of asking"))?;
    let asked = Asked::of(reckoner, form, &without(&boxes, "form"), units);
    let good = asked.shown.filter(|_| asked.faults.list().is_empty());
    let shown = good.ok_or_else(|| {
        Problem::Unreadable("these figures give no answer to keep; reckon it first".to_owned())
    })?;
    let damaged = |e: serde_json::Error| Problem::Unreadable(e.to_string());
    let new = NewReckoning {
        name: reckoner.name.to_owned(),
        title: reckoner.title.to_owned(),
        typed: serde_json::to_string(&boxes).map_err(damaged)?,
        answer: serde_json::to_string(&shown).map_err(damaged)?,
        verdict: shown.verdict.clone(),
    };
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            let id = reckonings::keep(w, job.id, &new).await?;
            Ok(format!("/reckonings/{id}"))
        })
    });
    Ok(see(&to.await?))
}

fn without(boxes: &Boxes, key: &str) -> Boxes {
    boxes
        .iter()
        .filter(|(k, _)| *k != key)
        .map(|(k, v)| (k.clone(), v.clone()))
        .collect()
}

#[derive(Template)]
#[template(path = "reckoner/kept.html")]
struct Kept {
    layout: Layout,
    kept: Reckoning,
    job: String,
    plant: String,
    inputs: Vec<(String, String)>,
    shown: Shown,
    again: String,
}

/// A reckoning that was kept: the inputs as entered and the answer as it was then.
pub(super) async fn show(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Html<String>, Problem> {
    let kept = reckonings::find(desk.store(), ReckoningId::new(id)).await?;
    let job = jobs::by_id(desk.store(), kept.job_id).await?;
    let damaged = |e: serde_json::Error| records::Error::Damaged(e.to_string());
    let boxes: Boxes = serde_json::from_str(&kept.typed).map_err(damaged)?;
    let shown: Shown = serde_json::from_str(&kept.answer).map_err(damaged)?;
    let number: usize = boxes.get("form").and_then(|n| n.parse().ok()).unwrap_or(0);
    let form = reckon::named(&kept.name)
        .ok()
        .and_then(|r| r.forms.get(number));
    let words = |key: &str| {
        let input = form.and_then(|f| f.inputs.iter().find(|i| i.name == key));
        input.map_or_else(|| key.replace('_', " "), |i| super::capital(i.words))
    };
    let typed = boxes.iter().filter(|(key, _)| *key != "form");
    let pairs: Vec<String> = boxes
        .iter()
        .map(|(k, v)| format!("{}={}", coded(k), coded(v)))
        .collect();
    page(&Kept {
        layout: desk.layout(&kept.title, "reckoner").await?,
        job: job.number(),
        plant: job.plant,
        inputs: typed
            .map(|(key, value)| (words(key), value.clone()))
            .collect(),
        again: format!("/reckoner/{}?{}&go=1", kept.name, pairs.join("&")),
        shown,
        kept,
    })
}

/// Text as it stands in an address.
fn coded(text: &str) -> String {
    let plain = |b: u8| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b'.');
    text.bytes().fold(String::new(), |mut out, b| {
        if plain(b) {
            out.push(char::from(b));
        } else {
            out.push_str(&format!("%{b:02X}"));
        }
        out
    })
}
