//! The hydraulic test: how a full shell answers to heat, to a drop lost, to air left in it.
//!
//! A shell full of water is stiff: a kelvin is worth about two bar, and one drop a third of a bar in
//! two litres. So nothing is said of a hold without two temperatures, and a little air is looked for
//! first, because it hides both.

mod air;
mod drop;
mod hold;
mod proof;
mod target;

pub use air::{Pumped, trapped_air};
pub use drop::lost_drop;
pub use hold::{Hold, Seen, allowed_drop_bar, judge_hold};
pub(crate) use proof::show_gauge;
pub use proof::{Attained, proof_pressure};
pub use target::{Target, water_test_target};

use crate::Unusable;
use crate::answer::Answer;
use crate::properties;
use crate::quantity::{Absolute, Temperature};
use crate::unusable::{slip, within};

pub(crate) const SOURCE: &str =
    "Elasticity of a closed thin cylinder; water from IAPWS R7-97(2012)";

/// How a shell's metal gives and grows.
///
/// # Source
/// Handbook values at 20 °C. An alloy that is known may differ by some percent; a slope measured at
/// pump-up is better than any of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metal {
    /// Young's modulus, Pa.
    pub young_pa: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Expansion along a length, 1/K.
    pub expansion_per_k: f64,
}

impl Metal {
    /// Annealed copper (handbook values).
    pub const COPPER: Self = Self::of(117e9, 0.34, 16.9e-6);
    /// Carbon steel (handbook values).
    pub const STEEL: Self = Self::of(207e9, 0.29, 11.7e-6);
    /// Brass (handbook values).
    pub const BRASS: Self = Self::of(103e9, 0.35, 19.0e-6);
    /// Austenitic stainless steel (handbook values).
    pub const STAINLESS: Self = Self::of(193e9, 0.30, 16.5e-6);
    /// Bronze (handbook values).
    pub const BRONZE: Self = Self::of(110e9, 0.34, 18.0e-6);

    const fn of(young_pa: f64, poisson: f64, expansion_per_k: f64) -> Self {
        Self {
            young_pa,
            poisson,
            expansion_per_k,
        }
    }

    /// The metal of that name: copper, steel, brass, stainless or bronze.
    pub fn named(name: &str) -> Option<Self> {
        Some(match name {
            "copper" => Self::COPPER,
            "steel" => Self::STEEL,
            "brass" => Self::BRASS,
            "stainless" => Self::STAINLESS,
            "bronze" => Self::BRONZE,
            _ => return None,
        })
    }
}

/// A closed cylinder full of water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FullShell {
    /// Inside diameter, mm.
    pub bore_mm: f64,
    /// Wall, mm.
    pub wall_mm: f64,
    /// What it is made of.
    pub metal: Metal,
    /// How much softer it is than a plain cylinder: 1.0, and 1.3 with flat ends (trade practice).
    pub compliance_factor: f64,
}

/// Air left in a shell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrappedAir {
    /// As it would be at the atmosphere's pressure, ml.
    pub at_atmosphere_ml: f64,
    /// Of the whole inside, ml.
    pub shell_ml: f64,
    /// What the shell is at.
    pub pressure: Absolute,
    /// Of the day.
    pub barometer: Absolute,
}

/// How a full shell gives, and what heat does to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drift {
    /// Compressibility of the water, 1/Pa.
    pub water_per_pa: f64,
    /// Give of the shell, 1/Pa.
    pub shell_per_pa: f64,
    /// Expansion of the water, 1/K.
    pub water_per_k: f64,
    /// Expansion of the room inside the shell, 1/K.
    pub shell_per_k: f64,
    /// Give of the air, as a part of the whole inside, 1/Pa.
    pub air_per_pa: f64,
    /// Pressure that one kelvin makes, bar/K.
    pub bar_per_k: f64,
}

impl Drift {
    /// Everything that gives, 1/Pa.
    pub fn total_per_pa(&self) -> f64 {
        self.water_per_pa + self.shell_per_pa + self.air_per_pa
    }
}

