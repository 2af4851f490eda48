//! The lists to read and do on a trial's page: shown item by item, and entered as done with what was seen.

use super::entry_form::Draft;
use super::holds;
use super::in_order::{self, Steps};
use super::load::Judged;
use super::logbook::Held;
use super::procedures::Observed;
use super::tree::quoted;
use super::typed::{Typed, one};
use crate::form::Faults;

/// How the completion call begins.
const COMPLETE: &str = "Preparation complete";

/// One item as it is shown.
pub(super) struct ItemShown {
    pub(super) does: String,
    pub(super) sees: String,
    pub(super) must_see: bool,
    /// The answers that can be given; none where a figure is asked or nothing is.
    pub(super) answers: Vec<String>,
    /// Unit of the figure that is asked.
    pub(super) unit: String,
    pub(super) name: String,
    pub(super) typed: String,
    pub(super) says: String,
}

/// One list as it is shown.
pub(super) struct ListShown {
    pub(super) name: String,
    pub(super) title: String,
    pub(super) items: Vec<ItemShown>,
    /// When it was last entered as done; empty where it was not.
    pub(super) done_at: String,
    pub(super) open: bool,
    /// Where it is read and done one item at a time: how far that has come.
    pub(super) steps: Option<Steps>,
}

/// The lists of a trial, with what was typed into one that was refused.
pub(super) fn shown(trial: &Judged, form: &Typed, faults: &Faults, by: &str) -> Vec<ListShown> {
    let lists = trial.procedure.lists(trial.fuel());
    lists
        .into_iter()
        .map(|list| {
            let own = matches!(form.get("what"), "list" | "item") && form.get("list") == list.name;
            let steps = list.in_order.then(|| Steps::of(trial, list, form, own, by));
            let items = (1..).zip(&list.items).map(|(n, item)| {
                let name = box_name(&list.name, n);
                let (answers, unit) = match &item.must_see {
                    Some(Observed::Choice(answers)) => (answers.clone(), String::new()),
                    Some(Observed::Figure(unit)) => (Vec::new(), unit.clone()),
                    None => (Vec::new(), String::new()),
                };
                ItemShown {
                    does: item.does.clone(),
                    sees: item.sees.clone(),
                    must_see: item.must_see.is_some(),
                    answers,
                    unit,
                    typed: if own {
                        form.get(&name).to_owned()
                    } else {
                        String::new()
                    },
                    says: faults.of(&name).to_owned(),
                    name,
                }
            });
            ListShown {
                name: list.name.clone(),
                title: list.title.clone(),
                items: items.collect(),
                done_at: trial.log.kept(&list.call()).unwrap_or_default(),
                open: own || steps.as_ref().is_some_and(Steps::is_under_way),
                steps,
            }
        })
        .collect()
}

/// The completion call of the list before the fire: how many are done, and what was skipped or gone against and why.
/// Nothing while one is open, once it was given, and once it is hot.
pub(super) fn completion(trial: &Judged) -> Option<String> {
    let names = trial.hold_points();
    if names.is_empty() || trial.begun() || trial.log.kept(COMPLETE).is_some() {
        return None;
    }
    let (mut signed, mut not) = (0, Vec::new());
    for name in &names {
        match trial.log.held(name) {
            Held::Signed { .. } => signed += 1,
            Held::Skipped { reason, .. } => {
                not.push(format!("{} skipped, because: {reason}", holds::short(name)))
            }
            Held::Overridden { reason, .. } => {
                not.push(format!(
                    "{} gone on against, because: {reason}",
                    holds::short(name)
                ));
            }
            Held::Open | Held::SeenBad(_) => return None,
        }
    }
    let rest = if not.is_empty() {
        String::new()
    } else {
        format!("; {}", not.join("; "))
    };
    Some(format!("{COMPLETE}, {signed} of {}{rest}", names.len()))
}

/// The completion call as an entry; refused while an item is open.
///
/// # Errors
/// Which items are open.
pub(super) fn complete(trial: &Judged) -> Result<Draft, Faults> {
    let words = completion(trial).ok_or_else(|| {
        let open = |name: &&String| matches!(trial.log.held(name), Held::Open | Held::SeenBad(_));
        let open: Vec<String> = trial
            .hold_points()
            .iter()
            .filter(open)
            .map(|n| holds::short(n))
            .collect();
        one(
            "complete",
            if open.is_empty() {
                "it is complete already".to_owned()
            } else {
                format!("not complete: {} open", open.join("; "))
            },
        )
    })?;
    Ok(Draft {
        fields: format!("\"keeps\":\"list-complete\",\"note\":{}", quoted(&words)),
        signs: None,
    })
}

pub(super) fn box_name(list: &str, n: usize) -> String {
    format!("saw-{list}-{n}")
}

/// A list entered as read and done, with what was seen at each must-see item.
///
/// # Errors
/// Every must-see item at which nothing was observed.
pub(super) fn read(trial: &Judged, form: &Typed, by: &str) -> Result<Draft, Faults> {
    let Some(list) = trial.procedure.find(trial.fuel(), form.get("list")) else {
        return Err(one(
            "list",
            "this list does not belong to this trial; open the page again",
        ));
    };
    if list.in_order {
        return in_order::complete(trial, list, by);
    }
    let (mut faults, mut saw) = (Faults::default(), Vec::new());
    for (n, item) in (1..).zip(&list.items) {
        let name = box_name(&list.name, n);
        match item.observed(form.get(&name)) {
            Ok(seen) if seen.is_empty() => {}
            Ok(seen) => saw.push(format!("{n}: {seen}")),
            Err(says) => faults.add(&name, format!("item {n}: {says}")),
        }
    }
    if !faults.list().is_empty() {
        return Err(faults);
    }
    let note = format!("{}; {}", list.call(), saw.join("; "));
    Ok(Draft {
        fields: format!("\"keeps\":\"list-complete\",\"note\":{}", quoted(&note)),
        signs: None,
    })
}
