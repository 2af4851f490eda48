//! What each kind of trial must show, and the figures that come of it.
//!
//! A kind gives its own reasons to fail and to doubt; what holds for every kind stands in
//! [`super::verdict`].

mod air;
mod burner;
mod engine_run;
mod feed_pump;
mod gauge;
mod hydraulic;
mod running_in;
mod safety_valve;
pub(super) mod shell;
mod steam;

use super::Kind;
use super::assessment::{Figure, Flag};
use super::facts::Facts;

/// The reasons a kind gives.
#[derive(Clone, Debug, Default)]
pub(super) struct Grounds {
    /// What must not be was shown.
    pub(super) failed: Vec<String>,
    /// What was to be shown was not.
    pub(super) doubts: Vec<String>,
    /// What was shown, and what is worth knowing beside it.
    pub(super) remarks: Vec<String>,
}

impl Grounds {
    fn fail(&mut self, says: impl Into<String>) {
        self.failed.push(says.into());
    }

    fn doubt(&mut self, says: impl Into<String>) {
        self.doubts.push(says.into());
    }

    fn remark(&mut self, says: impl Into<String>) {
        self.remarks.push(says.into());
    }

    /// Doubts unless it is so.
    fn need(&mut self, met: bool, says: &str) {
        if !met {
            self.doubt(says);
        }
    }
}

/// What the kind of this trial says of it.
pub(super) fn judge(facts: &Facts, flags: &[Flag], end_s: f64) -> Grounds {
    let mut grounds = Grounds::default();
    match facts.setup.trial.kind {
        Kind::Hydraulic => hydraulic::judge(facts, &mut grounds),
        Kind::Air => air::judge(facts, &mut grounds),
        Kind::SafetyValve => safety_valve::judge(facts, &mut grounds),
        Kind::FeedPump => feed_pump::judge(facts, &mut grounds),
        Kind::Burner => burner::judge(facts, flags, end_s, &mut grounds),
        Kind::EngineRun => engine_run::judge(facts, end_s, &mut grounds),
        Kind::Steam => {}
    }
    gauge::remark(facts, &mut grounds);
    grounds
}

/// The figures that only this kind gives.
pub(super) fn figures(facts: &Facts, end_s: f64, out: &mut Vec<Figure>) {
    match facts.setup.trial.kind {
        Kind::Hydraulic => hydraulic::figures(facts, out),
        Kind::Air => air::figures(facts, out),
        _ => steam::figures(facts, out),
    }
    feed_pump::figures(facts, out);
    engine_run::figures(facts, end_s, out);
}

/// Share of what the pump sweeps that slips by, by the catch that is judged, and when.
pub(super) fn pump_slip(facts: &Facts) -> Option<(f64, f64)> {
    feed_pump::slip(facts)
}

/// What the jet should pass, g/min.
pub(super) fn by_jet(facts: &Facts) -> Option<f64> {
    burner::by_jet(facts)
}

/// A figure over a span of the log.
pub(super) fn figure(
    name: &'static str,
    value: f64,
    plus_minus: Option<f64>,
    unit: &'static str,
    (from_s, to_s): (f64, f64),
) -> Figure {
    Figure {
        name,
        value,
        plus_minus,
        unit,
        from_s,
        to_s,
    }
}
