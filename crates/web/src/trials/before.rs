//! Before the fire: hold points one at a time, each with what was seen.

use askama::Template;
use axum::response::{IntoResponse, Response};
use records::fresh_key;

use super::for_now::ForNow;
use super::load::Judged;
use super::logbook::Held;
use super::pause::{self, Again};
use super::run::{Head, fitting, layout};
use super::sight::{FlagShown, Sight};
use super::typed::Typed;
use super::{holds, signing};
use crate::desk::Desk;
use crate::form::Faults;
use crate::layout::Layout;
use crate::problem::{Problem, page};

/// One hold point as a line of the list.
struct HoldLine {
    n: usize,
    short: String,
    saw: String,
    at: String,
    bad: bool,
    must_see: bool,
}

/// The hold point that is asked now.
struct HoldNow {
    n: usize,
    name: String,
    does: String,
    sees: String,
    must_see: bool,
    answers: Vec<&'static str>,
    asks_level: bool,
    asks_words: bool,
    refused: Option<String>,
    saw_bad: String,
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
    withdrawn: bool,
    title: &'static str,
    held_back: &'static str,
    bars: Vec<String>,
    cautions: Vec<&'static str>,
    typed_value: String,
    typed_reason: String,
    faults: Faults,
    flags: Vec<FlagShown>,
    /// Why the list was broken off, and what is to be looked at again.
    broken_off: Option<String>,
    again: Vec<Again>,
    void: Vec<String>,
    for_now: Option<ForNow>,
}

impl Before {
    fn key(&self) -> String {
        fresh_key()
    }
}

/// Is it still before the fire, with hold points that are neither signed nor skipped?
pub(super) fn is_before(trial: &Judged) -> bool {
    let open = |h: &String| matches!(trial.log.held(h), Held::Open | Held::SeenBad(_));
    trial.row.withdrawn_at.is_some() || (!trial.begun() && trial.hold_points().iter().any(open))
}

/// The list before the fire: what was done, what is asked now, what comes next.
pub(super) async fn page_of(
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
    let broken_off = pause::broken_off(trial, &desk.by().await?);
    let before = Before {
        layout: layout(desk, trial, None).await?,
        head: Head::of(desk, trial).await?,
        signed,
        total: names.len(),
        withdrawn: trial.row.withdrawn_at.is_some(),
        title: super::kind_words::before(&trial.row.kind),
        held_back: super::kind_words::held_back(&trial.row.kind),
        done,
        now,
        next,
        bars: signing::bars(desk.store(), signing::its_plant(desk.store(), trial).await?).await?,
        cautions: fitting(trial),
        typed_value: form.get("value").to_owned(),
        typed_reason: form.get("reason").to_owned(),
        faults,
        flags,
        again: broken_off
            .as_ref()
            .map_or_else(Vec::new, |_| pause::again(trial, form)),
        broken_off,
        void: void_words(desk, trial).await?,
        for_now: ForNow::of(desk, &trial.row, "").await?,
    };
    Ok(page(&before)?.into_response())
}

/// What was signed and is void, in words.
pub(super) async fn void_words(desk: &Desk, trial: &Judged) -> Result<Vec<String>, Problem> {
    if trial.begun() {
        return Ok(Vec::new());
    }
    let void = signing::void(desk.store(), trial).await?;
    Ok(void
        .iter()
        .map(|(name, why)| format!("{}: {why}", holds::short(name)))
        .collect())
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
        asks_words: words.is_none_or(|h| h.asks == holds::Asks::Words),
        answers,
        refused: signing::refusal(desk.store(), trial, name, &desk.by().await?).await?,
        saw_bad,
    })
}
