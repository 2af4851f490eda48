//! A list that was broken off: after an hour, by another person, or when the program was started anew, its must-see items
//! are looked at again before the next signature. Readings and events go on meanwhile.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use records::{Stamp, TrialId};

use super::before;
use super::entries::append;
use super::entry_form;
use super::holds::{self, Asks};
use super::load::Judged;
use super::logbook::{Held, Signing};
use super::own_entry::made_of;
use super::tree::quoted;
use super::typed::Typed;
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::problem::{Problem, see};

/// How long a list may lie before it is looked at anew, s.
const BROKEN_OFF_S: i64 = 3600;

/// A must-see item that is looked at again.
pub(super) struct Again {
    pub(super) name: String,
    pub(super) does: String,
    pub(super) sees: String,
    pub(super) answers: Vec<&'static str>,
    pub(super) asks_level: bool,
    pub(super) saw: String,
    pub(super) typed: String,
}

/// Why a list is broken off: nothing while it is not.
pub(super) fn broken_off(trial: &Judged, by: &str) -> Option<String> {
    if trial.begun() || must_see(trial).is_empty() {
        return None;
    }
    why(
        &trial.log.last_signing()?,
        by,
        trial.now,
        records::time::booted(),
    )
}

fn why(last: &Signing, by: &str, now: Stamp, booted: Stamp) -> Option<String> {
    if last.by != by {
        return Some(format!("{} signed so far, {by} goes on", last.by));
    }
    let idle_s = (now.millis() - last.at.millis()) / 1000;
    if idle_s > BROKEN_OFF_S {
        return Some(format!("nothing was signed for {} min", idle_s / 60));
    }
    (last.at < booted).then(|| "the program was started anew since".to_owned())
}

/// Why a must-see item of a list is to be looked at again: from its own signature to the hand that goes on now, was there
/// an hour, another hand, or a new start of the program? `signings` are the list's, from the item's own on.
pub(super) fn since(signings: &[Signing], by: &str, now: Stamp) -> Option<String> {
    let booted = records::time::booted();
    let between = signings
        .windows(2)
        .find_map(|two| why(&two[0], &two[1].by, two[1].at, booted));
    between.or_else(|| why(signings.last()?, by, now, booted))
}

/// The must-see items that were signed.
fn must_see(trial: &Judged) -> Vec<(String, String)> {
    let signed = |name: &String| match trial.log.held(name) {
        Held::Signed { saw, .. } => Some((name.clone(), saw)),
        _ => None,
    };
    trial
        .hold_points()
        .iter()
        .filter(|name| holds::find(name).is_none_or(|h| h.must_see))
        .filter_map(signed)
        .collect()
}

/// The must-see items as they are asked again.
pub(super) fn again(trial: &Judged, form: &Typed) -> Vec<Again> {
    must_see(trial)
        .into_iter()
        .map(|(name, saw)| {
            let words = holds::find(&name);
            let answers = match words.map(|h| h.asks) {
                Some(Asks::Choice(all)) => all.iter().map(|(words, _)| *words).collect(),
                _ => Vec::new(),
            };
            Again {
                does: words.map_or_else(|| holds::short(&name), |h| h.does.to_owned()),
                sees: words.map_or_else(String::new, |h| h.sees.to_owned()),
                asks_level: words.is_some_and(|h| h.asks == Asks::Level),
                answers,
                saw,
                typed: form.get(&format!("again-{name}")).to_owned(),
                name,
            }
        })
        .collect()
}

/// Every must-see item was looked at again: each answer is kept, and the list goes on.
pub(super) async fn renew(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let id = TrialId::new(id);
    let trial = Judged::load(desk.store(), id).await?;
    let drafts = match read(&trial, &posted.form) {
        Ok(drafts) => drafts,
        Err(faults) => {
            let mut page = before::page_of(&desk, &trial, &posted.form, faults).await?;
            *page.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
            return Ok(page);
        }
    };
    for (n, fields) in drafts.into_iter().enumerate() {
        let (sent, coming) = made_of(id, &posted.key, n, fields);
        append(&desk, sent, coming).await?;
    }
    Ok(see(&super::address(id)))
}

/// What was seen again; what was not good reopens its item, and everything is named in one line of the log.
fn read(trial: &Judged, form: &Typed) -> Result<Vec<String>, Faults> {
    let (mut faults, mut drafts, mut said) = (Faults::default(), Vec::new(), Vec::new());
    for (name, _) in must_see(trial) {
        let box_name = format!("again-{name}");
        let value = form.get(&box_name).to_owned();
        let pairs = [("what", "check"), ("check", &name), ("value", &value)];
        let pairs = pairs.map(|(n, v)| (n.to_owned(), v.to_owned())).to_vec();
        match entry_form::read(&Typed::new(pairs)) {
            Ok(draft) if draft.signs.is_some() => {
                said.push(format!("{}: {value}", holds::short(&name)))
            }
            // Seen and not good: that item is open again.
            Ok(draft) => drafts.push(draft.fields),
            Err(_) => faults.add(
                &box_name,
                format!("{}: say what you see now", holds::short(&name)),
            ),
        }
    }
    if !faults.list().is_empty() {
        return Err(faults);
    }
    let note = format!("looked at again: {}", said.join("; "));
    drafts.insert(
        0,
        format!("\"keeps\":\"renewed\",\"note\":{}", quoted(&note)),
    );
    Ok(drafts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_is_broken_off_by_an_hour_by_another_hand_and_by_a_new_start() {
        let at = Stamp::from_millis(1_000_000_000);
        let last = Signing {
            by: "A. Tester".to_owned(),
            at,
        };
        let earlier = Stamp::from_millis(at.millis() - 1);
        let whose = |by: &str, minutes: i64, booted: Stamp| {
            why(&last, by, at.plus_seconds(minutes * 60), booted)
        };
        assert_eq!(whose("A. Tester", 59, earlier), None);
        assert!(whose("A. Tester", 61, earlier).is_some_and(|w| w.contains("61 min")));
        assert!(whose("B. Other", 1, earlier).is_some_and(|w| w.contains("B. Other goes on")));
        assert!(whose("A. Tester", 1, at.plus_seconds(10)).is_some());
    }

    #[test]
    fn an_item_is_looked_at_again_for_any_break_since_it_was_done() {
        let begun = records::time::booted();
        let signed = |by: &str, minutes: i64| Signing {
            by: by.to_owned(),
            at: begun.plus_seconds(minutes * 60),
        };
        let again = |round: &[Signing], by: &str, minutes: i64| {
            since(round, by, begun.plus_seconds(minutes * 60)).is_some()
        };
        let (a, b) = (signed("A. Tester", 1), signed("A. Tester", 50));
        assert!(!again(&[a.clone(), b.clone()], "A. Tester", 100));
        // An hour since the last, though each gap before was shorter.
        assert!(again(&[a.clone(), b.clone()], "A. Tester", 111));
        // The hour lay between two others.
        assert!(again(
            &[a.clone(), signed("A. Tester", 70)],
            "A. Tester",
            71
        ));
        // Another hand was in between, and the first one goes on.
        assert!(again(&[a, signed("B. Other", 2), b], "A. Tester", 51));
    }
}
