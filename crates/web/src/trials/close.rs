//! Closing a trial: the shut-down list, the verdict with its reasons, the answer, the signature, the seal.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use calc::trial::{What, assess};
use records::log::{self, Place, Sealed};
use records::pictures::Of;
use records::{Error, Store, TrialId, Write, fresh_key};

use super::entries::place_in;
use super::for_now::ForNow;
use super::load::Judged;
use super::own_entry::made_of;
use super::phone;
use super::procedures::{self, ShutDown};
use super::run::{Head, fitting, layout};
use super::tree::quoted;
use super::typed::Typed;
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::layout::Layout;
use crate::pictures::Strip;
use crate::problem::{Problem, page, see};

/// The shut-down list of this trial.
fn shut_down(trial: &Judged) -> Vec<ShutDown> {
    let lit = trial.judged.now.fire_lit_at_s.is_some();
    procedures::shut_down(&trial.row.kind, lit)
}

struct ListItem {
    name: &'static str,
    words: &'static str,
    ticked: bool,
    shown_by_log: bool,
}

#[derive(Template)]
#[template(path = "trials/close.html")]
struct Close {
    layout: Layout,
    head: Head,
    outcome: &'static str,
    because: Vec<String>,
    standing: Vec<String>,
    /// What a water test left off or plugged.
    for_now: Option<ForNow>,
    list: Vec<ListItem>,
    /// What phones still hold, and why that is given up.
    unsent: Vec<String>,
    given_up: String,
    missing: Vec<String>,
    /// Who signed as a witness, and when.
    witnessed: Vec<(String, String)>,
    /// What a witness typed, where that was refused.
    witness: Typed,
    witness_key: String,
    /// Pictures of the trial, the signed paper among them.
    strip: Strip,
    sign_paper: String,
    answer: String,
    note: String,
    faults: Faults,
    cautions: Vec<&'static str>,
    key: String,
}

/// The page on which a trial is closed.
pub(super) async fn ask(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), TrialId::new(id)).await?;
    if let Some(why) = not_closable(&trial) {
        return Err(Problem::Refused(why));
    }
    show(&desk, &trial, &Typed::default(), Faults::default()).await
}

/// Closing is a permission: it is refused while it is hot, and before anything was entered.
pub(super) fn not_closable(trial: &Judged) -> Option<String> {
    match trial.row.state.as_str() {
        "closed" => Some("this record is sealed already".to_owned()),
        "prepared" => Some("nothing has been entered: withdraw the trial instead of closing it".to_owned()),
        _ if trial.judged.now.fire_lit => Some("the fire is in: put it out, and enter that, before the trial is closed".to_owned()),
        _ if still_hot(&trial.judged.now) => {
            Some("it is still hot: enter a pressure of 0.2 bar or less, or that the pressure is gone, before the trial is closed".to_owned())
        }
        _ => None,
    }
}

/// Is there still fire under it or pressure in it? Pressure that came without any fire and is gone needs no word about a
/// fire.
fn still_hot(now: &calc::trial::Now) -> bool {
    now.hot && (now.fire_lit_at_s.is_some() || now.pressure_bar.is_none_or(|bar| bar > 0.2))
}

/// The page with what was typed into it, and what is wrong with that.
pub(super) async fn show(
    desk: &Desk,
    trial: &Judged,
    form: &Typed,
    faults: Faults,
) -> Result<Response, Problem> {
    let list = shut_down(trial)
        .into_iter()
        .map(|(name, words, event)| {
            let shown_by_log = event.is_some_and(|e| trial.log.happened(e));
            ListItem {
                name,
                words,
                ticked: form.get(name) == "yes",
                shown_by_log,
            }
        })
        .collect();
    let verdict = &trial.judged.verdict;
    let close = Close {
        layout: layout(desk, trial, None).await?,
        head: Head::of(desk, trial).await?,
        outcome: verdict.outcome.word(),
        because: verdict.because.clone(),
        standing: trial
            .judged
            .standing()
            .iter()
            .filter(|f| f.severity != calc::trial::Severity::Note)
            .map(|f| format!("{}: {}", f.severity.word(), f.says))
            .collect(),
        for_now: ForNow::of(desk, &trial.row, "close").await?,
        list,
        unsent: phone::unsent(desk.store(), trial.row.id).await?,
        given_up: form.get("given_up").to_owned(),
        missing: phone::missing(desk.store(), trial.row.id).await?,
        witnessed: trial.log.signed("witness"),
        witness: if form.get("what") == "witness" {
            form.clone()
        } else {
            Typed::default()
        },
        witness_key: fresh_key(),
        sign_paper: format!(
            "/pictures/new?of=trial-{}&caption=the+signed+paper",
            trial.row.id
        ),
        strip: Strip::of(desk, Of::Trial, trial.row.id.get()).await?,
        answer: form.get("answer").to_owned(),
        note: form.get("note").to_owned(),
        faults,
        cautions: fitting(trial),
        key: fresh_key(),
    };
    Ok(page(&close)?.into_response())
}

