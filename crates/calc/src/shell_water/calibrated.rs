//! A table of levels and what was poured for each.

use crate::Unusable;
use crate::answer::{Answer, Finding};
use crate::level::WaterSpace;
use crate::unusable::{slip, within};

/// Water by a table of levels and what was poured for each.
///
/// # Formula
/// straight lines between the points, never past them; `U = 2 dV/dh u_h`. The geometry, where it is
/// given, is a check: more than 5 % apart is a caution.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `table` | rows of level and ml, at least two, both strictly rising | mm, ml | levels −1000 to 10 000, ml 0 to 10 000 000 |
/// | `level_mm` | level | mm | within the table |
/// | `u_level_mm` | u_h | mm | 0 to 100 |
/// | `by_geometry_ml` | the same level by geometry | ml | 0 to 10 000 000 |
///
/// # Errors
/// [`Unusable`] names the field; `calibration_table_not_increasing`, `outside_calibration_table`.
///
/// # Source
/// Linear interpolation; 5 %, and five points at least 5 mm apart: trade practice.
///
/// # Example
/// ```
/// let table = [(0.0, 420.0), (10.0, 588.0), (20.0, 744.0)];
/// let answer = calc::shell_water::calibrated(&table, 5.0, 0.5, None)?;
/// assert_eq!(answer.number("volume_ml"), Some(504.0));
/// assert!(calc::shell_water::calibrated(&table, 21.0, 0.5, None).is_err());
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn calibrated(
    table: &[(f64, f64)],
    level_mm: f64,
    u_level_mm: f64,
    by_geometry_ml: Option<f64>,
) -> Result<Answer, Unusable> {
    let space = WaterSpace::Calibrated {
        points: table.to_vec(),
    };
    space.check().map_err(|_| {
        slip(
            "calibration_table_not_increasing",
            "table_mm_ml",
            "a table needs at least two rows, and both columns must rise from each row to the next",
        )
    })?;
    let u = within("u_level_mm", u_level_mm, 0.0, 100.0)?;
    let row = table
        .windows(2)
        .find(|w| level_mm >= w[0].0 && level_mm <= w[1].0);
    let Some(&[low, high]) = row else {
        return Err(slip(
            "outside_calibration_table",
            "level_mm",
            "the level lies outside the table, and a table is never carried past its ends",
        ));
    };
    let slope = (high.1 - low.1) / (high.0 - low.0);
    let volume = space.volume_ml(level_mm);
    let mut answer = Answer::of("Linear interpolation between poured volumes");
    answer.step(
        "V = V_1 + (V_2 − V_1) × (h − h_1) / (h_2 − h_1)",
        &[
            ("V_1", low.1),
            ("V_2", high.1),
            ("h", level_mm),
            ("h_1", low.0),
            ("h_2", high.0),
        ],
        volume,
        "ml",
    );
    answer.put_about("volume_ml", volume, Some(2.0 * slope * u), "ml");
    answer.put("dV_dh_ml_per_mm", slope, "ml/mm");
    if table.len() < 5 || table.windows(2).any(|w| w[1].0 - w[0].0 < 5.0) {
        answer.say("A table is best with five rows or more, at least 5 mm apart.");
    }
    if let Some(ml) = by_geometry_ml {
        let apart = (within("geometry_ml", ml, 0.0, 1e7)? / volume.max(1e-9) - 1.0) * 100.0;
        answer.put("geometry_off_pct", apart, "%");
        answer.verdict = Some(if apart.abs() > 5.0 {
            answer.say(
                "Table and geometry differ by more than 5 %: pour it again, or measure again.",
            );
            Finding::Caution
        } else {
            Finding::Ok
        });
    }
    Ok(answer)
}
