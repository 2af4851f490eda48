//! A trial in the hand: before the fire, in steam, and the chart to watch.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{Html, IntoResponse, Response};
use records::{TrialId, fresh_key};

use super::entry_form::{OPEN, READINGS};
use super::load::Judged;
use super::logbook::Held;
use super::sight::{FlagShown, Sight};
use super::typed::Typed;
use super::{cautions, events, holds, right, signing};
use crate::assets;
use crate::desk::Desk;
use crate::form::Faults;
use crate::layout::Layout;
use crate::problem::{Problem, page, see};

/// What stands at the head of every page of a trial.
pub(super) struct Head {
    pub(super) address: String,
    pub(super) job_address: String,
    pub(super) job_number: String,
    pub(super) label: String,
    pub(super) name: String,
    pub(super) question: String,
    pub(super) by: String,
    pub(super) steps: &'static [&'static str],
}

impl Head {
    pub(super) async fn of(desk: &Desk, trial: &Judged) -> Result<Self, Problem> {
        let row = &trial.row;
        let fuel = trial.file.trial().plant.burner.and_then(|b| b.fuel);
        Ok(Self {
            address: trial.address(),
            job_address: format!("/jobs/{}", row.job_number()),
            job_number: row.job_number(),
            label: row.label(),
            name: format!(
                "{}, {} trial {}",
                row.plant,
                row.kind.replace('-', " "),
                row.serial
            ),
            question: row.question.clone(),
            by: desk.by().await?,
            steps: calc::trial::remedy::put_the_fire_out(fuel),
        })
    }
}

/// The frame of a page of a trial.
pub(super) async fn layout(desk: &Desk, trial: &Judged, script: bool) -> Result<Layout, Problem> {
    let mut layout = desk
        .layout(
            &format!("{} {}", trial.row.label(), trial.row.plant),
            "trials",
        )
        .await?;
    layout.sheet_no = trial.row.label();
    layout.script = script.then(|| assets::address("trial.js"));
    Ok(layout)
}

/// One box of the reading form.
pub(super) struct ReadingBox {
    pub(super) key: &'static str,
    pub(super) label: &'static str,
    pub(super) unit: &'static str,
    pub(super) value: String,
    pub(super) says: String,
}

#[derive(Template)]
#[template(path = "trials/run.html")]
struct Run {
    layout: Layout,
    head: Head,
    sight: Sight,
    open: Vec<ReadingBox>,
    folded: Vec<ReadingBox>,
    folded_open: bool,
    faults: Faults,
    note: String,
    page: &'static str,
    cautions: Vec<&'static str>,
}

impl Run {
    fn key(&self) -> String {
        fresh_key()
    }

    fn more(&self) -> &'static [events::Key] {
        events::MORE
    }

    fn leaks(&self) -> &'static [events::Key] {
        events::LEAKS
    }

    /// Is there a figure to be asked about, rather than a fault?
    fn doubt(&self) -> bool {
        self.faults.of("pressure_bar").contains("it is so")
    }
}

#[derive(Template)]
#[template(path = "trials/watch.html")]
struct Watch {
    layout: Layout,
    head: Head,
    sight: Sight,
    cautions: Vec<&'static str>,
}

impl Watch {
    fn key(&self) -> String {
        fresh_key()
    }
}

/// The page of a trial: what it is depends on how far it has come.
pub(super) async fn show(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), TrialId::new(id)).await?;
    if trial.row.state == "closed" {
        return Ok(see(&format!("{}/record", trial.address())));
    }
    if is_before(&trial) {
        return before(&desk, &trial, &Typed::default(), Faults::default()).await;
    }
    run(&desk, &trial, &Typed::default(), Faults::default(), "").await
}

