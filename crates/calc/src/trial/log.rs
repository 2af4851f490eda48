//! The log as it stood at a moment: what had arrived, with its corrections applied.

use super::{Entry, Target, What};
use std::cmp::Ordering;

/// The entries in judging order, corrections applied.
pub(super) fn effective(entries: &[Entry]) -> Vec<(f64, What)> {
    let known: Vec<&Entry> = order(entries).into_iter().map(|i| &entries[i]).collect();
    let mut whats: Vec<Option<What>> = known.iter().map(|e| Some(e.what.clone())).collect();
    for correction in standing_corrections(&known) {
        let What::Correction {
            target,
            patch,
            withdrawn,
        } = &correction.what
        else {
            continue;
        };
        let Some(at) = find(&known, target) else {
            continue;
        };
        if *withdrawn {
            whats[at] = None;
        } else if let Some(What::Reading(reading)) = &mut whats[at] {
            patch.apply(reading);
        }
    }
    known
        .iter()
        .zip(whats)
        .filter_map(|(entry, what)| Some((entry.t_s, what?)))
        .filter(|(_, what)| !matches!(what, What::Correction { .. }))
        .collect()
}

/// The corrections in the order they came, without those that a later one withdrew.
fn standing_corrections<'a>(known: &[&'a Entry]) -> Vec<&'a Entry> {
    let mut corrections: Vec<&Entry> = known
        .iter()
        .copied()
        .filter(|e| matches!(e.what, What::Correction { .. }))
        .collect();
    corrections.sort_by(|a, b| {
        (a.received_at_s.total_cmp(&b.received_at_s))
            .then(a.t_s.total_cmp(&b.t_s))
            .then_with(|| a.text.cmp(&b.text))
    });
    let mut standing: Vec<&Entry> = Vec::new();
    let mut dropped: Vec<&String> = Vec::new();
    for correction in corrections.into_iter().rev() {
        if correction
            .id
            .as_ref()
            .is_some_and(|id| dropped.contains(&id))
        {
            continue;
        }
        let corrects = |id: &String| {
            known
                .iter()
                .any(|e| e.id.as_ref() == Some(id) && matches!(e.what, What::Correction { .. }))
        };
        match &correction.what {
            What::Correction {
                target: Target::Id(id),
                withdrawn: true,
                ..
            } if corrects(id) => dropped.push(id),
            _ => standing.push(correction),
        }
    }
    standing.reverse();
    standing
}

/// The entry a correction speaks of; a correction of a correction speaks of what that one does.
fn find(known: &[&Entry], target: &Target) -> Option<usize> {
    let mut target = target;
    for _ in 0..8 {
        let at = match target {
            Target::Id(id) => known.iter().position(|e| e.id.as_ref() == Some(id))?,
            Target::Time(t) => {
                let plain = |e: &&Entry| !matches!(e.what, What::Correction { .. });
                known.iter().position(|e| e.t_s == *t && plain(e))?
            }
        };
        match &known[at].what {
            What::Correction {
                target: further, ..
            } => target = further,
            _ => return Some(at),
        }
    }
    None
}

/// Indices of the entries in judging order.
fn order(entries: &[Entry]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..entries.len()).collect();
    order.sort_by(|a, b| before(&entries[*a], &entries[*b]));
    order
}

/// The judging order: time, rank, canonical text.
pub(super) fn before(a: &Entry, b: &Entry) -> Ordering {
    a.t_s
        .total_cmp(&b.t_s)
        .then(a.rank().cmp(&b.rank()))
        .then_with(|| a.text.cmp(&b.text))
}
