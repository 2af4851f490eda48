//! Lists that are read and done one item at a time: each *done* an entry, each in its turn, no list ticked as a whole.
//!
//! An item is kept as a check of the workshop's own (`own-item-LIST-N`): done with what was seen, or skipped with a reason.

use records::{Error, Stamp, Store, TrialId};

use super::entry_form::Draft;
use super::load::Judged;
use super::logbook::{Held, Signing};
use super::procedures::{Item, List, Observed};
use super::tree::quoted;
use super::typed::{Typed, one};
use super::{pause, signing};
use crate::form::Faults;

/// What the name of an item's check begins with.
const ITEM: &str = "own-item-";

fn name_of(list: &List, n: usize) -> String {
    format!("{ITEM}{}-{n}", list.name)
}

/// The list and the number that a check's name means, where it means an item of a list.
pub(super) fn named(name: &str) -> Option<(&str, usize)> {
    let (list, n) = name.strip_prefix(ITEM)?.rsplit_once('-')?;
    Some((list, n.parse().ok()?))
}

/// An item that was done or skipped.
pub(super) struct Done {
    pub(super) n: usize,
    pub(super) does: String,
    pub(super) saw: String,
    pub(super) at: String,
    pub(super) skipped: bool,
}

/// The item whose turn it is.
pub(super) struct Now {
    /// Why it is looked at again; empty where it is its first turn.
    pub(super) again: String,
    pub(super) n: usize,
    pub(super) does: String,
    pub(super) sees: String,
    pub(super) must_see: bool,
    pub(super) answers: Vec<String>,
    pub(super) unit: String,
    pub(super) typed: String,
    pub(super) reason: String,
}

/// How far a list has come that is read and done one item at a time.
pub(super) struct Steps {
    pub(super) done: Vec<Done>,
    pub(super) now: Option<Now>,
    /// What comes after.
    pub(super) next: Vec<Now>,
    /// The completion call, once every item is done or skipped.
    pub(super) complete: String,
}

impl Steps {
    /// How a list stands in this trial, with what was typed into it where that was refused.
    pub(super) fn of(trial: &Judged, list: &List, form: &Typed, own: bool, by: &str) -> Self {
        let (mut done, mut now, mut next) = (Vec::new(), None, Vec::new());
        for ((n, item), held) in (1..)
            .zip(&list.items)
            .zip(stands(trial, list, by, trial.now))
        {
            match held {
                Held::Open | Held::SeenBad(_) if now.is_none() => {
                    now = Some(asked(n, item, held, form, own));
                }
                Held::Open | Held::SeenBad(_) => {
                    next.push(asked(n, item, held, form, false));
                }
                Held::Signed { saw, at } => done.push(line(n, item, saw, at, false)),
                Held::Skipped { reason, at } | Held::Overridden { reason, at } => {
                    done.push(line(
                        n,
                        item,
                        format!("skipped, because: {reason}"),
                        at,
                        true,
                    ));
                }
            }
        }
        let complete = if now.is_none() {
            call(trial, list, by)
        } else {
            String::new()
        };
        Self {
            done,
            now,
            next,
            complete,
        }
    }

    /// Has it been begun, and not been kept as done yet?
    pub(super) fn is_under_way(&self) -> bool {
        !self.done.is_empty()
    }

    /// How many items it has.
    pub(super) fn total(&self) -> usize {
        self.done.len() + usize::from(self.now.is_some()) + self.next.len()
    }
}

fn line(n: usize, item: &Item, saw: String, at: String, skipped: bool) -> Done {
    Done {
        n,
        does: item.does.clone(),
        saw,
        at,
        skipped,
    }
}

fn asked(n: usize, item: &Item, held: Held, form: &Typed, own: bool) -> Now {
    let (answers, unit) = match &item.must_see {
        Some(Observed::Choice(answers)) => (answers.clone(), String::new()),
        Some(Observed::Figure(unit)) => (Vec::new(), unit.clone()),
        None => (Vec::new(), String::new()),
    };
    let typed = |name: &str| {
        if own {
            form.get(name).to_owned()
        } else {
            String::new()
        }
    };
    Now {
        n,
        again: match held {
            Held::SeenBad(why) => why,
            _ => String::new(),
        },
        does: item.does.clone(),
        sees: item.sees.clone(),
        must_see: item.must_see.is_some(),
        answers,
        unit,
        typed: typed("saw"),
        reason: typed("reason"),
    }
}

/// How each item stands for whoever goes on at a moment, in the round that is gone through now. After a break the must-see
/// items that were done are open again.
fn stands(trial: &Judged, list: &List, by: &str, at: Stamp) -> Vec<Held> {
    let call = list.call();
    let round = trial.log.round(&call, &format!("{ITEM}{}-", list.name));
    let each = (1..).zip(&list.items).map(|(n, item)| {
        let name = name_of(list, n);
        let held = trial.log.held_in_round(&call, &name);
        let again = match (&held, &item.must_see) {
            (Held::Signed { .. }, Some(_)) => broken_off(&round, &name, by, at),
            _ => None,
        };
        again.map_or(held, Held::SeenBad)
    });
    each.collect()
}

