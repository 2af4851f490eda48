//! The bank of four hypotheses: feed works or has failed, with or without a leak.

use crate::normal;

/// Number of hypotheses.
pub(super) const MODES: usize = 4;
/// Bit set in the number of a hypothesis in which the feed has failed.
const FAILED: usize = 1;
/// Bit set in the number of a hypothesis in which water leaves by an unknown way.
const LEAK: usize = 2;

const FEED_FAILS_PER_H: f64 = 0.3;
const LEAK_OPENS_PER_H: f64 = 0.1;
const LEAK_HEALS_PER_H: f64 = 0.5;
const FEED_FOUND_DEAD: f64 = 0.07;
const MISREAD: f64 = 0.02;
/// Chance of a leak after two readings running far under all that was foreseen.
const LEAK_BY_RESEAT: f64 = 0.7;
const LEAST_WEIGHT: f64 = 1e-7;

/// Places of the state: water kg, steam drawn kg/h at reference pressure, feed kg/h, leak kg/h.
pub(super) const M: usize = 0;
pub(super) const K: usize = 1;
pub(super) const F: usize = 2;
pub(super) const L: usize = 3;

pub(super) type Vector = [f64; 4];
pub(super) type Matrix = [[f64; 4]; 4];

/// One hypothesis: mean, covariance, weight.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mode {
    pub(super) x: Vector,
    pub(super) p: Matrix,
    pub(super) w: f64,
}

/// What goes on between two entries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Regime {
    /// Steam drawn, as a multiple of the draw at reference pressure.
    pub(super) draw: f64,
    /// Is the feed on?
    pub(super) feed: bool,
}

/// The bank.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bank {
    pub(super) modes: [Mode; MODES],
    /// The draw everything is scaled by, kg/h.
    pub(super) k0: f64,
}

impl Bank {
    /// Starts at the first level.
    pub(super) fn start(mass_kg: f64, mass_sd: f64, k0: f64, k_sd: f64) -> Self {
        let weights = [0.997, 0.001, 0.001, 1e-6];
        let mut bank = Self {
            modes: [Mode {
                x: [0.0; 4],
                p: [[0.0; 4]; 4],
                w: 0.0,
            }; 4],
            k0,
        };
        for (number, mode) in bank.modes.iter_mut().enumerate() {
            mode.w = weights[number];
            mode.x = [mass_kg, k0, 2.5 * k0, 0.0];
            mode.p[M][M] = mass_sd * mass_sd;
            mode.p[K][K] = k_sd * k_sd;
            mode.p[F][F] = k0 * k0;
            if number & LEAK != 0 {
                leak_afresh(mode, k0);
            }
        }
        bank
    }

    /// Forgets what was believed of draw and feed, keeps the water.
    pub(super) fn expect(&mut self, k0: f64, k_sd: f64) {
        self.k0 = k0;
        for mode in &mut self.modes {
            forget(mode, K, k0, k_sd);
            forget(mode, F, 2.5 * k0, k0);
        }
    }

    /// Adds doubt to one place of the state, as a variance.
    pub(super) fn doubt(&mut self, place: usize, variance: f64) {
        for mode in &mut self.modes {
            mode.p[place][place] += variance;
        }
    }

    /// The feed begins: it may be found dead, whatever went before.
    pub(super) fn feed_on(&mut self) {
        self.feed_off();
        for leak in [0, LEAK] {
            let both = self.modes[leak].w + self.modes[leak | FAILED].w;
            let (works, failed) = ((1.0 - FEED_FOUND_DEAD) * both, FEED_FOUND_DEAD * both);
            self.modes[leak | FAILED] = self.modes[leak];
            self.modes[leak].w = works.max(LEAST_WEIGHT);
            self.modes[leak | FAILED].w = failed.max(LEAST_WEIGHT);
        }
        let k0 = self.k0;
        for mode in &mut self.modes {
            mode.p[F][F] += (0.15 * mode.x[F]).powi(2) + (0.1 * k0).powi(2);
        }
    }

    /// The feed ends: whether it had failed no longer matters.
    pub(super) fn feed_off(&mut self) {
        for leak in [0, LEAK] {
            let joined = merge(&[self.modes[leak], self.modes[leak | FAILED]]);
            self.modes[leak] = joined;
            self.modes[leak | FAILED] = Mode {
                w: LEAST_WEIGHT,
                ..joined
            };
        }
    }

    /// Water put in by hand, kg, with its sd.
    pub(super) fn add(&mut self, kg: f64, sd: f64) {
        for mode in &mut self.modes {
            mode.x[M] += kg;
            mode.p[M][M] += sd * sd;
        }
    }