/// The reading page, whatever the hold points say: facts are never refused.
pub(super) async fn readings(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), TrialId::new(id)).await?;
    if trial.row.state == "closed" {
        return Ok(see(&format!("{}/record", trial.address())));
    }
    run(
        &desk,
        &trial,
        &Typed::default(),
        Faults::default(),
        "readings",
    )
    .await
}

/// The chart, the flags and the log, without any form that could lose what was typed: it looks again by itself.
pub(super) async fn watch(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Html<String>, Problem> {
    let trial = Judged::load(desk.store(), TrialId::new(id)).await?;
    let (layout, head) = (
        layout(&desk, &trial, true).await?,
        Head::of(&desk, &trial).await?,
    );
    let sight = Sight::with_defects(desk.store(), &trial).await?;
    page(&Watch {
        layout,
        head,
        sight,
        cautions: fitting(&trial),
    })
}

/// The page that a refused form came from, with everything that was typed.
pub(super) async fn refused(
    desk: &Desk,
    id: TrialId,
    form: &Typed,
    faults: Faults,
) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), id).await?;
    let mut response = match form.get("what") {
        "check" => before(desk, &trial, form, faults).await?,
        "correction" => right::page_of(desk, &trial, form.get("corrects"), form, faults).await?,
        _ => {
            run(
                desk,
                &trial,
                form,
                faults,
                if form.get("page") == "readings" {
                    "readings"
                } else {
                    ""
                },
            )
            .await?
        }
    };
    *response.status_mut() = axum::http::StatusCode::UNPROCESSABLE_ENTITY;
    Ok(response)
}

async fn run(
    desk: &Desk,
    trial: &Judged,
    form: &Typed,
    faults: Faults,
    from: &'static str,
) -> Result<Response, Problem> {
    let own = form.get("what") == "reading";
    let boxes = |range: &[(&'static str, &'static str, &'static str, bool)]| -> Vec<ReadingBox> {
        range
            .iter()
            .map(|(key, label, unit, _)| ReadingBox {
                key,
                label,
                unit,
                value: if own {
                    form.get(key).to_owned()
                } else {
                    String::new()
                },
                says: faults.of(key).to_owned(),
            })
            .collect()
    };
    let (open, folded) = (boxes(&READINGS[..OPEN]), boxes(&READINGS[OPEN..]));
    let run = Run {
        layout: layout(desk, trial, true).await?,
        head: Head::of(desk, trial).await?,
        sight: Sight::with_defects(desk.store(), trial).await?,
        folded_open: folded.iter().any(|b| !b.value.is_empty()),
        open,
        folded,
        note: form.get("note").to_owned(),
        faults,
        page: from,
        cautions: fitting(trial),
    };
    Ok(page(&run)?.into_response())
}

/// The cautions that fit a trial.
pub(super) fn fitting(trial: &Judged) -> Vec<&'static str> {
    use calc::trial::Fuel;
    let file = trial.file.trial();
    let fuel = file.plant.burner.and_then(|b| b.fuel);
    cautions::fitting(cautions::Circumstances {
        gas: fuel.is_some_and(Fuel::is_gas),
        spirit: fuel == Some(Fuel::Spirit),
        electric: fuel == Some(Fuel::Electric),
        indoors: trial.row.head.contains("\"indoors\""),
        engine: !file.plant.cylinders.is_empty(),
        seams_unknown: !trial.row.head.contains("\"joint\""),
    })
}

/// One hold point as a line of the list.
pub(super) struct HoldLine {
    pub(super) n: usize,
    pub(super) short: String,
    pub(super) saw: String,
    pub(super) at: String,
    pub(super) bad: bool,
    pub(super) must_see: bool,
}

/// The hold point that is asked now.
pub(super) struct HoldNow {
    pub(super) n: usize,
    pub(super) name: String,
    pub(super) does: String,
    pub(super) sees: String,
    pub(super) must_see: bool,
    pub(super) answers: Vec<&'static str>,
    pub(super) asks_level: bool,
    pub(super) asks_words: bool,
    pub(super) refused: Option<String>,
    pub(super) saw_bad: String,
}

