//! A lying shell.

use super::{SOURCE, in_shell};
use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::level::{LyingTube, WaterSpace};
use crate::unusable::{slip, within};

/// A lying shell and a level in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lying {
    /// Inside diameter, mm.
    pub bore_mm: f64,
    /// Inside length, mm.
    pub length_mm: f64,
    /// Level above the lowest inside point, mm.
    pub level_mm: f64,
    /// Flues and tubes: outside diameter and height of the centre above the lowest inside point, mm.
    pub tubes: Vec<(f64, f64)>,
    /// Standard uncertainty of the level, mm.
    pub u_level_mm: f64,
    /// How much higher the level stands at one end than at the other, mm.
    pub tilt_mm: f64,
    /// Low mark above the lowest inside point, mm, where its cover of the flue is asked.
    pub low_mark_mm: Option<f64>,
}

/// Water in a lying shell with tubes along it.
///
/// # Formula
/// `V = L [A(R, h) − Σ A(r, h − (y − r))]`, `A(R, h) = R² acos((R − h)/R) − (R − h) √(2 R h − h²)`;
/// `dV/dh = L [2 √(h (2R − h)) − Σ chord]`; tilted: Simpson over 21 stations. The low mark covers the
/// flue's crown by `h_low − (y + r)`: from 3 mm ok, from 0 caution, under 0 stop.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `bore_mm`, `length_mm` | 2R, L | mm | 1 to 10 000 |
/// | `level_mm` | h | mm | 0 to 2R |
/// | `tubes` | 2r and y | mm | inside the shell |
/// | `u_level_mm` | u_h | mm | 0 to 100 |
/// | `tilt_mm` | end to end | mm | 0 to 2R |
///
/// # Errors
/// [`Unusable`] names the field; `level_outside_shell`, `tube_not_inside_shell`.
///
/// # Source
/// Geometry; cover of 3 mm: trade practice.
///
/// # Example
/// ```
/// use calc::shell_water::{Lying, lying};
/// let answer = lying(&Lying {
///     bore_mm: 100.0,
///     length_mm: 200.0,
///     level_mm: 35.0,
///     tubes: vec![(35.0, 35.0)],
///     u_level_mm: 0.5,
///     tilt_mm: 0.0,
///     low_mark_mm: Some(51.0),
/// })?;
/// assert!(answer.number("volume_ml").is_some_and(|v| (v - 393.75).abs() < 0.01));
/// assert_eq!(answer.verdict, Some(calc::answer::Finding::Stop));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn lying(asked: &Lying) -> Result<Answer, Unusable> {
    let bore = within("D_inside_mm", asked.bore_mm, 1.0, 10_000.0)?;
    let length = within("L_inside_mm", asked.length_mm, 1.0, 10_000.0)?;
    let level = in_shell("level_mm_from_bottom", asked.level_mm, bore)?;
    let u = within("u_level_mm", asked.u_level_mm, 0.0, 100.0)?;
    let tilt = within("tilt_mm", asked.tilt_mm, 0.0, bore)?;
    for (od, y) in &asked.tubes {
        let radius = od / 2.0;
        if !(*od > 0.0 && *y >= radius && y + radius <= bore) {
            return Err(slip(
                "tube_not_inside_shell",
                "tubes",
                "a tube reaches out of the shell, or is none; look at od_mm and y_mm",
            ));
        }
    }
    let space = WaterSpace::Horizontal {
        bore_mm: bore,
        length_mm: length,
        tubes: asked
            .tubes
            .iter()
            .map(|(od_mm, centre_mm)| LyingTube {
                od_mm: *od_mm,
                centre_mm: *centre_mm,
                count: 1.0,
            })
            .collect(),
    };
    let chord = |diameter: f64, h: f64| 2.0 * (h * (diameter - h)).max(0.0).sqrt();
    let slope_at = |h: f64| {
        let lost: f64 = asked
            .tubes
            .iter()
            .map(|(od, y)| chord(*od, (h - (y - od / 2.0)).clamp(0.0, *od)))
            .sum();
        (chord(bore, h.clamp(0.0, bore)) - lost) * length / 1000.0
    };
    let volume = along(tilt, |off| space.volume_ml(level + off));
    let slope = along(tilt, |off| slope_at(level + off));
    let mut answer = Answer::of(SOURCE);
    show_lying(&mut answer, asked, volume, tilt);
    answer.put_about("volume_ml", volume, Some(2.0 * slope * u), "ml");
    answer.put("dV_dh_ml_per_mm", slope, "ml/mm");
    answer.put("full_ml", space.full_ml(), "ml");
    if let Some(low) = asked.low_mark_mm {
        cover(
            &mut answer,
            within("low_mark_mm_from_bottom", low, 0.0, bore)?,
            &asked.tubes,
        );
    }
    Ok(answer)
}

fn show_lying(answer: &mut Answer, asked: &Lying, volume: f64, tilt: f64) {
    if tilt > 0.0 {
        return;
    }
    let part = |diameter: f64, h: f64| {
        let drum = WaterSpace::Horizontal {
            bore_mm: diameter,
            length_mm: 1000.0,
            tubes: vec![],
        };
        drum.volume_ml(h)
    };
    let formula = "A = R^2 × acos((R − h) / R) − (R − h) × √(2 × R × h − h^2)";
    let shell = part(asked.bore_mm, asked.level_mm);
    let symbols = [("R", asked.bore_mm / 2.0), ("h", asked.level_mm)];
    answer.step(formula, &symbols, shell, "mm²");
    let mut lost = 0.0;
    for (od, y) in asked.tubes.iter().take(20) {
        let wet = (asked.level_mm - (y - od / 2.0)).clamp(0.0, *od);
        let area = part(*od, wet);
        lost += area;
        answer.step(formula, &[("R", od / 2.0), ("h", wet)], area, "mm²");
    }
    if asked.tubes.len() <= 20 {
        let symbols = [
            ("L", asked.length_mm),
            ("A_shell", shell),
            ("A_tubes", lost),
        ];
        answer.step("V = L × (A_shell − A_tubes) / 1000", &symbols, volume, "ml");
    }
}

/// Mean of something over the length of a tilted shell, by Simpson's rule over 21 stations.
fn along(tilt: f64, of: impl Fn(f64) -> f64) -> f64 {
    if tilt == 0.0 {
        return of(0.0);
    }
    let sum: f64 = (0..=20_u32)
        .map(|i| {
            let weight = match i {
                0 | 20 => 1.0,
                i if i % 2 == 1 => 4.0,
                _ => 2.0,
            };
            weight * of(tilt * (f64::from(i) / 20.0 - 0.5))
        })
        .sum();
    sum / 60.0
}

fn cover(answer: &mut Answer, low: f64, tubes: &[(f64, f64)]) {
    let crown = tubes.iter().map(|(od, y)| y + od / 2.0).fold(0.0, f64::max);
    let cover = low - crown;
    let symbols = [("h_low", low), ("crown", crown)];
    answer.step("cover = h_low − crown", &symbols, cover, "mm");
    answer.put("crown_cover_mm", cover, "mm");
    answer.verdict = Some(if cover < 0.0 {
        answer.say("The low mark does not cover the crown of the highest tube: no fire under it.");
        Finding::Stop
    } else if cover < 3.0 {
        Finding::Caution
    } else {
        Finding::Ok
    });
    answer.limit = Some(Limit {
        is: "water over the highest tube at the low mark",
        value: 3.0,
        unit: "mm",
        source: "trade practice",
    });
}
