//! A trial as the drawings want it: pens, marks, flags, events.

use calc::trial::{
    Assessment, Entry, EventName, Kind, LeakAt, Reading, Seen, Severity, Target, Trial, What,
};
use papers::glass::{Glass, Seen as Sight};
use papers::{FlagAt, RunwayAhead, Severity as Grave, TrialPlot};

use super::orders;

/// What a drawing is told besides the trial itself.
pub(super) struct Frame {
    pub(super) title: String,
    pub(super) starts_at_s: Option<f64>,
    pub(super) now_s: f64,
    pub(super) running: bool,
    /// Least and likely time to the low mark, s.
    pub(super) runway: Option<(f64, Option<f64>)>,
}

/// The log with its corrections applied, in the order of time.
pub(super) fn corrected(trial: &Trial) -> Vec<(f64, What)> {
    let mut order: Vec<&Entry> = trial.entries.iter().collect();
    order.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
    let mut whats: Vec<Option<What>> = order.iter().map(|e| Some(e.what.clone())).collect();
    let mut corrections: Vec<&&Entry> = order
        .iter()
        .filter(|e| matches!(e.what, What::Correction { .. }))
        .collect();
    corrections.sort_by(|a, b| a.received_at_s.total_cmp(&b.received_at_s));
    for correction in corrections {
        let What::Correction {
            target,
            patch,
            withdrawn,
        } = &correction.what
        else {
            continue;
        };
        let found = order.iter().position(|e| {
            !matches!(e.what, What::Correction { .. })
                && match target {
                    Target::Id(id) => e.id.as_ref() == Some(id),
                    Target::Time(t) => e.t_s.total_cmp(t).is_eq(),
                }
        });
        let Some(at) = found else { continue };
        if *withdrawn {
            whats[at] = None;
        } else if let Some(What::Reading(reading)) = &mut whats[at] {
            patch.apply(reading);
        }
    }
    order
        .iter()
        .zip(whats)
        .filter_map(|(entry, what)| Some((entry.t_s, what?)))
        .filter(|(_, what)| !matches!(what, What::Correction { .. }))
        .collect()
}

/// Everything a chart of this trial is drawn from.
pub(super) fn plot(trial: &Trial, judged: &Assessment, frame: Frame) -> TrialPlot {
    let (plant, limits) = (&trial.plant, &trial.limits);
    let shell = matches!(trial.kind, Kind::Hydraulic | Kind::Air);
    let mut plot = TrialPlot {
        title: frame.title,
        starts_at_s: frame.starts_at_s,
        now_s: frame.now_s,
        running: frame.running,
        working_bar: plant.working_pressure_bar,
        stop_bar: plant
            .working_pressure_bar
            .filter(|_| !shell)
            .map(|p| p * limits.pressure_stop_pct / 100.0),
        target_bar: judged.now.press.as_ref().and_then(|p| p.target_bar),
        // A shell under test is meant to go over working pressure, and its glass is off.
        no_glass: shell,
        low_mm: plant.glass.and_then(|g| g.low_mark_mm),
        high_mm: plant.glass.and_then(|g| g.high_mark_mm),
        visible_mm: plant.glass.and_then(|g| g.visible_mm),
        co_caution_ppm: Some(limits.co_peak_caution_ppm),
        break_s: Some(limits.reading_every_s * 3.0),
        runway: frame
            .runway
            .map(|(least_s, likely_s)| RunwayAhead { least_s, likely_s }),
        ..TrialPlot::default()
    };
    for (t_s, what) in corrected(trial) {
        match what {
            What::Reading(reading) => put_reading(&mut plot, t_s, &reading),
            What::Event(event) if event.name != EventName::Note => {
                let mut words = super::events::words(&event_word(event.name));
                if event.leak_at != LeakAt::Unsaid {
                    words = format!("leak, {}", event.leak_at.word());
                }
                plot.events.push((t_s, words));
            }
            _ => {}
        }
    }
    plot.flags = judged
        .flags
        .iter()
        .map(|flag| FlagAt {
            t_s: flag.raised_at_s,
            severity: grave(flag.severity),
            lane: orders::lane(flag.rule.name()),
        })
        .collect();
    plot
}

fn put_reading(plot: &mut TrialPlot, t_s: f64, reading: &Reading) {
    if let Some(bar) = reading.pressure_bar {
        plot.pressure.push((t_s, bar));
    }
    if let Some(mm) = reading.level_mm {
        plot.water.push((t_s, mm));
    }
    match reading.level_seen {
        Some(Seen::Below) => plot.below.push(t_s),
        Some(Seen::Above) => plot.above.push(t_s),
        _ => {}
    }
    if let Some(ppm) = reading.co_ppm {
        plot.co.push((t_s, ppm));
    }
}

/// The file's word of an event, made from its name: `FeedOn` is `feed-on`.
pub(super) fn event_word(name: EventName) -> String {
    let mut word = String::new();
    for c in format!("{name:?}").chars() {
        if c.is_ascii_uppercase() && !word.is_empty() {
            word.push('-');
        }
        word.push(c.to_ascii_lowercase());
    }
    word
}

fn grave(severity: Severity) -> Grave {
    match severity {
        Severity::Stop => Grave::Stop,
        Severity::Caution => Grave::Caution,
        Severity::Note => Grave::Note,
    }
}

/// The glass with the last look in it; none where the plant has no glass.
pub(super) fn glass(trial: &Trial) -> Option<Glass> {
    let glass = trial.plant.glass?;
    let seen = corrected(trial)
        .iter()
        .rev()
        .find_map(|(_, what)| match what {
            What::Reading(reading) => match (reading.level_seen, reading.level_mm) {
                (Some(Seen::Below), _) => Some(Sight::Below),
                (_, Some(mm)) => Some(Sight::At(mm)),
                (Some(Seen::Above), None) => Some(Sight::Above),
                (Some(Seen::InGlass), None) => Some(Sight::InGlass),
                (None, None) => None,
            },
            _ => None,
        })
        .unwrap_or(Sight::NotYet);
    Some(Glass {
        visible_mm: glass.visible_mm?,
        low_mm: glass.low_mark_mm,
        high_mm: glass.high_mark_mm,
        seen,
    })
}
