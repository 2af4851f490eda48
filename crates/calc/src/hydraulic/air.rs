//! How much air was left in a shell, from how much water had to be pumped in.

use super::{FullShell, SOURCE, drift};
use crate::Unusable;
use crate::air::isentropic_joules;
use crate::answer::{Answer, Finding, Limit};
use crate::properties::barometer;
use crate::quantity::{Absolute, Gauge, Temperature};
use crate::unusable::{slip, within};

/// A shell pumped up from no pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pumped {
    /// The shell.
    pub shell: FullShell,
    /// Whole inside, ml.
    pub shell_ml: f64,
    /// Water pumped in, ml.
    pub pumped_ml: f64,
    /// Standard uncertainty of the pumped volume, ml.
    pub u_pumped_ml: f64,
    /// Reached, on the gauge.
    pub pressure: Gauge,
    /// Of the day.
    pub barometer: Absolute,
    /// Of the water.
    pub water: Temperature,
}

/// Air that was left in a full shell.
///
/// # Formula
/// `V_elastic = V (κ_T + κ_sh) Δp`, `V_a0 = (V_pumped − V_elastic) / (1 − p_0/p)`; its stored energy
/// is the isentropic one of the bubble under pressure.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `shell_ml` | whole inside V | ml | 0.1 to 10 000 000 |
/// | `pumped_ml` | pumped in | ml | 0 to V |
/// | `u_pumped_ml` | its standard uncertainty | ml | 0 to V |
/// | `pressure` | reached | bar | 0.01 to 40 |
/// | `water` | its temperature | °C | 0 to 99 |
///
/// # Errors
/// [`Unusable`] names the field; `pumped_less_than_elastic_check_geometry_or_gauge` where even twice
/// the uncertainty does not bring the pumped volume up to what water and shell alone take.
///
/// # Source
/// Elasticity as [`drift`]; bubble isothermal. Limits 0.5, 2 and 5 % of the volume: trade practice.
///
/// # Example
/// ```
/// use calc::hydraulic::{FullShell, Metal, Pumped, trapped_air};
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// let answer = trapped_air(&Pumped {
///     shell: FullShell { bore_mm: 100.0, wall_mm: 2.5, metal: Metal::COPPER, compliance_factor: 1.0 },
///     shell_ml: 2000.0,
///     pumped_ml: 40.0,
///     u_pumped_ml: 0.0,
///     pressure: Gauge::from_bar(12.0),
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     water: Temperature::from_celsius(20.0),
/// })?;
/// assert!(answer.number("air_at_atm_ml").is_some_and(|v| (v - 41.4).abs() < 0.1));
/// assert_eq!(answer.verdict, Some(calc::answer::Finding::Caution));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn trapped_air(asked: &Pumped) -> Result<Answer, Unusable> {
    let volume = within("V_ml", asked.shell_ml, 0.1, 1e7)?;
    let pumped = within("pumped_ml", asked.pumped_ml, 0.0, 1e7)?;
    let u = within("u_pumped_ml", asked.u_pumped_ml, 0.0, 1e7)?;
    let rise = within("p_gauge_bar", asked.pressure.bar(), 0.01, 40.0)? * 1e5;
    let p0 = barometer(asked.barometer)?;
    let p = asked.pressure.above(p0);
    let d = drift(&asked.shell, asked.water, None)?;
    let elastic = volume * (d.water_per_pa + d.shell_per_pa) * rise;
    if pumped + 2.0 * u < elastic {
        return Err(slip(
            "pumped_less_than_elastic_check_geometry_or_gauge",
            "pumped_ml",
            "less was pumped in than water and shell alone would take; look at the bore, the wall, the volume and the gauge",
        ));
    }
    let taken = 1.0 - p0.pascals() / p.pascals();
    let air = (pumped - elastic).max(0.0) / taken;
    let percent = air / volume * 100.0;
    let squeezed_m3 = air * 1e-6 * p0.pascals() / p.pascals();
    let energy = isentropic_joules(p, p0, squeezed_m3, 1.4);
    let mut answer = Answer::of(SOURCE);
    show(&mut answer, asked, [elastic, air, percent], &d);
    answer.put("elastic_ml", elastic, "ml");
    answer.put_about(
        "air_at_atm_ml",
        air,
        (u > 0.0).then_some(2.0 * u / taken),
        "ml",
    );
    answer.put("air_pct_of_volume", percent, "%");
    answer.put("air_stored_energy_J", energy, "J");
    answer.verdict = Some(match percent {
        p if p > 5.0 => Finding::Stop,
        p if p > 2.0 => Finding::Caution,
        p if p > 0.5 => Finding::Note,
        _ => Finding::Ok,
    });
    answer.limit = Some(Limit {
        is: "air left in the shell",
        value: 2.0,
        unit: "% of the volume",
        source: "trade practice",
    });
    if percent > 0.5 {
        answer.say(
            "Air hides leaks and stores energy: vent at the highest point, tilt, and pump again.",
        );
    }
    answer.cautions = &["vent_all_air", "stand_clear", "defer_to_codes"];
    Ok(answer)
}

fn show(answer: &mut Answer, asked: &Pumped, [elastic, air, percent]: [f64; 3], d: &super::Drift) {
    let rise = asked.pressure.pascals();
    let (volume, pumped) = (asked.shell_ml, asked.pumped_ml);
    answer.step(
        "V_elastic = V × (κ_T + κ_sh) × Δp",
        &[
            ("V", volume),
            ("κ_T", d.water_per_pa),
            ("κ_sh", d.shell_per_pa),
            ("Δp", rise),
        ],
        elastic,
        "ml",
    );
    let p0 = asked.barometer.pascals();
    answer.step(
        "V_a = max(V_pumped − V_elastic, 0) / (1 − p_0 / (p_0 + Δp))",
        &[
            ("V_pumped", pumped),
            ("V_elastic", elastic),
            ("p_0", p0),
            ("Δp", rise),
        ],
        air,
        "ml",
    );
    let symbols = [("V_a", air), ("V", volume)];
    answer.step("part = V_a / V × 100", &symbols, percent, "%");
}