/// Pressure that one kelvin makes in a full shell, with what it is made of.
///
/// # Formula
/// `κ_sh = f D/(t E) (5/4 − ν)`, `C = V (κ_T + κ_sh) + V_a0 p_0/p²`,
/// `dp/dT = [V (β − 3 α) + V_a/T] / C` with `V_a = V_a0 p_0/p`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `bore_mm` | inside diameter D | mm | 1 to 10 000 |
/// | `wall_mm` | wall t | mm | 0.01 to D/4 |
/// | `young_pa` | E | Pa | 1e9 to 1e12 |
/// | `poisson` | ν | – | 0 to 0.5 |
/// | `expansion_per_k` | α | 1/K | 0 to 0.0001 |
/// | `compliance_factor` | f | – | 0.1 to 10 |
/// | `at` | of the water | °C | 0 to 99 |
/// | `air` | trapped, if any | ml | 0 to the whole inside |
///
/// # Errors
/// [`Unusable`] names the field; `shell_too_thick` where D/t is under 4.
///
/// # Source
/// Thin closed cylinder under pressure (textbook elasticity); β and κ_T of IAPWS R7-97(2012) region 1
/// at one atmosphere.
///
/// # Example
/// A copper shell of 100 by 2.5 mm: two bar for every kelvin at 20 °C, and less than none at 7 °C.
/// ```
/// use calc::hydraulic::{FullShell, Metal, drift};
/// use calc::quantity::Temperature;
/// let shell = FullShell { bore_mm: 100.0, wall_mm: 2.5, metal: Metal::COPPER, compliance_factor: 1.0 };
/// let at = |c| drift(&shell, Temperature::from_celsius(c), None).map(|d| d.bar_per_k);
/// assert!((at(20.0)? - 2.03).abs() < 0.01);
/// assert!(at(7.0)? < 0.0);
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn drift(
    shell: &FullShell,
    at: Temperature,
    air: Option<TrappedAir>,
) -> Result<Drift, Unusable> {
    let bore = within("D_mm", shell.bore_mm, 1.0, 10_000.0)?;
    let wall = within("wall_mm", shell.wall_mm, 0.01, 1000.0)?;
    if bore / wall < 4.0 {
        return Err(slip(
            "shell_too_thick",
            "wall_mm",
            "the shell is thicker than a quarter of its bore, which the formula does not cover",
        ));
    }
    let young = within("E_Pa", shell.metal.young_pa, 1e9, 1e12)?;
    let poisson = within("poisson", shell.metal.poisson, 0.0, 0.5)?;
    let alpha = within("alpha_per_K", shell.metal.expansion_per_k, 0.0, 1e-4)?;
    let factor = within("compliance_factor", shell.compliance_factor, 0.1, 10.0)?;
    let water = properties::cold("T_C", at)?;
    let shell_per_pa = factor * bore / (wall * young) * (1.25 - poisson);
    let (air_per_pa, air_per_k) = match air {
        None => (0.0, 0.0),
        Some(air) => air_terms(&air, at)?,
    };
    let give = water.compressibility_per_pa + shell_per_pa + air_per_pa;
    let growth = water.expansion_per_k - 3.0 * alpha + air_per_k;
    Ok(Drift {
        water_per_pa: water.compressibility_per_pa,
        shell_per_pa,
        water_per_k: water.expansion_per_k,
        shell_per_k: 3.0 * alpha,
        air_per_pa,
        bar_per_k: growth / give / 1e5,
    })
}

/// What trapped air adds to the give (1/Pa) and to the growth (1/K), both as parts of the inside.
fn air_terms(air: &TrappedAir, at: Temperature) -> Result<(f64, f64), Unusable> {
    let shell_ml = within("V_ml", air.shell_ml, 0.1, 1e7)?;
    let air_ml = within("air_ml", air.at_atmosphere_ml, 0.0, shell_ml)?;
    let p0 = properties::barometer(air.barometer)?.pascals();
    let p = within("p_Pa", air.pressure.pascals(), p0, 5e6)?;
    let part = air_ml / shell_ml;
    Ok((part * p0 / (p * p), part * p0 / p / at.kelvin()))
}

/// [`drift`] as an answer with its working.
///
/// # Formula
/// As [`drift`].
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `shell`, `at`, `air` | as [`drift`] | | |
///
/// # Errors
/// As [`drift`].
///
/// # Source
/// As [`drift`].
///
/// # Example
/// ```
/// use calc::hydraulic::{FullShell, Metal, shell_drift};
/// use calc::quantity::Temperature;
/// let shell = FullShell { bore_mm: 150.0, wall_mm: 5.0, metal: Metal::STEEL, compliance_factor: 1.0 };
/// let answer = shell_drift(&shell, Temperature::from_celsius(20.0), None)?;
/// assert!(answer.number("dp_dT_bar_per_K").is_some_and(|d| (d - 2.87).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn shell_drift(
    shell: &FullShell,
    at: Temperature,
    air: Option<TrappedAir>,
) -> Result<Answer, Unusable> {
    let d = drift(shell, at, air)?;
    let mut answer = Answer::of(SOURCE);
    show_give(&mut answer, shell, &d);
    answer.put("kappa_water_per_Pa", d.water_per_pa, "1/Pa");
    answer.put("kappa_shell_per_Pa", d.shell_per_pa, "1/Pa");
    answer.put("beta_water_per_K", d.water_per_k, "1/K");
    answer.put("kappa_air_per_Pa", d.air_per_pa, "1/Pa");
    answer.put("dp_dT_bar_per_K", d.bar_per_k, "bar/K");
    let zero = zero_drift_celsius(d.shell_per_k);
    answer.maybe("zero_drift_C", zero, "°C");
    if let Some(zero) = zero.filter(|z| at.degrees() < *z) {
        answer.say(format!(
            "Below {} °C the pressure falls as the water warms; never test steel below 15 °C.",
            crate::show::fixed(zero, 1)
        ));
    }
    answer.say(
        "A kelvin of drift in the water is worth this much on the gauge, with no leak at all.",
    );
    Ok(answer)
}

