//! Gland packing.

use std::f64::consts::PI;

use crate::Unusable;
use crate::answer::Answer;
use crate::unusable::{slip, within};

/// A stuffing box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gland {
    /// Bore of the box, mm.
    pub box_mm: f64,
    /// Rod, mm.
    pub rod_mm: f64,
    /// Depth of the box, mm.
    pub depth_mm: f64,
    /// How far the gland's nose reaches in, mm.
    pub nose_mm: f64,
}

/// Section, length and number of packing rings.
///
/// # Formula
/// section `s = (D − d)/2`, length on the mean circle `π (d + s)`, rings `floor((depth − nose)/s)`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `box_mm` | D | mm | 0.5 to 1000 |
/// | `rod_mm` | d | mm | 0.1 to under D |
/// | `depth_mm` | depth | mm | 0.1 to 1000 |
/// | `nose_mm` | nose | mm | 0 to under the depth |
///
/// # Errors
/// [`Unusable`] names the field; `box_not_larger_than_rod`, `nose_not_shorter_than_box`.
///
/// # Source
/// Trade practice. On the length sources disagree: cut it to the mean circle, or up to 1 % short, with a
/// gap of 0.2 to 0.5 mm; stagger the joints by a quarter turn.
///
/// # Example
/// ```
/// use calc::packing::{Gland, rings};
/// let answer = rings(&Gland { box_mm: 10.0, rod_mm: 6.0, depth_mm: 9.0, nose_mm: 1.0 })?;
/// assert_eq!(answer.number("ring_count"), Some(4.0));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn rings(asked: &Gland) -> Result<Answer, Unusable> {
    let bore = within("box_bore_mm", asked.box_mm, 0.5, 1000.0)?;
    let rod = within("rod_mm", asked.rod_mm, 0.1, 1000.0)?;
    let depth = within("box_depth_mm", asked.depth_mm, 0.1, 1000.0)?;
    let nose = within("gland_nose_mm", asked.nose_mm, 0.0, 1000.0)?;
    if rod >= bore {
        return Err(slip(
            "box_not_larger_than_rod",
            "box_bore_mm",
            "the box must be wider than the rod",
        ));
    }
    if nose >= depth {
        return Err(slip(
            "nose_not_shorter_than_box",
            "gland_nose_mm",
            "the gland's nose would fill the box",
        ));
    }
    let section = (bore - rod) / 2.0;
    let length = PI * (rod + section);
    // Decimal millimetres are not exact in binary; a billionth of a ring is not a missing ring.
    let count = ((depth - nose) / section + 1e-9).floor();
    let mut answer = Answer::of("Trade practice");
    let symbols = [("D", bore), ("d", rod), ("s", section)];
    answer.step("s = (D − d) / 2", &symbols, section, "mm");
    answer.step("l = π × (d + s)", &symbols, length, "mm");
    let symbols = [("depth", depth), ("nose", nose), ("s", section)];
    answer.step("n = floor((depth − nose) / s)", &symbols, count, "");
    answer.put("section_mm", section, "mm");
    answer.put("ring_length_mean_mm", length, "mm");
    answer.put("ring_count", count, "");
    if count < 3.0 {
        answer.say("Fewer than three rings seldom stay tight.");
    }
    answer.say("Cut square to this length or up to 1 % short, gap 0.2 to 0.5 mm, joints a quarter turn apart; nip it up again after the first steam.");
    answer.cautions = &["old_lagging", "defer_to_codes"];
    Ok(answer)
}