/// Seals the trial: list, answer and signature are entries, then the verdict of the whole log is kept with the record.
pub(super) async fn seal(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let id = TrialId::new(id);
    if desk.store().knows_key(&posted.key).await? {
        return Ok(see(&format!("{}/record", super::address(id))));
    }
    let trial = Judged::load(desk.store(), id).await?;
    if let Some(why) = not_closable(&trial) {
        return Err(Problem::Refused(why));
    }
    let unsent = phone::unsent(desk.store(), id).await?;
    let read = given_up(&unsent, &posted.form)
        .map_err(|faults| (StatusCode::CONFLICT, faults))
        .and_then(|mut drafts| {
            drafts.extend(
                read(&trial, &posted.form)
                    .map_err(|faults| (StatusCode::UNPROCESSABLE_ENTITY, faults))?,
            );
            Ok(drafts)
        });
    let drafts = match read {
        Ok(drafts) => drafts,
        Err((status, faults)) => {
            let mut response = show(&desk, &trial, &posted.form, faults).await?;
            *response.status_mut() = status;
            return Ok(response);
        }
    };
    let (store, key, to) = (
        desk.store().clone(),
        posted.key.clone(),
        format!("{}/record", trial.address()),
    );
    desk.once(&posted, move |w| {
        Box::pin(async move {
            seal_in(w, &store, id, &key, drafts).await?;
            Ok(to)
        })
    })
    .await
    .map(|to| see(&to))
}

/// What phones still hold is given up by an entry with its reason, never without a word.
fn given_up(unsent: &[String], form: &Typed) -> Result<Vec<String>, Faults> {
    if unsent.is_empty() {
        return Ok(Vec::new());
    }
    let (held, why) = (unsent.join("; "), form.get("given_up"));
    if why.is_empty() {
        return Err(super::typed::one(
            "given_up",
            format!("{held}: let it send them first, or say why they are given up"),
        ));
    }
    let note = quoted(&format!("{held}: {why}"));
    Ok(vec![format!(
        "\"keeps\":\"phone-given-up\",\"note\":{note}"
    )])
}

/// The entries that close a trial, or what is missing.
fn read(trial: &Judged, form: &Typed) -> Result<Vec<String>, Faults> {
    let mut faults = Faults::default();
    let open: Vec<&str> = shut_down(trial)
        .iter()
        .filter(|(name, _, event)| {
            form.get(name) != "yes" && !event.is_some_and(|e| trial.log.happened(e))
        })
        .map(|(_, words, _)| *words)
        .collect();
    let note = form.get("note");
    if !open.is_empty() && note.is_empty() {
        faults.add(
            "note",
            format!(
                "not ticked: {}. Tick it when it is so, or say here why it is left out",
                open.join("; ")
            ),
        );
    }
    let answer = form.get("answer");
    if !matches!(answer, "yes" | "no" | "not-settled") {
        faults.add(
            "answer",
            "Answer the trial's question: yes, no, or not settled.",
        );
    }
    if form.get("sign") != "yes" {
        faults.add("sign", "Put your name under it: tick the line.");
    }
    if !faults.list().is_empty() {
        return Err(faults);
    }
    let said = if note.is_empty() {
        String::new()
    } else {
        format!(",\"note\":{}", quoted(note))
    };
    let list = if open.is_empty() {
        "shut-down list complete".to_owned()
    } else {
        format!("shut-down list, left out: {}", open.join("; "))
    };
    Ok(vec![
        format!("\"keeps\":\"list-complete\",\"note\":{}", quoted(&list)),
        format!("\"answer\":{}{said}", quoted(answer)),
        "\"signs\":\"close\"".to_owned(),
    ])
}

async fn seal_in(
    w: &mut Write,
    store: &Store,
    id: TrialId,
    key: &str,
    drafts: Vec<String>,
) -> Result<(), Error> {
    let before = log::entries(store, id, 0).await?;
    let mut texts: Vec<String> = before.iter().map(|e| e.text.clone()).collect();
    for (n, fields) in drafts.into_iter().enumerate() {
        let (sent, coming) = made_of(id, key, n, fields);
        let stored = log::append_in(w, &sent, move |place: &Place| place_in(place, coming)).await?;
        texts.push(stored.text);
    }
    let row = log::find(store, id).await?;
    let ended = super::load::ended_at(&row.seconds_at(w.now()), &before);
    let file = triallog::assemble(
        &super::load::head_of(&row),
        texts.iter().map(String::as_str),
        Some(&ended),
    )
    .map_err(|f| Error::Damaged(f.to_string()))?;
    let judged = assess(file.trial(), None);
    if still_hot(&judged.now) || judged.now.fire_lit {
        return Err(Error::Refused(
            "it is hot again: something was entered meanwhile".to_owned(),
        ));
    }
    let answer = file
        .trial()
        .entries
        .iter()
        .rev()
        .find_map(|e| match e.what {
            What::Answer(calc::trial::Answer::Yes) => Some("yes"),
            What::Answer(calc::trial::Answer::No) => Some("no"),
            What::Answer(calc::trial::Answer::NotSettled) => Some("not-settled"),
            _ => None,
        });
    let sealed = Sealed {
        verdict: judged.verdict.outcome.word().to_owned(),
        because: judged.verdict.because,
        answer: answer.map(str::to_owned),
    };
    log::seal(w, id, &sealed).await?;
    log::phones::give_up(w, id).await
}
