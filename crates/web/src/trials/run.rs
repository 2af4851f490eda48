//! A trial in the hand: before the fire, in steam, and the chart to watch.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use records::{Error, TrialId, fresh_key, jobs};

use super::conflicts::Conflict;
use super::for_now::ForNow;
use super::known::Known;
use super::lists::{self, ListShown};
use super::load::Judged;
use super::sight::Sight;
use super::tree::Tree;
use super::typed::{Typed, one};
use super::{before, cautions, conflicts, events, off_picture, readings, right, voiding};
use crate::assets;
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::layout::Layout;
use crate::problem::{Problem, page, see};

/// What stands at the head of every page of a trial.
pub(super) struct Head {
    pub(super) id: TrialId,
    pub(super) address: String,
    pub(super) job_address: String,
    pub(super) job_number: String,
    pub(super) label: String,
    pub(super) name: String,
    pub(super) question: String,
    pub(super) by: String,
    pub(super) steps: &'static [&'static str],
    /// Is a fire part of it, or is it a shell under water or air?
    pub(super) has_fire: bool,
    pub(super) is_water_test: bool,
    /// Up to what pressure the customer agreed that it is steamed, in a sentence; empty where nothing is agreed.
    pub(super) agreed: String,
}

impl Head {
    pub(super) async fn of(desk: &Desk, trial: &Judged) -> Result<Self, Problem> {
        let row = &trial.row;
        let fuel = trial.file.trial().plant.burner.and_then(|b| b.fuel);
        Ok(Self {
            id: trial.row.id,
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
            has_fire: trial.has_fire(),
            is_water_test: row.kind == "hydraulic",
            agreed: agreed(desk, trial).await?,
        })
    }
}

/// What the customer agreed to, held against the highest pressure that was read under fire.
async fn agreed(desk: &Desk, trial: &Judged) -> Result<String, Problem> {
    if !trial.has_fire() {
        return Ok(String::new());
    }
    let job = jobs::by_id(desk.store(), trial.row.job_id).await?;
    let Ok(most) = job.steam_to_bar.parse::<f64>() else {
        return Ok(String::new());
    };
    let who = &job.customer;
    if job.steams_to_nothing() {
        return Ok(format!("Agreed with {who}: it is not to be steamed."));
    }
    let now = trial.judged.now.pressure_bar.unwrap_or(0.0);
    let over = if now > most {
        format!(
            " It stands at {}: turn the fire down.",
            format_args!("{} bar", calc::show::fixed(now, 2))
        )
    } else {
        String::new()
    };
    Ok(format!(
        "Agreed with {who}: up to {} bar.{over}",
        job.steam_to_bar
    ))
}

/// The frame of a page of a trial.
pub(super) async fn layout(
    desk: &Desk,
    trial: &Judged,
    script: Option<&str>,
) -> Result<Layout, Problem> {
    let mut layout = desk
        .layout(
            &format!("{} {}", trial.row.label(), trial.row.plant),
            "trials",
        )
        .await?;
    layout.sheet_no = trial.row.label();
    if let Some(script) = script {
        layout.script = assets::address(script);
    }
    Ok(layout)
}

/// One box of the reading form.
pub(super) struct ReadingBox {
    pub(super) key: &'static str,
    pub(super) label: &'static str,
    pub(super) unit: &'static str,
    /// May it be under nothing?
    pub(super) signed: bool,
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
    /// The key of the reading form.
    entry_key: String,
    /// What was typed into an event's own boxes, where that was refused.
    event: Typed,
    cautions: Vec<&'static str>,
    lists: Vec<ListShown>,
    /// When the newest entry came, where this machine's clock stands before that.
    clock_behind: Option<String>,
    /// Pictures of the glass that wait to be read off.
    to_read_off: usize,
    procedure_missing: bool,
    for_now: Option<ForNow>,
    more: Vec<events::Key>,
    known: Known,
    conflicts: Vec<Conflict>,
    void: Vec<String>,
    /// The words of the completion call, while it is to be given.
    complete: String,
    adjustable: Vec<&'static str>,
}

impl Run {
    fn key(&self) -> String {
        fresh_key()
    }

    fn leaks(&self) -> &'static [events::Key] {
        events::LEAKS
    }

    /// Where the tube of the drawn glass begins and ends.
    fn margin(&self) -> f64 {
        papers::glass::MARGIN
    }

    fn zone_ms(&self) -> i64 {
        records::Stamp::from_millis(self.sight.now_ms).zone_ms()
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
    if before::is_before(&trial) {
        return before::page_of(&desk, &trial, &Typed::default(), Faults::default()).await;
    }
    run(
        &desk,
        &trial,
        &Typed::default(),
        Faults::default(),
        "",
        &fresh_key(),
    )
    .await
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
        &fresh_key(),
    )
    .await
}

