//! Why figures could not be reckoned with.

use std::borrow::Cow;
use std::fmt;

use crate::answer::Finding;

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
    /// The formula needs a figure that was not given: nothing is proven.
    Missing {
        /// The field.
        field: &'static str,
    },
    /// Figures that no calculation should go on with, each reason under a code of its own.
    Refused {
        /// The code, which stays the same from version to version.
        code: &'static str,
        /// The field to look at first.
        field: &'static str,
        /// What is wrong and how to mend it, as a sentence without its full stop.
        says: &'static str,
        /// What it means where it is more than a slip: stop, or not proven.
        finding: Option<Finding>,
    },
}

impl Unusable {
    /// A code that stays the same from version to version.
    ///
    /// ```
    /// let missing = calc::Unusable::Missing { field: "catch_ml" };
    /// assert_eq!(missing.code(), "not_proven_catch_ml_missing");
    /// ```
    pub fn code(&self) -> Cow<'static, str> {
        match self {
            Self::OutOfRange { field, .. } => format!("{field}_out_of_range").into(),
            Self::Contradiction { field, .. } => format!("{field}_contradicts").into(),
            Self::Missing { field } => format!("not_proven_{field}_missing").into(),
            Self::Refused { code, .. } => (*code).into(),
        }
    }

    /// The field to look at first.
    pub fn field(&self) -> &'static str {
        match self {
            Self::OutOfRange { field, .. }
            | Self::Contradiction { field, .. }
            | Self::Missing { field }
            | Self::Refused { field, .. } => field,
        }
    }

    /// What the refusal itself means: stop or not proven, where it is more than a slip.
    pub fn finding(&self) -> Option<Finding> {
        match self {
            Self::Missing { .. } => Some(Finding::NotProven),
            Self::Refused { finding, .. } => *finding,
            _ => None,
        }
    }
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
            Self::Contradiction { field, says } | Self::Refused { field, says, .. } => {
                write!(f, "{field}: {says}")
            }
            Self::Missing { field } => write!(
                f,
                "{field}: this was not given, and without it nothing is proven"
            ),
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
    // Degrees kept as kelvin come back with a rounding in the last digits; a bound itself must pass.
    let slack = |bound: f64| 1e-12 * (1.0 + bound.abs());
    if value.is_finite() && (least - slack(least)..=most + slack(most)).contains(&value) {
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

/// A refusal that is a slip of the pen: mend the figure and ask again.
pub(crate) const fn slip(code: &'static str, field: &'static str, says: &'static str) -> Unusable {
    Unusable::Refused {
        code,
        field,
        says,
        finding: None,
    }
}

/// A refusal that means stop.
pub(crate) const fn stop(code: &'static str, field: &'static str, says: &'static str) -> Unusable {
    Unusable::Refused {
        code,
        field,
        says,
        finding: Some(Finding::Stop),
    }
}

/// A refusal that means that nothing is proven.
pub(crate) const fn unproven(
    code: &'static str,
    field: &'static str,
    says: &'static str,
) -> Unusable {
    Unusable::Refused {
        code,
        field,
        says,
        finding: Some(Finding::NotProven),
    }
}

/// A span of time that must be longer than nothing.
pub(crate) fn lasting(field: &'static str, seconds: f64) -> Result<f64, Unusable> {
    if seconds.is_finite() && seconds > 0.0 {
        within(field, seconds, 0.0, 1e8)
    } else {
        Err(slip(
            "duration_not_positive",
            field,
            "a time that is longer than nothing is needed",
        ))
    }
}
