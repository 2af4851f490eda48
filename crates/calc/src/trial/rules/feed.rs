//! The feed: does it gain, and how long will its tank last?

use super::{Finding, Severity, View};
use crate::show;
use crate::trial::remedy;

/// Feed left in the tank that is too little, s.
const TANK_LOW_S: f64 = 600.0;

pub(super) fn not_gaining(view: &View) -> Option<Finding> {
    let facts = view.facts;
    if facts.works.tank_empty && facts.feed_on() && view.runway.is_none() {
        return None;
    }
    let since = facts.works.feed_since_s?;
    let line = facts.stretches.running();
    let limits = &view.setup.trial.limits;
    let short = view
        .runway
        .is_some_and(|r| r.least_s < 2.0 * limits.runway_caution_s);
    if line.n < 3 || view.t_s - since < 2.0 * view.usual_gap_s || !short {
        return None;
    }
    let (slope, u) = line.slope()?;
    if slope + 2.0 * u >= 0.0 {
        return None;
    }
    let says = "The feed is on, yet the water still falls.";
    Some(
        Finding::new(
            Severity::Caution,
            says,
            remedy::feed_not_gaining(view.out_of_sight()),
        )
        .with("slope_kg_h", (slope * 100.0).round() / 100.0)
        .with("plus_minus", (2.0 * u * 100.0).round() / 100.0)
        .with("readings", f64::from(line.n)),
    )
}

pub(super) fn not_gaining_clears(view: &View) -> bool {
    let rises = view
        .facts
        .stretches
        .running()
        .slope()
        .is_some_and(|(b, u)| b - 2.0 * u > 0.0);
    rises || !view.facts.feed_on()
}

pub(super) fn tank_low(view: &View) -> Option<Finding> {
    if view.facts.works.tank_empty {
        return Some(Finding::new(
            Severity::Caution,
            "The feed tank is empty.",
            remedy::TANK,
        ));
    }
    let left = view.facts.works.tank_left_s(view.t_s)?;
    (left < TANK_LOW_S).then(|| {
        let says = format!("Feed left in the tank for {}.", show::span(left));
        Finding::new(Severity::Caution, says, remedy::TANK).with("left_s", left.round())
    })
}

pub(super) fn tank_low_clears(view: &View) -> bool {
    !view.facts.works.tank_empty && view.facts.works.tank_fresh()
}
