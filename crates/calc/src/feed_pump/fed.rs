//! Feed by counting strokes, or by the level of the tank.

use super::{Acting, show_swept, working_area};
use crate::Unusable;
use crate::answer::Answer;
use crate::properties;
use crate::quantity::Temperature;
use crate::unusable::within;

/// Strokes counted on a pump that was measured before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strokes {
    /// Bore, mm.
    pub bore_mm: f64,
    /// Stroke, mm.
    pub stroke_mm: f64,
    /// Rod, mm.
    pub rod_mm: f64,
    /// Faces that work.
    pub acting: Acting,
    /// Cycles counted.
    pub cycles: f64,
    /// Water delivered over water swept, as a catch had it.
    pub efficiency: f64,
    /// Relative standard uncertainty of that.
    pub u_efficiency: f64,
    /// Of the water in the tank.
    pub water: Temperature,
}

/// Feed by counting strokes.
///
/// # Formula
/// `m = n V_sw η_v ρ(T)`, `U = 2 m √(u_η² + (0.5/n)²)`
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `bore_mm`, `stroke_mm`, `rod_mm` | sizes | mm | 0.5 to 1000; rod under the bore |
/// | `cycles` | n | – | 1 to 1 000 000 |
/// | `efficiency` | η_v, from a catch and not assumed | – | 0 to 1.05 |
/// | `u_efficiency` | u_η, relative | – | 0 to 1 |
/// | `water` | T | °C | 0 to 99 |
///
/// # Errors
/// [`Unusable`] names the field; `rod_not_smaller_than_bore`.
///
/// # Source
/// Geometry; JCGM 100:2008.
///
/// # Example
/// ```
/// use calc::feed_pump::{Acting, Strokes, by_strokes};
/// use calc::quantity::Temperature;
/// let answer = by_strokes(&Strokes {
///     bore_mm: 6.0,
///     stroke_mm: 15.0,
///     rod_mm: 0.0,
///     acting: Acting::Single,
///     cycles: 1000.0,
///     efficiency: 0.85,
///     u_efficiency: 0.03,
///     water: Temperature::from_celsius(20.0),
/// })?;
/// assert!(answer.number("feed_kg").is_some_and(|m| (m - 0.36).abs() < 0.001));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn by_strokes(asked: &Strokes) -> Result<Answer, Unusable> {
    let area = working_area(asked.bore_mm, asked.rod_mm, asked.acting)?;
    let stroke = within("stroke_mm", asked.stroke_mm, 0.5, 1000.0)?;
    let cycles = within("cycles", asked.cycles, 1.0, 1e6)?;
    let efficiency = within("vol_eff", asked.efficiency, 0.0, 1.05)?;
    let u = within("u_vol_eff_rel", asked.u_efficiency, 0.0, 1.0)?;
    let rho = 1.0 / properties::cold("T_C", asked.water)?.volume_m3_kg;
    let swept = area * stroke / 1000.0;
    let kg = cycles * swept * efficiency * rho * 1e-6;
    let mut answer = Answer::of("Geometry; JCGM 100:2008");
    let sizes = [asked.bore_mm, asked.rod_mm, stroke];
    show_swept(&mut answer, sizes, asked.acting, swept);
    answer.step(
        "m = n × V_sw × η_v × ρ / 1000000",
        &[
            ("n", cycles),
            ("V_sw", swept),
            ("η_v", efficiency),
            ("ρ", rho),
        ],
        kg,
        "kg",
    );
    answer.put_about("feed_kg", kg, Some(2.0 * kg * u.hypot(0.5 / cycles)), "kg");
    answer.put("swept_ml_per_cycle", swept, "ml");
    Ok(answer)
}

/// The level of a feed tank before and after.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TankFall {
    /// Surface of the water in the tank, cm².
    pub surface_cm2: f64,
    /// How far it fell, mm.
    pub fall_mm: f64,
    /// Poured in meanwhile, ml.
    pub added_ml: f64,
    /// Standard uncertainty of the fall, mm.
    pub u_fall_mm: f64,
    /// Of the water in the tank.
    pub water: Temperature,
}

/// Feed by the fall of the tank.
///
/// # Formula
/// `m = (A Δh + V_added) ρ(T)`, `U = 2 A u_h ρ`
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `surface_cm2` | A | cm² | 0.1 to 100 000 |
/// | `fall_mm` | Δh | mm | −10 000 to 10 000 |
/// | `added_ml` | poured in | ml | 0 to 10 000 000 |
/// | `u_fall_mm` | u_h | mm | 0 to 100 |
/// | `water` | T | °C | 0 to 99 |
///
/// # Errors
/// [`Unusable`] names the field; `tank_gained_more_than_was_added`.
///
/// # Source
/// Geometry; JCGM 100:2008.
///
/// # Example
/// ```
/// use calc::feed_pump::{TankFall, by_tank};
/// use calc::quantity::Temperature;
/// let answer = by_tank(&TankFall {
///     surface_cm2: 100.0,
///     fall_mm: 20.0,
///     added_ml: 500.0,
///     u_fall_mm: 0.5,
///     water: Temperature::from_celsius(20.0),
/// })?;
/// assert!(answer.number("feed_kg").is_some_and(|m| (m - 0.6987).abs() < 0.0001));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn by_tank(asked: &TankFall) -> Result<Answer, Unusable> {
    let area = within("tank_cm2", asked.surface_cm2, 0.1, 1e5)?;
    let fall = within("fall_mm", asked.fall_mm, -1e4, 1e4)?;
    let added = within("added_ml", asked.added_ml, 0.0, 1e7)?;
    let u = within("u_fall_mm", asked.u_fall_mm, 0.0, 100.0)?;
    let rho = 1.0 / properties::cold("T_C", asked.water)?.volume_m3_kg;
    let kg = (area * fall / 10.0 + added) * rho * 1e-6;
    let expanded = 2.0 * area * u / 10.0 * rho * 1e-6;
    if kg < -expanded {
        return Err(crate::unusable::slip(
            "tank_gained_more_than_was_added",
            "fall_mm",
            "the tank rose by more than was poured into it",
        ));
    }
    let mut answer = Answer::of("Geometry; JCGM 100:2008");
    answer.step(
        "m = (A × Δh / 10 + V_added) × ρ / 1000000",
        &[("A", area), ("Δh", fall), ("V_added", added), ("ρ", rho)],
        kg,
        "kg",
    );
    answer.put_about("feed_kg", kg, Some(expanded), "kg");
    Ok(answer)
}
