//! How many ml a level stands for, how many a millimetre is, and whether the low mark covers the flue.

mod calibrated;
mod lying;
mod standing;

pub use calibrated::calibrated;
pub use lying::{Lying, lying};
pub use standing::{Standing, standing};

use crate::Unusable;
use crate::unusable::slip;

pub(crate) const SOURCE: &str = "Geometry; JCGM 100:2008";

fn in_shell(field: &'static str, level: f64, top: f64) -> Result<f64, Unusable> {
    if level.is_finite() && (0.0..=top).contains(&level) {
        Ok(level)
    } else {
        Err(slip(
            "level_outside_shell",
            field,
            "the level lies outside the shell",
        ))
    }
}
