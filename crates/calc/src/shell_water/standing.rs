//! A standing shell.

use std::f64::consts::PI;

use super::{SOURCE, in_shell};
use crate::Unusable;
use crate::answer::Answer;
use crate::level::{Firebox, StandingTube, WaterSpace};
use crate::unusable::{slip, within};

/// A standing shell and a level in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Inside diameter, mm.
    pub bore_mm: f64,
    /// Level above the lowest inside point, mm.
    pub level_mm: f64,
    /// Outside diameters of the tubes, mm.
    pub tubes_mm: Vec<f64>,
    /// Firebox the water stands round: outside diameter and crown height, mm.
    pub firebox: Option<(f64, f64)>,
    /// Standard uncertainty of the level, mm.
    pub u_level_mm: f64,
}

/// Water in a standing shell with tubes through it.
///
/// # Formula
/// `V = (π/4)(D² − Σ d²) h`; with a firebox, its cylinder up to the crown and the tubes above it.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `bore_mm` | D | mm | 1 to 10 000 |
/// | `level_mm` | h | mm | 0 to 10 000 |
/// | `tubes_mm` | d | mm | inside the shell, together less than it |
/// | `firebox` | diameter and crown | mm | narrower than the shell |
///
/// # Errors
/// [`Unusable`] names the field; `level_outside_shell`, `tube_not_inside_shell`,
/// `firebox_not_inside_shell`.
///
/// # Source
/// Geometry.
///
/// # Example
/// ```
/// use calc::shell_water::{Standing, standing};
/// let answer = standing(&Standing {
///     bore_mm: 100.0,
///     level_mm: 80.0,
///     tubes_mm: vec![25.0],
///     firebox: None,
///     u_level_mm: 0.5,
/// })?;
/// assert!(answer.number("volume_ml").is_some_and(|v| (v - 589.05).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn standing(asked: &Standing) -> Result<Answer, Unusable> {
    let bore = within("D_inside_mm", asked.bore_mm, 1.0, 10_000.0)?;
    let level = in_shell("level_mm", asked.level_mm, 10_000.0)?;
    let u = within("u_level_mm", asked.u_level_mm, 0.0, 100.0)?;
    let disc = |d: f64| PI * d * d / 4.0;
    let tubes: f64 = asked.tubes_mm.iter().map(|d| disc(*d)).sum();
    let sound = asked.tubes_mm.iter().all(|d| *d > 0.0 && *d < bore);
    if !sound || tubes >= disc(bore) {
        return Err(slip(
            "tube_not_inside_shell",
            "through_tube_od_mm",
            "the tubes do not fit into the shell",
        ));
    }
    let firebox = match asked.firebox {
        None => None,
        Some((od, crown)) if od > 0.0 && od < bore && crown > 0.0 && crown < 10_000.0 => {
            Some(Firebox {
                od_mm: od,
                crown_mm: crown,
            })
        }
        Some(_) => {
            return Err(slip(
                "firebox_not_inside_shell",
                "firebox_od_mm",
                "the firebox does not fit into the shell",
            ));
        }
    };
    let space = WaterSpace::Vertical {
        bore_mm: bore,
        height_mm: 10_000.0,
        tubes: asked
            .tubes_mm
            .iter()
            .map(|od_mm| StandingTube {
                od_mm: *od_mm,
                count: 1.0,
            })
            .collect(),
        firebox,
    };
    let volume = space.volume_ml(level);
    let slope = match firebox {
        Some(firebox) if level < firebox.crown_mm => disc(bore) - disc(firebox.od_mm),
        _ => disc(bore) - tubes,
    } / 1000.0;
    let mut answer = Answer::of(SOURCE);
    let squares: f64 = asked.tubes_mm.iter().map(|d| d * d).sum();
    if let Some(firebox) = firebox {
        answer.step(
            "V = π / 4 × (D^2 × h − d_box^2 × min(h, c) − d_tubes × max(h − c, 0)) / 1000",
            &[
                ("D", bore),
                ("h", level),
                ("d_box", firebox.od_mm),
                ("c", firebox.crown_mm),
                ("d_tubes", squares),
            ],
            volume,
            "ml",
        );
    } else {
        let symbols = [("D", bore), ("d_tubes", squares), ("h", level)];
        answer.step(
            "V = π / 4 × (D^2 − d_tubes) × h / 1000",
            &symbols,
            volume,
            "ml",
        );
    }
    answer.put_about("volume_ml", volume, Some(2.0 * slope * u), "ml");
    answer.put("dV_dh_ml_per_mm", slope, "ml/mm");
    Ok(answer)
}
