//! One drop lost from a full shell.

use super::{FullShell, SOURCE, TrappedAir, drift, show_give};
use crate::Unusable;
use crate::answer::Answer;
use crate::quantity::Temperature;
use crate::unusable::{slip, within};

/// How far the pressure of a full shell falls when a little water leaves it.
///
/// # Formula
/// `Δp = V_lost / (V (κ_T + κ_sh) + V_a0 p_0/p²)`, for a fall small against the pressure.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `shell_ml` | whole inside V | ml | 0.1 to 10 000 000 |
/// | `lost_ml` | lost | ml | 0 to V |
///
/// # Errors
/// As [`drift`]; `lost_over_volume`.
///
/// # Source
/// As [`drift`].
///
/// # Example
/// ```
/// use calc::hydraulic::{FullShell, Metal, lost_drop};
/// use calc::quantity::Temperature;
/// let shell = FullShell { bore_mm: 100.0, wall_mm: 2.5, metal: Metal::COPPER, compliance_factor: 1.0 };
/// let answer = lost_drop(&shell, 2000.0, 0.05, Temperature::from_celsius(20.0), None)?;
/// assert!(answer.number("pressure_fall_bar").is_some_and(|f| (f - 0.325).abs() < 0.001));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn lost_drop(
    shell: &FullShell,
    shell_ml: f64,
    lost_ml: f64,
    at: Temperature,
    air: Option<TrappedAir>,
) -> Result<Answer, Unusable> {
    let volume = within("V_ml", shell_ml, 0.1, 1e7)?;
    let lost = within("lost_ml", lost_ml, 0.0, 1e7)?;
    if lost > volume {
        return Err(slip(
            "lost_over_volume",
            "lost_ml",
            "more cannot be lost than the shell holds",
        ));
    }
    let d = drift(shell, at, air)?;
    let fall = lost / (volume * d.total_per_pa()) / 1e5;
    let mut answer = Answer::of(SOURCE);
    show_give(&mut answer, shell, &d);
    answer.step(
        "Δp = V_lost / (V × (κ_T + κ_sh + κ_air)) / 100000",
        &[
            ("V_lost", lost),
            ("V", volume),
            ("κ_T", d.water_per_pa),
            ("κ_sh", d.shell_per_pa),
            ("κ_air", d.air_per_pa),
        ],
        fall,
        "bar",
    );
    answer.put("pressure_fall_bar", fall, "bar");
    Ok(answer)
}
