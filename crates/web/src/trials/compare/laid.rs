//! The pens of several trials, moved so that what they share stands at nought.

use std::collections::BTreeMap;

use calc::trial::{EventName, What};
use papers::TrialPlot;
use papers::overlay::Overlay;

use super::{BEGINNING, FIRE_LIT, letter};
use crate::form::Pick;
use crate::trials::load::Judged;
use crate::trials::{draw, events, sight};

/// What is drawn, and what could not be.
pub(super) struct Laid {
    pub(super) overlay: Overlay,
    pub(super) left_out: Vec<String>,
}

/// The first time of each event, by the file's word.
fn first_events(trial: &Judged) -> BTreeMap<String, f64> {
    let mut first = BTreeMap::new();
    for (t_s, what) in draw::corrected(trial.file.trial()) {
        if let What::Event(event) = what
            && event.name != EventName::Note
        {
            first.entry(draw::event_word(event.name)).or_insert(t_s);
        }
    }
    first
}

/// What time can run from: the fire, the beginning, and whatever else happened in all of them.
pub(super) fn picks(trials: &[Judged], from: &str) -> Vec<Pick> {
    let mut words: Vec<String> = vec![FIRE_LIT.to_owned()];
    let mut each = trials.iter().map(first_events);
    if let Some(first) = each.next() {
        let others: Vec<_> = each.collect();
        let shared = first
            .keys()
            .filter(|w| others.iter().all(|o| o.contains_key(*w)));
        words.extend(shared.filter(|w| *w != FIRE_LIT).cloned());
    }
    if from != BEGINNING && !words.iter().any(|w| w == from) && from.len() < 40 {
        words.push(from.to_owned());
    }
    let mut picks: Vec<Pick> = words
        .iter()
        .map(|word| Pick::new(word, events::words(word)))
        .collect();
    picks.push(Pick::new(BEGINNING, "each one's own beginning"));
    picks
}

/// Lays the trials over each other, the oldest first.
pub(super) fn over(plant: &str, trials: &[Judged], from: &str) -> Laid {
    let in_ml = !trials.is_empty() && trials.iter().all(|t| !levels(t).1);
    let mut left_out = Vec::new();
    let mut plots = Vec::new();
    for (place, trial) in trials.iter().enumerate() {
        let zero = match from {
            BEGINNING => Some(0.0),
            word => first_events(trial).get(word).copied(),
        };
        let letter = letter(place);
        match zero {
            Some(zero) => plots.push((letter.to_owned(), moved(trial, zero, in_ml))),
            None => left_out.push(format!(
                "{letter}, {}: “{}” is not in its log, so it is not drawn here.",
                trial.row.label(),
                events::words(from)
            )),
        }
    }
    if !in_ml {
        left_out.extend(trials.iter().enumerate().filter_map(|(place, trial)| {
            let (any, unknown) = levels(trial);
            (any && unknown).then(|| {
                format!(
                    "{}, {}: what a millimetre of its glass holds is not known, so the water is drawn in mm.",
                    letter(place),
                    trial.row.label()
                )
            })
        }));
    }
    let low = |t: &Judged| {
        let plant = &t.file.trial().plant;
        let mm = plant.glass?.low_mark_mm?;
        if in_ml { plant.water_ml(mm) } else { Some(mm) }
    };
    Laid {
        overlay: Overlay {
            title: format!("{plant}: trials laid over each other"),
            from: match from {
                BEGINNING => "the beginning".to_owned(),
                word => events::words(word),
            },
            trials: plots,
            water_in_ml: in_ml,
            working_bar: alike(trials, |t| t.file.trial().plant.working_pressure_bar),
            low: alike(trials, low),
        },
        left_out,
    }
}

/// Was any level read, and is there one whose millilitres are not known?
fn levels(trial: &Judged) -> (bool, bool) {
    let water = sight::plot(trial).water;
    let plant = &trial.file.trial().plant;
    let unknown = water.iter().any(|(_, mm)| plant.water_ml(*mm).is_none());
    (!water.is_empty(), unknown)
}

/// One trial's plot with its time moved and its water in the unit that all share.
fn moved(trial: &Judged, zero: f64, in_ml: bool) -> TrialPlot {
    let mut plot = sight::plot(trial);
    plot.title = trial.row.label();
    for pen in [&mut plot.pressure, &mut plot.water, &mut plot.co] {
        for point in pen {
            point.0 -= zero;
        }
    }
    for times in [&mut plot.below, &mut plot.above] {
        for t in times {
            *t -= zero;
        }
    }
    if in_ml {
        let plant = &trial.file.trial().plant;
        let all = plot.water.iter();
        plot.water = all
            .filter_map(|(t, mm)| Some((*t, plant.water_ml(*mm)?)))
            .collect();
    }
    plot
}

/// What all of them have alike.
fn alike(trials: &[Judged], of: impl Fn(&Judged) -> Option<f64>) -> Option<f64> {
    let first = of(trials.first()?)?;
    let same = |t: &Judged| of(t).is_some_and(|v| (v - first).abs() < 1e-9);
    trials.iter().all(same).then_some(first)
}
