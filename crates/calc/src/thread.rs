//! Threads and their tapping drills.

use crate::Unusable;
use crate::answer::Answer;
use crate::unusable::{slip, within};

/// Depth of a Whitworth thread over its pitch (geometry of the 55° form, a sixth rounded off top and
/// bottom; BS 84).
const WHITWORTH: f64 = 0.640_327;

fn engagement(part: f64) -> Result<f64, Unusable> {
    within("engagement", part, 0.5, 1.0)
}

/// A BA thread by its number.
///
/// # Formula
/// `p = 0.9ⁿ` to 2 decimals, `d = 6 (0.9ⁿ)^1.2` to 2 significant figures, depth `0.6 p`, core
/// `d − 1.2 p`, drill `d − 1.2 p e`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `number` | n | – | 0 to 25, whole |
/// | `engaged` | e | – | 0.5 to 1 |
///
/// # Errors
/// [`Unusable`] names the field; `ba_not_a_whole_number`.
///
/// # Source
/// BS 93:2008; engagement of 0.8 in soft metal, 0.7 in tough: trade practice.
///
/// # Example
/// ```
/// let answer = calc::thread::ba(2.0, 0.8)?;
/// assert!(answer.number("tap_drill_80pct_mm").is_some_and(|d| (d - 3.92).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn ba(number: f64, engaged: f64) -> Result<Answer, Unusable> {
    let n = within("ba", number, 0.0, 25.0)?;
    if n.fract() != 0.0 {
        return Err(slip("ba_not_a_whole_number", "ba", "BA numbers are whole"));
    }
    let e = engagement(engaged)?;
    let exact = 0.9_f64.powf(n);
    let pitch = (exact * 100.0).round() / 100.0;
    let major = 6.0 * exact.powf(1.2);
    let places = 10.0_f64.powf(1.0 - major.log10().floor());
    let rounded = (major * places).round() / places;
    let core = rounded - 1.2 * pitch;
    let drill = rounded - 1.2 * pitch * e;
    let mut answer = Answer::of("BS 93:2008; engagement: trade practice");
    let symbols = [("n", n), ("d", rounded), ("p", pitch), ("e", e)];
    answer.step("p = 0.9^n", &symbols, exact, "mm");
    answer.step("d = 6 × (0.9^n)^1.2", &symbols, major, "mm");
    answer.step("core = d − 1.2 × p", &symbols, core, "mm");
    answer.step("drill = d − 1.2 × p × e", &symbols, drill, "mm");
    answer.put("pitch_mm", pitch, "mm");
    answer.put("major_formula_mm", major, "mm");
    answer.put("major_rounded_mm", rounded, "mm");
    answer.put("depth_mm", 0.6 * pitch, "mm");
    answer.put("core_formula_mm", core, "mm");
    answer.put("tap_drill_80pct_mm", rounded - 0.96 * pitch, "mm");
    answer.put("tap_drill_mm", drill, "mm");
    Ok(answer)
}

/// A thread of Whitworth form: model-engineering threads and parallel pipe threads.
///
/// # Formula
/// `p = 25.4/tpi`, depth `0.640327 p`, core `d − 2 · depth`, drill `d − 2 · depth · e`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `major_mm` | d | mm | 0.5 to 300 |
/// | `per_inch` | threads an inch | 1/in | 3 to 120 |
/// | `engaged` | e | – | 0.5 to 1 |
///
/// # Errors
/// [`Unusable`] names the field; `thread_deeper_than_screw`.
///
/// # Source
/// Whitworth form of 55°; ISO 228-1 for parallel pipe threads; engagement: trade practice.
///
/// # Example
/// ```
/// let answer = calc::thread::whitworth(6.35, 40.0, 0.8)?;
/// assert!(answer.number("core_mm").is_some_and(|c| (c - 5.537).abs() < 0.001));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn whitworth(major_mm: f64, per_inch: f64, engaged: f64) -> Result<Answer, Unusable> {
    let d = within("major_mm", major_mm, 0.5, 300.0)?;
    let tpi = within("tpi", per_inch, 3.0, 120.0)?;
    let e = engagement(engaged)?;
    let pitch = 25.4 / tpi;
    let depth = WHITWORTH * pitch;
    deep(d, depth, "tpi")?;
    let (core, drill) = (d - 2.0 * depth, d - 2.0 * depth * e);
    let mut answer = Answer::of("Whitworth form of 55°; engagement: trade practice");
    let symbols = [("tpi", tpi), ("p", pitch), ("d", d), ("h", depth), ("e", e)];
    answer.step("p = 25.4 / tpi", &symbols, pitch, "mm");
    answer.step("h = 0.640327 × p", &symbols, depth, "mm");
    answer.step("core = d − 2 × h", &symbols, core, "mm");
    answer.step("drill = d − 2 × h × e", &symbols, drill, "mm");
    answer.put("pitch_mm", pitch, "mm");
    answer.put("depth_mm", depth, "mm");
    answer.put("core_mm", core, "mm");
    answer.put("tap_drill_80pct_mm", d - 1.6 * depth, "mm");
    answer.put("tap_drill_mm", drill, "mm");
    Ok(answer)
}

fn deep(major: f64, depth: f64, field: &'static str) -> Result<(), Unusable> {
    if 2.0 * depth >= major {
        return Err(slip(
            "thread_deeper_than_screw",
            field,
            "so coarse a thread would leave no core",
        ));
    }
    Ok(())
}

/// A metric thread.
///
/// # Formula
/// drill `d − p`, core of the screw `d − 1.226869 p`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `major_mm` | d | mm | 0.5 to 300 |
/// | `pitch_mm` | p | mm | 0.1 to 10 |
///
/// # Errors
/// [`Unusable`] names the field; `thread_deeper_than_screw`.
///
/// # Source
/// ISO 261 and ISO 965; drill: trade rule.
///
/// # Example
/// ```
/// let answer = calc::thread::metric(6.0, 0.75)?;
/// assert_eq!(answer.number("tap_drill_mm"), Some(5.25));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn metric(major_mm: f64, pitch_mm: f64) -> Result<Answer, Unusable> {
    let d = within("major_mm", major_mm, 0.5, 300.0)?;
    let p = within("pitch_mm", pitch_mm, 0.1, 10.0)?;
    deep(d, 0.613_434_5 * p, "pitch_mm")?;
    let mut answer = Answer::of("ISO 261 and ISO 965; drill: trade rule");
    let symbols = [("d", d), ("p", p)];
    answer.step("drill = d − p", &symbols, d - p, "mm");
    answer.step("core = d − 1.226869 × p", &symbols, d - 1.226_869 * p, "mm");
    answer.put("tap_drill_mm", d - p, "mm");
    answer.put("core_mm", d - 1.226_869 * p, "mm");
    Ok(answer)
}