#[derive(Template)]
#[template(path = "trials/before.html")]
struct Before {
    layout: Layout,
    head: Head,
    done: Vec<HoldLine>,
    now: Option<HoldNow>,
    next: Vec<HoldLine>,
    signed: usize,
    total: usize,
    bars: Vec<String>,
    cautions: Vec<&'static str>,
    typed_value: String,
    typed_reason: String,
    faults: Faults,
    flags: Vec<FlagShown>,
}

impl Before {
    fn key(&self) -> String {
        fresh_key()
    }
}

/// Is it still before the fire, with hold points that are neither signed nor skipped?
fn is_before(trial: &Judged) -> bool {
    !trial.begun()
        && trial
            .hold_points()
            .iter()
            .any(|h| matches!(trial.log.held(h), Held::Open | Held::SeenBad(_)))
}

async fn before(
    desk: &Desk,
    trial: &Judged,
    form: &Typed,
    faults: Faults,
) -> Result<Response, Problem> {
    let names = trial.hold_points();
    let (mut done, mut now, mut next) = (Vec::new(), None, Vec::new());
    for (n, name) in (1..).zip(&names) {
        match trial.log.held(name) {
            Held::Open if now.is_none() => {
                now = Some(hold_now(desk, trial, n, name, String::new()).await?)
            }
            Held::SeenBad(saw) if now.is_none() => {
                now = Some(hold_now(desk, trial, n, name, saw).await?)
            }
            Held::Open | Held::SeenBad(_) => {
                next.push(line(n, name, String::new(), String::new(), false))
            }
            Held::Signed { saw, at } => done.push(line(n, name, saw, at, false)),
            Held::Skipped { reason, at } => {
                done.push(line(n, name, format!("skipped: {reason}"), at, true))
            }
            Held::Overridden { reason, at } => done.push(line(
                n,
                name,
                format!("gone on against it: {reason}"),
                at,
                true,
            )),
        }
    }
    let signed = done.iter().filter(|l| !l.bad).count();
    let flags = Sight::of(trial)
        .flags
        .into_iter()
        .filter(|f| f.stands && f.mark != "note")
        .collect();
    let before = Before {
        layout: layout(desk, trial, false).await?,
        head: Head::of(desk, trial).await?,
        signed,
        total: names.len(),
        done,
        now,
        next,
        bars: signing::bars(desk.store(), trial).await?,
        cautions: fitting(trial),
        typed_value: form.get("value").to_owned(),
        typed_reason: form.get("reason").to_owned(),
        faults,
        flags,
    };
    Ok(page(&before)?.into_response())
}

fn line(n: usize, name: &str, saw: String, at: String, bad: bool) -> HoldLine {
    let must_see = holds::find(name).is_none_or(|h| h.must_see);
    HoldLine {
        n,
        short: holds::short(name),
        saw,
        at,
        bad,
        must_see,
    }
}

async fn hold_now(
    desk: &Desk,
    trial: &Judged,
    n: usize,
    name: &str,
    saw_bad: String,
) -> Result<HoldNow, Problem> {
    let words = holds::find(name);
    let answers = match words.map(|h| h.asks) {
        Some(holds::Asks::Choice(all)) => all.iter().map(|(words, _)| *words).collect(),
        _ => Vec::new(),
    };
    Ok(HoldNow {
        n,
        name: name.to_owned(),
        does: words.map_or_else(|| holds::short(name), |h| h.does.to_owned()),
        sees: words.map_or_else(String::new, |h| h.sees.to_owned()),
        must_see: words.is_none_or(|h| h.must_see),
        asks_level: words.is_some_and(|h| h.asks == holds::Asks::Level),
        asks_words: words.is_none(),
        answers,
        refused: signing::refusal(desk.store(), trial, name).await?,
        saw_bad,
    })
}
