//! What a phone is told so that it can go on by itself where there is no link: marks, limits, the last readings, and how
//! the water stood when the server last judged it.

use calc::trial::{Now, Reading, Seen, Severity, Trial, Water, What, remedy};
use serde::Serialize;

use super::bounds::{Bound, bounds};
use super::load::Judged;
use super::logbook::moment;
use super::{draw, orders, quieten};

/// How many water readings are handed over: three for the line, and those that give the usual gap.
const WATERS: usize = 6;
/// A gauge whose range is not known: hardly any such boiler goes beyond, bar.
const MOST_BAR: f64 = 20.0;

/// The stops that a phone finds by itself.
const RULES: [&str; 6] = [
    "water-out-of-sight",
    "water-below-mark",
    "water-falling",
    "pressure-high",
    "reading-overdue",
    "carbon-monoxide",
];

/// The water as it was read at a moment.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct WaterRead {
    /// Unix ms.
    pub(super) at_ms: i64,
    /// mm above the glass's zero.
    pub(super) mm: Option<f64>,
    /// `below`, `above`, `in-glass` where there is no number.
    pub(super) seen: Option<&'static str>,
}

/// The large words of a stop, and what to do.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Words {
    rule: &'static str,
    first: &'static str,
    second: &'static str,
    huge: bool,
    about: String,
    todo: &'static str,
}

/// A standing stop or caution that the server has found.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Stands {
    rule: &'static str,
    severity: &'static str,
    seen: bool,
}

/// Everything a phone judges from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Known {
    pub(super) now_ms: i64,
    pub(super) by: String,
    pub(super) has_fire: bool,
    pub(super) hot: bool,
    pub(super) fire_lit: bool,
    /// When it became hot, unix ms: nobody can be late before that.
    pub(super) hot_ms: Option<i64>,
    pub(super) steaming: bool,
    pub(super) visible_mm: Option<f64>,
    pub(super) low_mm: Option<f64>,
    pub(super) high_mm: Option<f64>,
    pub(super) step_mm: f64,
    pub(super) step_bar: f64,
    pub(super) most_bar: f64,
    /// What a figure cannot be over, and what to do instead.
    pub(super) bounds: Vec<Bound>,
    pub(super) stop_bar: Option<f64>,
    pub(super) co_stop_ppm: f64,
    pub(super) every_s: f64,
    pub(super) stop_s: f64,
    pub(super) caution_s: f64,
    pub(super) due_ms: Option<i64>,
    pub(super) waters: Vec<WaterRead>,
    pub(super) runway_s: Option<f64>,
    pub(super) level_low_mm: Option<f64>,
    pub(super) stands: Vec<Stands>,
    pub(super) words: Vec<Words>,
    pub(super) steps: &'static [&'static str],
}

impl Known {
    /// What is known of a judged trial at this moment.
    pub(super) fn of(trial: &Judged, by: &str) -> Self {
        let (file, now) = (trial.file.trial(), &trial.judged.now);
        let at = |s: f64| moment_ms(trial, s);
        let gauge = file.instruments.pressure.as_ref();
        let glass = file.plant.glass;
        let limits = &file.limits;
        Self {
            now_ms: trial.now.millis(),
            by: by.to_owned(),
            has_fire: trial.has_fire(),
            hot: now.hot,
            fire_lit: now.fire_lit,
            hot_ms: now.fire_lit_at_s.filter(|_| now.hot).map(at),
            steaming: now.steam_taken,
            visible_mm: glass.and_then(|g| g.visible_mm),
            low_mm: glass.and_then(|g| g.low_mark_mm),
            high_mm: glass.and_then(|g| g.high_mark_mm),
            step_mm: file
                .instruments
                .level
                .as_ref()
                .and_then(|i| i.resolution)
                .unwrap_or(1.0),
            step_bar: gauge.and_then(|i| i.resolution).unwrap_or(0.1),
            most_bar: most_bar(file),
            bounds: bounds(trial),
            stop_bar: file
                .plant
                .working_pressure_bar
                .filter(|_| trial.has_fire())
                .map(|p| p * limits.pressure_stop_pct / 100.0),
            co_stop_ppm: limits.co_peak_stop_ppm,
            every_s: limits.reading_every_s,
            stop_s: limits.runway_stop_s,
            caution_s: limits.runway_caution_s,
            due_ms: now.next_look_at_s.filter(|_| now.hot).map(at),
            waters: waters(trial),
            runway_s: in_sight(now).then_some(now.runway_s).flatten(),
            level_low_mm: now.level_low_mm,
            stands: stands(trial),
            words: words(trial),
            steps: remedy::put_the_fire_out(trial.fuel()),
        }
    }

