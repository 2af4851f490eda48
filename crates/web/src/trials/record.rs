//! A sealed record: the verdict first, then why, with what, and what was read.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{Html, IntoResponse, Response};
use records::pictures::Of;
use records::{TrialId, fresh_key, jobs, workshop};

use super::for_now::ForNow;
use super::load::Judged;
use super::logbook::{Held, Line};
use super::run::{Head, fitting, layout};
use super::sight::Sight;
use super::tree::Tree;
use super::{fields, holds};
use crate::desk::Desk;
use crate::layout::Layout;
use crate::pictures::Strip;
use crate::problem::{Problem, page, see};

#[derive(Template)]
#[template(path = "trials/record.html")]
struct Record {
    layout: Layout,
    head: Head,
    workshop: String,
    customer: String,
    plant: String,
    kind: String,
    mark: String,
    outcome: String,
    because: Vec<String>,
    answer: String,
    begun: String,
    closed: String,
    facts: Vec<(String, String)>,
    instruments: Vec<(String, String)>,
    limits: Vec<(String, String)>,
    checks: Vec<(String, String)>,
    /// Cautions that were made quiet for a while.
    quiet: Vec<String>,
    lines: Vec<Line>,
    signed: Vec<(String, String)>,
    witnessed: Vec<(String, String)>,
    sight: Sight,
    /// What a water test left off or plugged, as it stands now; no part of the sealed record.
    for_now: Option<ForNow>,
    strip: Strip,
    seal: String,
    entries: i64,
    /// Where it is laid over another trial of its plant.
    compare: String,
    cautions: Vec<&'static str>,
    /// The procedure that it was taken by: kind, version and the first figures of its SHA-256.
    procedure: String,
}

impl Record {
    fn key(&self) -> String {
        fresh_key()
    }
}

/// The sealed record; a trial that is not sealed is shown on its own page.
pub(super) async fn show(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), TrialId::new(id)).await?;
    if trial.row.state != "closed" {
        return Ok(see(&trial.address()));
    }
    Ok(page_of(&desk, &trial).await?.into_response())
}

/// The trial as one file, as `gaugeglass assess` reads it: sealed or as it stands.
pub(super) async fn file(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), TrialId::new(id)).await?;
    let name = format!(
        "attachment; filename=\"trial-{}.json\"",
        trial.row.label().replace('/', "-")
    );
    let kind = "application/json; charset=utf-8".to_owned();
    Ok((
        [
            (header::CONTENT_TYPE, kind),
            (header::CONTENT_DISPOSITION, name),
        ],
        trial.file.canonical(),
    )
        .into_response())
}

async fn page_of(desk: &Desk, trial: &Judged) -> Result<Html<String>, Problem> {
    let row = &trial.row;
    let job = jobs::by_id(desk.store(), row.job_id).await?;
    let workshop = workshop::find(desk.store())
        .await?
        .map_or_else(String::new, |w| w.name);
    let typed = Tree::read(&row.head).unwrap_or_else(|_| Tree::empty());
    let sight = Sight::with_defects(desk.store(), trial).await?;
    page(&Record {
        layout: layout(desk, trial, None).await?,
        head: Head::of(desk, trial).await?,
        workshop,
        customer: job.customer.clone(),
        plant: row.plant.clone(),
        kind: row.kind.replace('-', " "),
        mark: job.boiler_mark.clone(),
        outcome: row.verdict.clone().unwrap_or_default(),
        because: row
            .because
            .as_deref()
            .unwrap_or("")
            .lines()
            .map(str::to_owned)
            .collect(),
        answer: row.answer.as_deref().unwrap_or("").replace('-', " "),
        begun: trial.started().full(),
        closed: row.closed_at.map_or_else(String::new, records::Stamp::full),
        facts: facts(&typed, "plant.", &row.kind),
        instruments: facts(&typed, "instruments.", &row.kind),
        limits: facts(&typed, "limits.", &row.kind),
        checks: trial
            .hold_points()
            .iter()
            .map(|h| (holds::short(h), held(trial, h)))
            .collect(),
        quiet: super::quieten::all(trial),
        lines: sight.lines.iter().rev().cloned().collect(),
        signed: trial.log.signed("close"),
        witnessed: trial.log.signed("witness"),
        for_now: ForNow::of(desk, row, "record")
            .await?
            .map(ForNow::only_standing)
            .filter(|f| f.standing() > 0),
        strip: Strip::of(desk, Of::Trial, row.id.get()).await?,
        seal: row.sealed_hash.clone().unwrap_or_default(),
        entries: row.sealed_entries.unwrap_or(0),
        compare: format!("/plants/{}/compare?trial={}", job.plant_id, row.id),
        sight,
        cautions: fitting(trial),
        procedure: trial.procedure.called.clone(),
    })
}

/// Everything of the head under one key, as it was typed: the fields of the preparing page in its order and words, then
/// whatever else was copied in, by its key.
fn facts(head: &Tree, under: &str, kind: &str) -> Vec<(String, String)> {
    let mut left: Vec<(String, String)> = head
        .leaves("")
        .into_iter()
        .filter(|(path, _)| path.starts_with(under) && path != "plant.name")
        .collect();
    let mut facts = Vec::new();
    for field in fields::all(kind) {
        if let Some(at) = left.iter().position(|(path, _)| path == field.path) {
            let (_, typed) = left.remove(at);
            let value = shown_value(field, &typed);
            facts.push((
                field.label.to_owned(),
                format!("{value} {}", field.unit).trim_end().to_owned(),
            ));
        }
    }
    let words = |path: &str| path.trim_start_matches(under).replace(['.', '_'], " ");
    // A list of the file, such as the cylinders, is written as words and figures in its own order.
    let plain = |typed: &str| {
        typed
            .replace(['[', ']', '{', '}', '"'], "")
            .replace('_', " ")
            .replace(':', "")
    };
    facts.extend(left.iter().map(|(path, typed)| (words(path), plain(typed))));
    facts
}

/// A choice as the words it was chosen by.
pub(super) fn shown_value(field: &fields::Field, typed: &str) -> String {
    match field.kind {
        fields::Kind::Choice(all) if !typed.is_empty() => all
            .iter()
            .find(|(word, _)| *word == typed)
            .map_or(typed, |(_, words)| words)
            .to_owned(),
        _ => typed.to_owned(),
    }
}

fn held(trial: &Judged, name: &str) -> String {
    match trial.log.held(name) {
        Held::Open => "not signed".to_owned(),
        Held::SeenBad(saw) => format!("not signed: {saw}"),
        Held::Signed { saw, at } if saw.is_empty() => format!("signed {at}"),
        Held::Signed { saw, at } => format!("signed {at}: {saw}"),
        Held::Skipped { reason, at } => format!("skipped {at}, because: {reason}"),
        Held::Overridden { reason, at } => format!("gone on against it {at}, because: {reason}"),
    }
}
