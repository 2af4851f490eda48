//! What the watch answers; nothing here changes it.

use super::bank::{M, Regime};
use super::{CALM_MM2, CREDIBLE, Runway, Watch, horizon};

/// As likely as not.
const LIKELY: f64 = 0.50;

impl Watch {
    /// The runway at `t_s`, if a fall to the low mark is credible and can be judged.
    pub(in crate::trial) fn runway(&self, t_s: f64, with_feed: bool) -> Option<Runway> {
        let bank = self.bank.as_ref()?;
        let w = self.working;
        // A loss needs no gauge to be seen: it is judged from the fire on, whether or not a pressure was read yet.
        if !self.pressed && self.lit_at_s.is_none() {
            return None;
        }
        if !(w.steam_taken || w.valve_lifted) && bank.leaking() < 0.5 {
            return None;
        }
        let regime = Regime {
            feed: w.feed_on && with_feed,
            ..self.regime()
        };
        let low = self.scale.mass_kg(self.scale.low_mark_mm, self.densities());
        let age = (t_s - self.at_s).max(0.0);
        let least = horizon::first_reach(bank, regime, low, CREDIBLE)?;
        let likely = horizon::first_reach(bank, regime, low, LIKELY);
        Some(Runway {
            least_s: (least - age).max(0.0),
            likely_s: likely.map(|s| (s - age).max(0.0)),
        })
    }

    /// Was the last reading one that nothing expected?
    pub(in crate::trial) fn strange(&self) -> bool {
        self.strange
    }

    /// Best estimate of the water, kg, with its standard uncertainty.
    pub(in crate::trial) fn mass(&self) -> Option<(f64, f64)> {
        self.bank
            .as_ref()
            .map(|b| (b.mean(M), b.variance(M).sqrt()))
    }

    /// The level that goes with the best estimate, taken low by one standard uncertainty, mm.
    pub(in crate::trial) fn low_level_mm(&self) -> Option<f64> {
        let (mass, u) = self.mass()?;
        Some(self.scale.level_mm(mass - u, self.densities()))
    }

    /// Fall of the level as things go on, mm a minute: best, shallow and steep (one sd either way).
    pub(in crate::trial) fn slope_mm_min(&self) -> Option<[f64; 3]> {
        let bank = self.bank.as_ref()?;
        let regime = self.regime();
        let (mut rate, mut square) = (0.0, 0.0);
        for (number, mode) in bank.modes.iter().enumerate() {
            let (r, v, _) = bank.loss(number, regime);
            rate += mode.w * r;
            square += mode.w * (v + r * r);
        }
        let sd = (square - rate * rate).max(0.0).sqrt();
        let per = 60.0 * self.scale.kg_per_mm(self.level_mm, self.densities());
        Some([-rate / per, -(rate - sd) / per, -(rate + sd) / per])
    }

    /// Weight of a level, and the variance of such a reading now: for rules that compare readings.
    pub(in crate::trial) fn weigh(&self, level_mm: f64) -> (f64, f64) {
        let d = self.densities();
        let millimetre = self.scale.kg_per_mm(level_mm, d);
        let surge = if self.working.steam_taken {
            self.surge_mm2
        } else {
            CALM_MM2
        };
        let step = self.resolution_mm * self.resolution_mm / 12.0;
        (
            self.scale.mass_kg(level_mm, d),
            millimetre * millimetre * (step + surge),
        )
    }

    /// Weight of a millimetre at the present level, kg.
    pub(in crate::trial) fn kg_per_mm(&self) -> f64 {
        self.scale.kg_per_mm(self.level_mm, self.densities())
    }

    /// The least and most that the boiler credibly draws by what was known before any level, kg/h.
    pub(in crate::trial) fn prior_draw_kg_h(&self) -> (f64, f64) {
        let spread = 1.64 * self.prior.ln_sd.hypot(0.2);
        (
            self.prior.kg_h * (-spread).exp(),
            self.prior.kg_h * spread.exp(),
        )
    }

    /// Steam drawn now as a multiple of the draw at reference pressure.
    pub(in crate::trial) fn draw_factor(&self) -> f64 {
        self.regime().draw
    }
}