fn broken_off(round: &[(String, Signing)], name: &str, by: &str, at: Stamp) -> Option<String> {
    let own = round.iter().rposition(|(signed, _)| signed == name)?;
    let from: Vec<Signing> = round[own..].iter().map(|(_, s)| s.clone()).collect();
    pause::since(&from, by, at).map(|why| format!("look again, the list was broken off: {why}"))
}

/// The completion call of a list of which nothing is open.
fn call(trial: &Judged, list: &List, by: &str) -> String {
    let (mut done, mut saw) = (0, Vec::new());
    for (n, held) in (1..).zip(stands(trial, list, by, trial.now)) {
        match held {
            Held::Signed { saw: seen, .. } => {
                done += 1;
                if !seen.is_empty() {
                    saw.push(format!("{n}: {seen}"));
                }
            }
            Held::Skipped { reason, .. } | Held::Overridden { reason, .. } => {
                saw.push(format!("{n} skipped, because: {reason}"));
            }
            Held::Open | Held::SeenBad(_) => {}
        }
    }
    let said = if saw.is_empty() {
        String::new()
    } else {
        format!("; {}", saw.join("; "))
    };
    format!("{}, {done} of {}{said}", list.call(), list.items.len())
}

/// One item as it was posted: done with what was seen, or skipped with a reason.
///
/// # Errors
/// What is wanting, beside its box.
pub(super) fn read(trial: &Judged, form: &Typed) -> Result<Draft, Faults> {
    let list = trial.procedure.find(trial.fuel(), form.get("list"));
    let n: usize = form.get("n").parse().unwrap_or(0);
    let item = list.and_then(|l| l.items.get(n.checked_sub(1)?));
    let (Some(list), Some(item)) = (list.filter(|l| l.in_order), item) else {
        return Err(one(
            "saw",
            "this item does not belong to this trial; open the page again",
        ));
    };
    let name = name_of(list, n);
    let head = format!("\"check\":{}", quoted(&name));
    let reason = form.get("reason");
    if form.get("way") == "skip" {
        if reason.is_empty() {
            return Err(one(
                "reason",
                format!("item {n}: give the reason: it stands on the record"),
            ));
        }
        let fields = format!("{head},\"done\":false,\"reason\":{}", quoted(reason));
        return Ok(Draft {
            fields,
            signs: None,
        });
    }
    let seen = item
        .observed(form.get("saw"))
        .map_err(|says| one("saw", format!("item {n}: {says}")))?;
    let value = if seen.is_empty() {
        String::new()
    } else {
        format!(",\"value\":{}", quoted(&seen))
    };
    Ok(Draft {
        fields: format!("{head},\"done\":true{value}"),
        signs: Some(name),
    })
}

/// The list kept as done: only once each of its items is done, or skipped with a reason.
///
/// # Errors
/// Which item is next.
pub(super) fn complete(trial: &Judged, list: &List, by: &str) -> Result<Draft, Faults> {
    let open = |held: &Held| matches!(held, Held::Open | Held::SeenBad(_));
    let each = stands(trial, list, by, trial.now);
    if let Some(at) = each.iter().position(open) {
        let says = format!(
            "“{}” is read and done one item at a time: item {} is next",
            list.title,
            at + 1
        );
        return Err(one("complete", says));
    }
    let note = quoted(&call(trial, list, by));
    Ok(Draft {
        fields: format!("\"keeps\":\"list-complete\",\"note\":{note}"),
        signs: None,
    })
}

/// Refuses an item that was not next when it was done, that wants an observation, or while what comes before the start is
/// not signed.
///
/// # Errors
/// [`Error::Refused`] with the reason and the way on.
pub(super) async fn may_do(
    store: &Store,
    id: TrialId,
    name: &str,
    saw: Option<&str>,
    by: &str,
    at: Stamp,
) -> Result<(), Error> {
    let trial = Judged::load(store, id).await?;
    let (list, n) = named(name).unwrap_or_default();
    let list = trial
        .procedure
        .find(trial.fuel(), list)
        .filter(|l| l.in_order && n <= l.items.len() && n > 0);
    let Some(list) = list else {
        return Err(Error::Refused(format!(
            "“{name}” is no item of a list of this trial"
        )));
    };
    if !trial.begun()
        && let Some(why) = signing::refusal(store, &trial, name, by).await?
    {
        return Err(Error::Refused(format!(
            "the list cannot begin: {why}. Put it right first, or go on against it with a reason under your name"
        )));
    }
    let open = |held: &Held| matches!(held, Held::Open | Held::SeenBad(_));
    let next = stands(&trial, list, by, at)
        .iter()
        .position(open)
        .map_or(0, |at| at + 1);
    if n != next {
        let next = if next == 0 {
            "the list is to be kept as done".to_owned()
        } else {
            format!("item {next} is next")
        };
        return Err(Error::Refused(format!(
            "“{}” is read and done in its order: {next}. Do that one, or skip it with a reason",
            list.title
        )));
    }
    match (saw, &list.items[n - 1].must_see) {
        (Some(saw), Some(_)) => list.items[n - 1]
            .observed(saw)
            .map(drop)
            .map_err(|says| Error::Refused(format!("item {n}: {says}"))),
        _ => Ok(()),
    }
}