    /// The same as JSON, for an attribute of the page.
    pub(super) fn json(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }
}

/// The most that this gauge can have shown; without a range, twice the working pressure.
pub(super) fn most_bar(file: &Trial) -> f64 {
    let gauge = file.instruments.pressure.as_ref();
    gauge
        .and_then(|i| i.full_scale_bar)
        .or(file.plant.working_pressure_bar.map(|p| p * 2.0))
        .unwrap_or(MOST_BAR)
}

fn in_sight(now: &Now) -> bool {
    now.hot && !matches!(now.water, Water::Below | Water::Above)
}

fn moment_ms(trial: &Judged, t_s: f64) -> i64 {
    let whole: f64 = t_s.floor();
    let rest: i64 = format!("{:.0}", (t_s - whole) * 1000.0)
        .parse()
        .unwrap_or(0);
    moment(trial.started(), whole).millis() + rest
}

/// The last water readings, the oldest first.
pub(super) fn waters(trial: &Judged) -> Vec<WaterRead> {
    let read = |(t, what): &(f64, What)| {
        let What::Reading(reading) = what else {
            return None;
        };
        let (mm, seen) = lower(reading)?;
        Some(WaterRead {
            at_ms: moment_ms(trial, *t),
            mm,
            seen,
        })
    };
    let all: Vec<WaterRead> = draw::corrected(trial.file.trial())
        .iter()
        .filter_map(read)
        .collect();
    all[all.len().saturating_sub(WATERS)..].to_vec()
}

/// The worse of two glasses, and of a glass and a cock.
fn lower(reading: &Reading) -> Option<(Option<f64>, Option<&'static str>)> {
    let seen = [reading.level_seen, reading.level_second_seen];
    if seen.contains(&Some(Seen::Below)) || reading.cock_bottom == Some(calc::trial::Cock::Steam) {
        return Some((None, Some("below")));
    }
    let mm = match (reading.level_mm, reading.level_second_mm) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    };
    match (mm, seen) {
        (Some(mm), _) => Some((Some(mm), None)),
        (None, seen) if seen.contains(&Some(Seen::Above)) => Some((None, Some("above"))),
        (None, [None, None]) => None,
        (None, _) => Some((None, Some("in-glass"))),
    }
}

fn stands(trial: &Judged) -> Vec<Stands> {
    trial
        .judged
        .standing()
        .iter()
        .filter(|f| f.severity != Severity::Note)
        .map(|f| Stands {
            rule: f.rule.name(),
            severity: f.severity.word(),
            seen: f.acknowledged.is_some()
                || (f.severity != Severity::Stop && quieten::now(trial, f.rule.name()).is_some()),
        })
        .collect()
}

fn words(trial: &Judged) -> Vec<Words> {
    RULES
        .iter()
        .map(|rule| {
            let shout = orders::shout(rule, trial.has_fire());
            Words {
                rule,
                first: shout.first,
                second: shout.second,
                huge: shout.huge,
                about: orders::about(rule),
                todo: remedy::without_more(rule),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lower_of_two_glasses_is_handed_over() {
        let both = Reading {
            level_mm: Some(20.0),
            level_second_mm: Some(14.0),
            ..Reading::default()
        };
        assert_eq!(lower(&both), Some((Some(14.0), None)));
        let below = Reading {
            level_second_seen: Some(Seen::Below),
            ..both
        };
        assert_eq!(lower(&below), Some((None, Some("below"))));
        assert_eq!(lower(&Reading::default()), None);
    }

    #[test]
    fn nothing_that_a_phone_says_by_itself_orders_feed() {
        for rule in RULES {
            let todo = remedy::without_more(rule).to_lowercase();
            assert!(!todo.contains("feed now"), "{rule}: {todo}");
        }
    }
}
