//! When the low mark may be reached: a quantile of the mixture.

use super::bank::{Bank, M, MODES, Regime};
use crate::normal;

/// The time looked ahead, s; what lies beyond is no news.
const FAR_S: f64 = 3600.0;
const NEAR_S: f64 = 20.0;

/// First time, s from the last filtered instant, by which the chance of the low mark having been
/// reached is at least `chance`.
pub(super) fn first_reach(bank: &Bank, regime: Regime, low_kg: f64, chance: f64) -> Option<f64> {
    let losses: [(f64, f64, f64); MODES] = std::array::from_fn(|i| bank.loss(i, regime));
    let wander = (0.25 * bank.k0 * regime.draw).powi(2);
    let reached = |seconds: f64| {
        let tau = seconds / 3600.0;
        let mut sum = 0.0;
        for (mode, (rate, variance, with_mass)) in bank.modes.iter().zip(losses) {
            let spread = mode.p[M][M] - 2.0 * with_mass * tau
                + variance * tau * tau
                + wander * tau.powi(3) / 3.0;
            let over = low_kg - mode.x[M] + rate * tau;
            sum += mode.w * normal::below(over / spread.max(1e-12).sqrt());
        }
        sum >= chance
    };
    if reached(0.0) {
        return Some(0.0);
    }
    let (mut before, mut after) = (0.0, NEAR_S);
    while !reached(after) {
        if after >= FAR_S {
            return None;
        }
        before = after;
        after = (after * 1.25).min(FAR_S);
    }
    for _ in 0..8 {
        let middle = (before + after) / 2.0;
        if reached(middle) {
            after = middle
        } else {
            before = middle
        }
    }
    Some(after)
}
