//! Two measured figures side by side: how far apart, and whether that is more than their uncertainties.

/// A figure with its expanded uncertainty (k = 2), where that is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// Value.
    pub value: f64,
    /// Expanded uncertainty, in the same unit.
    pub expanded: Option<f64>,
}

/// How two figures differ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// The later less the earlier.
    pub by: f64,
    /// Expanded uncertainty of that, where both are known.
    pub expanded: Option<f64>,
    /// Is there shown to be a difference? That there is none is never shown.
    pub proven: bool,
}

/// The difference of two figures, and whether it is proven.
///
/// # Formula
/// `d = b − a`, `U = √(U_a² + U_b²)`; proven where `|d| > U`. Where either uncertainty is unknown, or
/// the difference lies within `U`, it is not proven: that says nothing for the two being alike.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `before` | a ± U_a | any | finite |
/// | `after` | b ± U_b | the same | finite |
///
/// What both share, such as one gauge's error, is counted twice by this; it widens, never narrows.
///
/// # Source
/// JCGM 100:2008 (inputs taken as independent); JCGM 106:2012 (guard band).
///
/// # Example
/// Lagging saved gas: 1.42 ± 0.10 kg/h before, 1.10 ± 0.12 after.
/// ```
/// use calc::compare::{Measured, difference};
/// let before = Measured { value: 1.42, expanded: Some(0.10) };
/// let after = Measured { value: 1.10, expanded: Some(0.12) };
/// let found = difference(before, after);
/// assert!(found.proven && (found.by + 0.32).abs() < 1e-9);
/// let unknown = Measured { value: 1.10, expanded: None };
/// assert!(!difference(before, unknown).proven);
/// ```
pub fn difference(before: Measured, after: Measured) -> Difference {
    let by = after.value - before.value;
    let expanded = match (before.expanded, after.expanded) {
        (Some(a), Some(b)) => Some(a.hypot(b)).filter(|u| u.is_finite()),
        _ => None,
    };
    Difference {
        by,
        expanded,
        proven: by.is_finite() && expanded.is_some_and(|u| by.abs() > u),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(value: f64, expanded: f64) -> Measured {
        Measured {
            value,
            expanded: Some(expanded),
        }
    }

    #[test]
    fn a_difference_as_large_as_its_uncertainty_is_not_proven() {
        // 3, 4, 5: the combined uncertainty is exactly 5.
        assert!(!difference(figure(10.0, 3.0), figure(15.0, 4.0)).proven);
        assert!(difference(figure(10.0, 3.0), figure(15.1, 4.0)).proven);
        assert!(difference(figure(15.1, 3.0), figure(10.0, 4.0)).proven);
    }

    #[test]
    fn what_is_no_number_proves_nothing() {
        for bad in [f64::NAN, f64::INFINITY] {
            assert!(!difference(figure(bad, 1.0), figure(2.0, 1.0)).proven);
            assert!(!difference(figure(1.0, bad), figure(2.0, 1.0)).proven);
        }
    }
}
