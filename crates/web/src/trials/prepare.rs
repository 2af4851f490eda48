//! Preparing a trial: the question, the plant copied in, the instruments, the limits, the hold points.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse, Response};
use records::jobs::{self, Job};
use records::log::{self, NewTrial};
use records::{Stamp, TrialId, fresh_key};

use super::fields::{self, Field, Kind};
use super::from_plant::{entitle, is_gas, known};
use super::holds::{self, MOST};
use super::kind_words::{before, kind_of, title};
use super::register::{self, Offer};
use super::tree::quoted;
use super::typed::Typed;
use super::{cautions, decimal, procedures, signing};
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::layout::Layout;
use crate::problem::{Problem, page, see};

/// A field as it is shown.
struct Shown {
    id: String,
    label: &'static str,
    hint: &'static str,
    unit: &'static str,
    kind: &'static str,
    value: String,
    says: String,
    choices: &'static [(&'static str, &'static str)],
}

struct Group {
    legend: &'static str,
    fields: Vec<Shown>,
}

struct HoldChoice {
    name: &'static str,
    short: &'static str,
    ticked: bool,
}

#[derive(Template)]
#[template(path = "trials/prepare.html")]
struct Prepare {
    layout: Layout,
    job: Job,
    kind: &'static str,
    title: &'static str,
    kinds: Vec<(&'static str, &'static str)>,
    before: &'static str,
    groups: Vec<Group>,
    offers: Vec<Offer>,
    holds: Vec<HoldChoice>,
    holds_say: String,
    bars: Vec<String>,
    cautions: Vec<&'static str>,
    faults: Faults,
    key: String,
}

/// The kind that a link asks for.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Chosen {
    kind: String,
}

/// The page, filled in from the plant and from the last trial's instruments.
pub(super) async fn ask(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    Query(chosen): Query<Chosen>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let known = known(&desk, &job).await?;
    let kind = kind_of(&chosen.kind);
    let typed = fields::all(kind)
        .map(|f| (f.name(), known.typed_at(f.path)))
        .chain([("kind".to_owned(), kind.to_owned())])
        .collect();
    let typed = register::refreshed(&desk, &job, &Typed::new(typed)).await?;
    show(&desk, job, &typed, true, Faults::default()).await
}

async fn show(
    desk: &Desk,
    job: Job,
    form: &Typed,
    fresh: bool,
    faults: Faults,
) -> Result<Response, Problem> {
    let fuel = form.get("plant-burner-fuel");
    let gas = is_gas(fuel);
    let ticked = form.every("hold");
    let kind = kind_of(form.get("kind"));
    let holds = holds::of(kind)
        .into_iter()
        .map(|h| HoldChoice {
            name: h.name,
            short: h.short,
            ticked: if fresh {
                holds::usual(kind, h.name, gas)
            } else {
                ticked.contains(&h.name)
            },
        })
        .collect();
    let groups = fields::groups(kind)
        .into_iter()
        .map(|(legend, all)| Group {
            legend,
            fields: all.into_iter().map(|f| shown(f, form, &faults)).collect(),
        })
        .collect();
    let page_of = Prepare {
        layout: desk
            .layout(
                &format!("{} {}: prepare a {}", job.number(), job.plant, title(kind)),
                "trials",
            )
            .await?,
        kind,
        title: title(kind),
        kinds: triallog::schema::KINDS
            .iter()
            .map(|k| (*k, title(k)))
            .collect(),
        before: before(kind),
        groups,
        offers: register::offers(desk, &job, kind, form).await?,
        holds,
        holds_say: faults.of("hold").to_owned(),
        bars: signing::bars(desk.store(), job.plant_id).await?,
        cautions: cautions::fitting(calc::cautions::About {
            trial: kind,
            fuel: Some(fuel).filter(|f| !f.is_empty()),
            place: Some(form.get("place")).filter(|p| !p.is_empty()),
            seams: None,
        }),
        job,
        faults,
        key: fresh_key(),
    };
    Ok(page(&page_of)?.into_response())
}

fn shown(field: &Field, form: &Typed, faults: &Faults) -> Shown {
    let (kind, choices) = match field.kind {
        Kind::Words => ("text", &[][..]),
        Kind::Long => ("long", &[][..]),
        Kind::Number => ("number", &[][..]),
        Kind::Date => ("date", &[][..]),
        Kind::Choice(all) => ("pick", all),
    };
    let id = field.name();
    Shown {
        label: field.label,
        hint: field.hint,
        unit: field.unit,
        kind,
        value: form.get(&id).to_owned(),
        says: faults.of(&id).to_owned(),
        choices,
        id,
    }
}