    /// Carries the bank over `hours` under `regime`.
    pub(super) fn predict(&mut self, hours: f64, regime: Regime) {
        if hours <= 0.0 {
            return;
        }
        self.mix(hours, regime.feed);
        let k0 = self.k0;
        for (number, mode) in self.modes.iter_mut().enumerate() {
            let feeding = if regime.feed && number & FAILED == 0 {
                1.0
            } else {
                0.0
            };
            let leaking = if number & LEAK != 0 { 1.0 } else { 0.0 };
            let rate = [0.0, -regime.draw, feeding, -leaking];
            carry(mode, hours, rate);
            mode.p[M][M] += (0.02 * k0).powi(2) * hours;
            mode.p[K][K] += (0.25 * k0).powi(2) * hours;
            if regime.feed {
                mode.p[F][F] += (0.3 * k0).powi(2) * hours;
            }
            mode.p[L][L] += leaking * (0.125 * k0).powi(2) * hours;
        }
    }

    /// Lets hypotheses turn into one another, as feeds fail and leaks open.
    fn mix(&mut self, hours: f64, feed: bool) {
        let turns = |per_h: f64| 1.0 - (-per_h * hours).exp();
        let (opens, heals) = (turns(LEAK_OPENS_PER_H), turns(LEAK_HEALS_PER_H));
        let flips = if feed { turns(FEED_FAILS_PER_H) } else { 0.0 };
        let before = self.modes;
        for to in 0..MODES {
            let parts: [Mode; MODES] = std::array::from_fn(|from| {
                let leak = match (from & LEAK != 0, to & LEAK != 0) {
                    (false, true) => opens,
                    (true, false) => heals,
                    (false, false) => 1.0 - opens,
                    (true, true) => 1.0 - heals,
                };
                let dead = if from & FAILED == to & FAILED {
                    1.0 - flips
                } else {
                    flips
                };
                let mut part = before[from];
                part.w *= leak * dead;
                match (from & LEAK != 0, to & LEAK != 0) {
                    (false, true) => leak_afresh(&mut part, self.k0),
                    (true, false) => forget(&mut part, L, 0.0, 0.0),
                    _ => {}
                }
                part
            });
            self.modes[to] = merge(&parts);
        }
        self.level_weights();
    }

    /// Takes in a weight of water read from the glass. Answers how likely it was a misread (0 to 1).
    pub(super) fn update(&mut self, mass_kg: f64, variance: f64, glass_kg: f64) -> f64 {
        let stray = MISREAD / (1.3 * glass_kg);
        let mut bad_sum = 0.0;
        let mut all = 0.0;
        for mode in &mut self.modes {
            let s = mode.p[M][M] + variance;
            let nu = mass_kg - mode.x[M];
            let good = (1.0 - MISREAD) * normal::density(nu, s);
            let trust = good / (good + stray);
            let gain: Vector = std::array::from_fn(|i| mode.p[i][M] / s);
            let row = mode.p[M];
            for i in 0..4 {
                mode.x[i] += trust * gain[i] * nu;
                for j in 0..4 {
                    mode.p[i][j] += -trust * gain[i] * row[j]
                        + trust * (1.0 - trust) * gain[i] * gain[j] * nu * nu;
                }
            }
            bad_sum += mode.w * stray;
            all += mode.w * (good + stray);
            mode.w *= good + stray;
        }
        self.hold_to_sense();
        self.level_weights();
        if all > 0.0 { bad_sum / all } else { 1.0 }
    }

    /// Two readings running stray to one side of all that was foreseen: the water is where the second
    /// says. Where it went faster than draw and feed explain, a leak is the likelier story.
    pub(super) fn reseat(
        &mut self,
        mass_kg: f64,
        variance: f64,
        lost_kg_h: Option<f64>,
        regime: Regime,
    ) {
        for number in 0..MODES {
            let (rate, _, _) = self.loss(number, regime);
            let mode = &mut self.modes[number];
            forget(mode, M, mass_kg, variance.sqrt());
            if number & LEAK != 0 {
                let leak = lost_kg_h
                    .map_or(0.0, |lost| lost - (rate - mode.x[L]))
                    .max(0.0);
                forget(mode, L, leak, 0.5 * leak + 0.3 * self.k0);
            }
        }
        if lost_kg_h.is_some() {
            let leaking = self.leaking();
            for (number, mode) in self.modes.iter_mut().enumerate() {
                mode.w *= if number & LEAK != 0 {
                    LEAK_BY_RESEAT / leaking
                } else {
                    (1.0 - LEAK_BY_RESEAT) / (1.0 - leaking).max(LEAST_WEIGHT)
                };
            }
        }
        self.level_weights();
    }

    /// Takes in that the water stood past an end of the glass, of which `end_kg` is the weight.
    pub(super) fn seen_past(&mut self, end_kg: f64, above: bool, variance: f64, glass_kg: f64) {
        let before = *self;
        self.update(end_kg, variance, glass_kg);
        for (mode, was) in self.modes.iter_mut().zip(before.modes) {
            let agrees = if above {
                was.x[M] >= end_kg
            } else {
                was.x[M] <= end_kg
            };
            if agrees {
                *mode = Mode {
                    w: was.w / (1.3 * glass_kg),
                    ..was
                };
            }
        }
        self.level_weights();
    }

