//! Why figures could not be reckoned with.

use std::fmt;

/// Figures that cannot be reckoned with: which field, what it was, and what it may be.
///
/// This is never the answer to "is it safe?"; that is a verdict or a flag.
#[derive(Clone, Debug, PartialEq)]
pub enum Unusable {
    /// A figure lies outside what the formula or the source covers.
    OutOfRange {
        /// The field, with its unit in the name.
        field: &'static str,
        /// What was given.
        value: f64,
        /// The least that is accepted.
        least: f64,
        /// The most that is accepted.
        most: f64,
    },
    /// Two figures, each possible by itself, that cannot both be true.
    Contradiction {
        /// The field to look at first.
        field: &'static str,
        /// What is wrong, as a sentence without its full stop.
        says: &'static str,
    },
}

impl fmt::Display for Unusable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange {
                field,
                value,
                least,
                most,
            } => {
                write!(f, "{field}: {value} is outside {least} to {most}")
            }
            Self::Contradiction { field, says } => write!(f, "{field}: {says}"),
        }
    }
}

impl std::error::Error for Unusable {}

/// `value` where it is finite and within `least..=most`, else the refusal that names `field`.
pub(crate) fn within(
    field: &'static str,
    value: f64,
    least: f64,
    most: f64,
) -> Result<f64, Unusable> {
    if value.is_finite() && (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(Unusable::OutOfRange {
            field,
            value,
            least,
            most,
        })
    }
}