/// Water temperature at which water and shell grow alike, so that warmth makes no pressure.
fn zero_drift_celsius(shell_per_k: f64) -> Option<f64> {
    let over = |c: f64| {
        let water = properties::cold("T_C", Temperature::from_celsius(c)).ok()?;
        Some(water.expansion_per_k > shell_per_k)
    };
    let (mut low, mut high) = (0.0, 60.0);
    if over(low)? || !over(high)? {
        return None;
    }
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if over(middle)? {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(f64::midpoint(low, high))
}

/// The two lines of working that every answer about a full shell begins with.
pub(crate) fn show_give(answer: &mut Answer, shell: &FullShell, d: &Drift) {
    answer.step(
        "κ_sh = f × D / (t × E) × (1.25 − ν)",
        &[
            ("f", shell.compliance_factor),
            ("D", shell.bore_mm),
            ("t", shell.wall_mm),
            ("E", shell.metal.young_pa),
            ("ν", shell.metal.poisson),
        ],
        d.shell_per_pa,
        "1/Pa",
    );
    if d.air_per_pa == 0.0 {
        answer.step(
            "dp_dT = (β − β_sh) / (κ_T + κ_sh) / 100000",
            &[
                ("β", d.water_per_k),
                ("β_sh", d.shell_per_k),
                ("κ_T", d.water_per_pa),
                ("κ_sh", d.shell_per_pa),
            ],
            d.bar_per_k,
            "bar/K",
        );
    } else {
        let growth = d.bar_per_k * 1e5 * d.total_per_pa();
        answer.step(
            "dp_dT = (β − β_sh + β_air) / (κ_T + κ_sh + κ_air) / 100000",
            &[
                ("β", d.water_per_k),
                ("β_sh", d.shell_per_k),
                ("β_air", growth - d.water_per_k + d.shell_per_k),
                ("κ_T", d.water_per_pa),
                ("κ_sh", d.shell_per_pa),
                ("κ_air", d.air_per_pa),
            ],
            d.bar_per_k,
            "bar/K",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn warmth_makes_no_pressure_at_the_temperatures_of_the_table() {
        for (metal, wanted) in [
            (Metal::COPPER, 7.3),
            (Metal::STEEL, 6.2),
            (Metal::BRASS, 7.7),
        ] {
            let found = zero_drift_celsius(3.0 * metal.expansion_per_k).unwrap();
            assert!((found - wanted).abs() < 0.06, "{found} for {wanted}");
        }
    }

    /// D/t and bar per kelvin at 5, 10, 15, 20, 25 and 30 °C.
    type Row = (Metal, f64, [f64; 6]);

    #[test]
    fn a_kelvin_makes_what_the_printed_table_says() {
        let table: [Row; 4] = [
            (Metal::COPPER, 20.0, [-0.53, 0.59, 1.61, 2.54, 3.40, 4.19]),
            (Metal::COPPER, 60.0, [-0.36, 0.40, 1.07, 1.69, 2.25, 2.76]),
            (Metal::STEEL, 30.0, [-0.30, 0.86, 1.91, 2.87, 3.76, 4.57]),
            (Metal::BRASS, 50.0, [-0.44, 0.34, 1.04, 1.67, 2.25, 2.78]),
        ];
        for (metal, ratio, row) in table {
            let shell = FullShell {
                bore_mm: ratio * 2.0,
                wall_mm: 2.0,
                metal,
                compliance_factor: 1.0,
            };
            for (at, wanted) in [5.0, 10.0, 15.0, 20.0, 25.0, 30.0].into_iter().zip(row) {
                let found = drift(&shell, Temperature::from_celsius(at), None).unwrap();
                assert!(
                    (found.bar_per_k - wanted).abs() < 0.006,
                    "{found:?} at {at}"
                );
            }
        }
    }
}