    fn hold_to_sense(&mut self) {
        let least = 0.02 * self.k0;
        for mode in &mut self.modes {
            mode.x[K] = mode.x[K].max(least);
            mode.x[F] = mode.x[F].max(least);
            mode.x[L] = mode.x[L].max(0.0);
            mode.x[M] = mode.x[M].max(0.0);
            for i in 0..4 {
                mode.p[i][i] = mode.p[i][i].max(0.0);
                for j in 0..i {
                    let middle = (mode.p[i][j] + mode.p[j][i]) / 2.0;
                    mode.p[i][j] = middle;
                    mode.p[j][i] = middle;
                }
            }
        }
    }

    fn level_weights(&mut self) {
        let sum: f64 = self.modes.iter().map(|m| m.w).sum();
        let usable = sum.is_finite() && sum > 0.0;
        for mode in &mut self.modes {
            mode.w = if usable {
                (mode.w / sum).max(LEAST_WEIGHT)
            } else {
                0.25
            };
        }
        let sum: f64 = self.modes.iter().map(|m| m.w).sum();
        for mode in &mut self.modes {
            mode.w /= sum;
        }
    }

    /// Mean of one place of the state over the bank.
    pub(super) fn mean(&self, place: usize) -> f64 {
        self.modes.iter().map(|m| m.w * m.x[place]).sum()
    }

    /// Variance of one place of the state over the bank.
    pub(super) fn variance(&self, place: usize) -> f64 {
        let mean = self.mean(place);
        self.modes
            .iter()
            .map(|m| m.w * (m.p[place][place] + (m.x[place] - mean).powi(2)))
            .sum()
    }

    /// Chance that water leaves by a way that nobody has entered.
    pub(super) fn leaking(&self) -> f64 {
        self.modes[LEAK].w + self.modes[FAILED | LEAK].w
    }

    /// Rate of loss in one hypothesis, kg/h, with its variance and its covariance with the water.
    pub(super) fn loss(&self, number: usize, regime: Regime) -> (f64, f64, f64) {
        let mode = &self.modes[number];
        let feeding = if regime.feed && number & FAILED == 0 {
            1.0
        } else {
            0.0
        };
        let leaking = if number & LEAK != 0 { 1.0 } else { 0.0 };
        let c = [0.0, regime.draw, -feeding, leaking];
        let rate = (0..4).map(|i| c[i] * mode.x[i]).sum();
        let variance = (0..4)
            .map(|i| (0..4).map(|j| c[i] * mode.p[i][j] * c[j]).sum::<f64>())
            .sum::<f64>()
            .max(0.0);
        let with_mass = (0..4).map(|i| c[i] * mode.p[i][M]).sum();
        (rate, variance, with_mass)
    }
}

/// A leak about which nothing is known yet but that it matters.
fn leak_afresh(mode: &mut Mode, k0: f64) {
    forget(mode, L, k0, 0.8 * k0);
}

/// Sets one place of the state anew and cuts its ties to the others.
fn forget(mode: &mut Mode, place: usize, mean: f64, sd: f64) {
    mode.x[place] = mean;
    for i in 0..4 {
        mode.p[place][i] = 0.0;
        mode.p[i][place] = 0.0;
    }
    mode.p[place][place] = sd * sd;
}

/// Moves the water by `rate · state` over `hours`, and the covariance with it.
fn carry(mode: &mut Mode, hours: f64, rate: Vector) {
    let step: Vector = std::array::from_fn(|i| rate[i] * hours);
    mode.x[M] += (0..4).map(|i| step[i] * mode.x[i]).sum::<f64>();
    mode.x[M] = mode.x[M].max(0.0);
    let with: Vector =
        std::array::from_fn(|i| mode.p[i][M] + (0..4).map(|j| step[j] * mode.p[i][j]).sum::<f64>());
    let own = with[M] + (1..4).map(|j| step[j] * with[j]).sum::<f64>();
    for (i, covariance) in with.into_iter().enumerate().skip(1) {
        mode.p[i][M] = covariance;
        mode.p[M][i] = covariance;
    }
    mode.p[M][M] = own.max(0.0);
}

/// One Gaussian with the mean and covariance of the mixture.
fn merge(parts: &[Mode]) -> Mode {
    let w: f64 = parts.iter().map(|m| m.w).sum();
    if w <= 0.0 {
        return Mode { w: 0.0, ..parts[0] };
    }
    let x: Vector = std::array::from_fn(|i| parts.iter().map(|m| m.w * m.x[i]).sum::<f64>() / w);
    let p: Matrix = std::array::from_fn(|i| {
        std::array::from_fn(|j| {
            let spread = |m: &Mode| m.p[i][j] + (m.x[i] - x[i]) * (m.x[j] - x[j]);
            parts.iter().map(|m| m.w * spread(m)).sum::<f64>() / w
        })
    });
    Mode { x, p, w }
}