/// Prepares the trial; what it is prepared with never changes afterwards.
pub(super) async fn make(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    if posted.form.get("fill") == "yes" {
        let filled = register::filled(&desk, &job, &posted.form).await?;
        return show(&desk, job, &filled, false, Faults::default()).await;
    }
    let head = match head(&desk, &job, &posted.form).await? {
        Ok(head) => head,
        Err(faults) => {
            let mut response = show(&desk, job, &posted.form, false, faults).await?;
            *response.status_mut() = axum::http::StatusCode::UNPROCESSABLE_ENTITY;
            return Ok(response);
        }
    };
    let new = NewTrial {
        job_id: job.id,
        kind: kind_of(posted.form.get("kind")).to_owned(),
        question: posted.form.get("question").to_owned(),
        head,
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                procedures::begin(w, &new.kind).await?;
                Ok(super::address(log::prepare(w, &new).await?))
            })
        })
        .await?;
    Ok(see(&to))
}

/// A hold shorter than this is no test of anything, s (trade practice: nobody looks over every seam in less).
const LEAST_HOLD_S: f64 = 60.0;

/// A local code may ask for a shorter hold than the usual one; a slip of the hand must not make a pass of no hold at
/// all, for a pass opens the hold point *hydraulic test in date*.
fn long_enough(form: &Typed, faults: &mut Faults) {
    const FIELD: &str = "limits-hydraulic_hold_s";
    let typed = decimal::read_positive(form.get(FIELD)).ok();
    let held_s: Option<f64> = typed.and_then(|figure| figure.parse().ok());
    if held_s.is_some_and(|s| s < LEAST_HOLD_S) {
        faults.add(
            FIELD,
            format!("Ask for {LEAST_HOLD_S} s at least (trade practice); the usual is 600 s."),
        );
    }
}

/// The canonical head of the trial, or every fault beside its box.
async fn head(desk: &Desk, job: &Job, form: &Typed) -> Result<Result<String, Faults>, Problem> {
    let (mut tree, mut faults) = (known(desk, job).await?, Faults::default());
    drop(tree.remove("instruments"));
    let kind = kind_of(form.get("kind"));
    entitle(desk, job, kind, Stamp::now(), &mut tree).await?;
    for field in fields::all(kind) {
        tree.take(field.path);
        match json_of(field, form.get(&field.name())) {
            Ok(Some(json)) => tree.put(field.path, json),
            Ok(None) => {}
            Err(says) => faults.add(&field.name(), says),
        }
    }
    long_enough(form, &mut faults);
    let holds = form.every("hold");
    if holds.len() > MOST {
        faults.add(
            "hold",
            format!(
                "{} hold points are more than a hand goes through with care: at most {MOST}",
                holds.len()
            ),
        );
    }
    let own: Vec<String> = holds::of(kind)
        .into_iter()
        .filter(|h| holds.contains(&h.name))
        .map(|h| quoted(h.name))
        .collect();
    tree.put("hold_points", format!("[{}]", own.join(",")));
    if form.get("question").is_empty() {
        faults.add(
            "question",
            "Write the one question that this trial is to answer.",
        );
    }
    match triallog::read_head(&tree.text()) {
        Ok(head) if faults.list().is_empty() => return Ok(Ok(head.canonical().to_owned())),
        Ok(_) => {}
        Err(found) => found
            .to_string()
            .lines()
            .for_each(|line| place_fault(&mut faults, line, kind)),
    }
    Ok(Err(faults))
}

/// A fault of the trial file beside the box it speaks of: `plant.glass.low_mark_mm: …`.
fn place_fault(faults: &mut Faults, line: &str, kind: &str) {
    let (place, says) = line.split_once(": ").unwrap_or(("", line));
    let name = fields::all(kind)
        .find(|f| place.starts_with(f.path))
        .map(Field::name);
    match name {
        Some(name) if faults.of(&name).is_empty() => faults.add(&name, says),
        Some(_) => {}
        None => faults.add("question", line),
    }
}

/// What was typed as JSON; nothing where nothing was typed.
fn json_of(field: &Field, typed: &str) -> Result<Option<String>, String> {
    if typed.is_empty() {
        return Ok(None);
    }
    match field.kind {
        Kind::Number => decimal::read_positive(typed).map(Some),
        Kind::Date => match records::Day::read(typed) {
            Some(day) => Ok(Some(quoted(day.iso()))),
            None => Err(format!(
                "“{typed}” is no day; write it like 2026-11-24 or 24 Nov 2026"
            )),
        },
        Kind::Choice(all) if !all.iter().any(|(word, _)| *word == typed) => {
            Err("choose one of the list".to_owned())
        }
        Kind::Choice(_) if matches!(typed, "true" | "false") => Ok(Some(typed.to_owned())),
        _ => Ok(Some(quoted(typed))),
    }
}

/// Takes a trial back that was prepared and never begun, or puts it back.
pub(super) async fn withdraw(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let id = TrialId::new(id);
    let withdrawn = posted.form.get("back") != "yes";
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                log::withdraw(w, id, withdrawn).await?;
                Ok(super::address(id))
            })
        })
        .await?;
    Ok(see(&to))
}