/// The chart, the flags and the log, without any form that could lose what was typed: it looks again by itself.
pub(super) async fn watch(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), TrialId::new(id)).await?;
    if trial.row.state == "closed" {
        return Ok(see(&format!("{}/record", trial.address())));
    }
    let (layout, head) = (
        layout(&desk, &trial, Some("watch.js")).await?,
        Head::of(&desk, &trial).await?,
    );
    let sight = Sight::with_defects(desk.store(), &trial).await?;
    let watch = Watch {
        layout,
        head,
        sight,
        cautions: fitting(&trial),
    };
    Ok(page(&watch)?.into_response())
}

/// A reading that could not be kept: the same page with what was typed, and the same key, for the failed write may yet
/// turn out to have been kept.
pub(super) async fn not_kept(
    desk: &Desk,
    trial: &Judged,
    posted: &Posted<Typed>,
    why: Error,
) -> Result<Response, Problem> {
    let status = match why {
        Error::Busy => axum::http::StatusCode::SERVICE_UNAVAILABLE,
        _ => axum::http::StatusCode::INSUFFICIENT_STORAGE,
    };
    let what_now = if posted.form.get("event") == "fire-out" {
        let fuel = trial.file.trial().plant.burner.and_then(|b| b.fuel);
        let steps = calc::trial::remedy::put_the_fire_out(fuel).join(" ");
        format!(
            "Put it out all the same: {steps} The time is not recorded; press again when it saves"
        )
    } else {
        "What you typed is still here: press again".to_owned()
    };
    let says = format!("not saved: {why}. {what_now}");
    let mut response = run(
        desk,
        trial,
        &posted.form,
        one("pressure_bar", says),
        page_name(&posted.form),
        &posted.key,
    )
    .await?;
    *response.status_mut() = status;
    Ok(response)
}

/// Which page a form came from.
fn page_name(form: &Typed) -> &'static str {
    if form.get("page") == "readings" {
        "readings"
    } else {
        ""
    }
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
        "check" => before::page_of(desk, &trial, form, faults).await?,
        "correction" => right::page_of(desk, &trial, form.get("corrects"), form, faults).await?,
        _ => run(desk, &trial, form, faults, page_name(form), &fresh_key()).await?,
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
    key: &str,
) -> Result<Response, Problem> {
    let own = form.get("what") == "reading";
    let boxes = |range: &[readings::Typeable]| -> Vec<ReadingBox> {
        range
            .iter()
            .map(|(key, label, unit, signed)| ReadingBox {
                key,
                label,
                unit,
                signed: *signed,
                value: if own {
                    form.get(key).to_owned()
                } else {
                    String::new()
                },
                says: faults.of(key).to_owned(),
            })
            .collect()
    };
    let (readings, first) = readings::readings(&trial.row.kind);
    let (open, folded) = readings.split_at(first);
    let (open, folded) = (boxes(open), boxes(folded));
    let head = Head::of(desk, trial).await?;
    let run = Run {
        layout: layout(desk, trial, Some("trial.js")).await?,
        known: Known::of(trial, &head.by),
        conflicts: conflicts::of(trial),
        void: before::void_words(desk, trial).await?,
        clock_behind: trial.clock_behind(),
        complete: lists::completion(trial).unwrap_or_default(),
        adjustable: voiding::ADJUSTED.iter().map(|(words, _)| *words).collect(),
        lists: lists::shown(trial, form, &faults, &head.by),
        to_read_off: off_picture::waiting(desk, trial).await?.len(),
        head,
        sight: Sight::with_defects(desk.store(), trial).await?,
        procedure_missing: trial.procedure.is_missing,
        for_now: ForNow::of(desk, &trial.row, from).await?,
        more: events::more(&trial.row.kind),
        folded_open: folded.iter().any(|b| !b.value.is_empty()),
        open,
        folded,
        note: if own {
            form.get("note").to_owned()
        } else {
            String::new()
        },
        faults,
        page: from,
        entry_key: key.to_owned(),
        event: if form.get("what") == "event" {
            form.clone()
        } else {
            Typed::default()
        },
        cautions: fitting(trial),
    };
    Ok(page(&run)?.into_response())
}

/// The cautions that fit a trial.
pub(super) fn fitting(trial: &Judged) -> Vec<&'static str> {
    let head = Tree::read(&trial.row.head).unwrap_or_else(|_| Tree::empty());
    let (fuel, place) = (head.typed_at("plant.burner.fuel"), head.typed_at("place"));
    cautions::fitting(calc::cautions::About {
        trial: &trial.row.kind,
        fuel: Some(fuel.as_str()).filter(|f| !f.is_empty()),
        place: Some(place.as_str()).filter(|p| !p.is_empty()),
        seams: None,
    })
}
