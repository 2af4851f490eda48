//! A plant's gauge held against a test gauge, going up and coming down: its error, how sure that is, and its class.

use crate::Unusable;
use crate::answer::Finding;
use crate::uncertainty::{PressureGauge, stays_under, step_u};
use crate::unusable::within;

/// Fewest pressures at which the two must have been read for a verdict.
pub const FEWEST: usize = 5;

/// The two gauges, and what they showed.
#[derive(Clone, Debug, PartialEq)]
pub struct SideBySide {
    /// The test gauge, whose class is known.
    pub test: PressureGauge,
    /// Full scale of the plant's gauge, bar.
    pub span_bar: f64,
    /// Smallest step that can be read on it, bar.
    pub resolution_bar: f64,
    /// Its class, where one stands on its dial.
    pub class_pct: Option<f64>,
    /// What they showed, the lowest pressure first.
    pub points: Vec<Point>,
}

/// One pressure: what the test gauge showed, and the plant's gauge beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// On the test gauge, bar.
    pub test_bar: f64,
    /// On the plant's gauge, the pressure going up, bar.
    pub up_bar: f64,
    /// On the plant's gauge, the pressure coming down, bar.
    pub down_bar: Option<f64>,
}

/// What one pressure says of the plant's gauge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointError {
    /// On the test gauge, bar.
    pub test_bar: f64,
    /// How much the plant's gauge shows too much, the mean of up and down, bar.
    pub error_bar: f64,
    /// Expanded uncertainty of that (k = 2), bar.
    pub plus_minus_bar: f64,
    /// How much up and down differ, where both were read, bar.
    pub hysteresis_bar: Option<f64>,
    /// Whether it is within its class here.
    pub finding: Finding,
}

/// What a comparison says.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// At each pressure, as they were given.
    pub points: Vec<PointError>,
    /// The one with the largest error and what is unsure of it.
    pub worst: PointError,
    /// What its class allows, bar.
    pub allowed_bar: Option<f64>,
    /// Whether the gauge is within its class over the pressures read.
    pub finding: Finding,
    /// What a reader should know.
    pub says: Vec<&'static str>,
}

/// Says by how much a gauge is wrong, from reading it side by side with a test gauge.
///
/// # Formula
/// At each pressure `e = (up + down)/2 − test`, with
/// `u = √(u_test² + step²/12 + h²/12)`, where `u_test = √((class/100 × span/√3)² + step_test²/12)` and
/// `h = |up − down|` (a rectangle of half-width `h/2`); `U = 2u`. Where it was not read coming down, `h` is taken as
/// the whole of what its class allows, `class/100 × span`; without a class nothing can be said of `h` and the verdict
/// is not proven. Within its class at a pressure: `|e| + U ≤ class/100 × span`; outside: `|e| − U >` that.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `test` | shown by the test gauge | bar | 0 to its span, rising |
/// | `up`, `down` | shown by the plant's gauge | bar | 0 to its span |
/// | `span` | full scale of the plant's gauge | bar | 0.01 to 200 |
/// | `step` | its smallest step | bar | 0 to 50 |
/// | `class` | its class | % of span | 0.01 to 20, or not known |
///
/// Shape and order: one point a pressure, the lowest first, at least two; pressures strictly rising.
/// Fewer than five pressures, or pressures that do not reach the upper quarter of the scale, prove no class.
///
/// # Errors
/// [`Unusable::OutOfRange`] names the field and its bounds; too few pressures, or pressures that do not rise, are refused.
///
/// # Source
/// EN 837-1:1996 (class as limit of error, read up and down); JCGM 100:2008, F.2.2.1 and F.2.4.5 for steps and hysteresis;
/// JCGM 106:2012 for the decision; five pressures over the scale are trade practice.
///
/// # Example
/// ```
/// use calc::answer::Finding;
/// use calc::side_by_side::{Point, SideBySide, side_by_side};
/// use calc::uncertainty::PressureGauge;
/// let point = |test_bar: f64, up_bar, down_bar| Point { test_bar, up_bar, down_bar: Some(down_bar) };
/// let asked = SideBySide {
///     test: PressureGauge { class_pct: 0.6, span_bar: 6.0, resolution_bar: 0.02 },
///     span_bar: 6.0,
///     resolution_bar: 0.1,
///     class_pct: Some(2.5),
///     points: vec![
///         point(1.0, 1.0, 1.0), point(2.0, 2.0, 2.0), point(3.0, 3.0, 3.1), point(4.0, 4.0, 4.1), point(5.0, 5.0, 5.0),
///     ],
/// };
/// let compared = side_by_side(&asked)?;
/// assert!((compared.worst.error_bar - 0.05).abs() < 1e-9);
/// assert!((compared.worst.plus_minus_bar - 0.0925).abs() < 1e-3);
/// assert_eq!(compared.finding, Finding::Pass);
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn side_by_side(asked: &SideBySide) -> Result<Compared, Unusable> {
    let test_u = asked.test.u_bar()?;
    let span = within("span_bar", asked.span_bar, 0.01, 200.0)?;
    let step = within("resolution_bar", asked.resolution_bar, 0.0, 50.0)?;
    let class = match asked.class_pct {
        Some(class) => Some(within("class_pct", class, 0.01, 20.0)?),
        None => None,
    };
    let allowed = class.map(|c| c / 100.0 * span);
    check_points(asked, span)?;
    let points: Vec<PointError> = asked
        .points
        .iter()
        .map(|p| error_at(p, test_u, step, allowed))
        .collect();
    let reach = |p: &PointError| p.error_bar.abs() + p.plus_minus_bar;
    let worst = points
        .iter()
        .copied()
        .reduce(|a, b| if reach(&b) > reach(&a) { b } else { a })
        .ok_or(too_few())?;
    let (finding, says) = decide(asked, &points, span, allowed, test_u);
    Ok(Compared {
        points,
        worst,
        allowed_bar: allowed,
        finding,
        says,
    })
}

fn check_points(asked: &SideBySide, span: f64) -> Result<(), Unusable> {
    if asked.points.len() < 2 {
        return Err(too_few());
    }
    let mut last = -1.0;
    for point in &asked.points {
        let test = within("test_bar", point.test_bar, 0.0, asked.test.span_bar)?;
        if test <= last {
            return Err(Unusable::Contradiction {
                field: "test_bar",
                says: "each pressure must be higher than the one before it",
            });
        }
        last = test;
        within("up_bar", point.up_bar, 0.0, span)?;
        if let Some(down) = point.down_bar {
            within("down_bar", down, 0.0, span)?;
        }
    }
    Ok(())
}

fn too_few() -> Unusable {
    Unusable::Refused {
        code: "too_few_points",
        field: "points",
        says: "read the two gauges side by side at two pressures at least",
        finding: Some(Finding::NotProven),
    }
}

fn error_at(point: &Point, test_u: f64, step: f64, allowed: Option<f64>) -> PointError {
    let hysteresis = point.down_bar.map(|down| (point.up_bar - down).abs());
    let shown = point
        .down_bar
        .map_or(point.up_bar, |down| f64::midpoint(point.up_bar, down));
    let error_bar = shown - point.test_bar;
    // What was not looked at is taken at its worst.
    let unseen = hysteresis.or(allowed);
    let u = test_u
        .hypot(step_u(step))
        .hypot(step_u(unseen.unwrap_or(0.0)));
    let plus_minus_bar = 2.0 * u;
    let finding = match (allowed, unseen) {
        (Some(allowed), Some(_)) => stays_under(error_bar.abs(), plus_minus_bar, allowed),
        _ => Finding::NotProven,
    };
    PointError {
        test_bar: point.test_bar,
        error_bar,
        plus_minus_bar,
        hysteresis_bar: hysteresis,
        finding,
    }
}

fn decide(
    asked: &SideBySide,
    points: &[PointError],
    span: f64,
    allowed: Option<f64>,
    test_u: f64,
) -> (Finding, Vec<&'static str>) {
    if points.iter().any(|p| p.finding == Finding::Fail) {
        let says = "At one pressure at least it is outside of its class.";
        return (Finding::Fail, vec![says]);
    }
    let mut says = Vec::new();
    if allowed.is_none() {
        says.push("Its class is not known, so there is nothing to hold its error against.");
    }
    if points.len() < FEWEST {
        says.push("Fewer than five pressures were read: that proves no class.");
    }
    if points.last().is_none_or(|p| p.test_bar < 0.75 * span) {
        says.push("The upper quarter of its scale was not reached: that proves no class.");
    }
    let proven = says.is_empty() && points.iter().all(|p| p.finding == Finding::Pass);
    if asked.points.iter().any(|p| p.down_bar.is_none()) {
        says.push(
            "It was not read coming down at every pressure: what it may hang by is taken at its worst.",
        );
    }
    if allowed.is_some_and(|a| 2.0 * test_u > a / 3.0) {
        says.push("The test gauge is coarse for this class: one three times as good proves more.");
    }
    let finding = if proven {
        Finding::Pass
    } else {
        Finding::NotProven
    };
    (finding, says)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(class_pct: Option<f64>, points: &[(f64, f64, Option<f64>)]) -> SideBySide {
        SideBySide {
            test: PressureGauge {
                class_pct: 0.6,
                span_bar: 10.0,
                resolution_bar: 0.02,
            },
            span_bar: 6.0,
            resolution_bar: 0.05,
            class_pct,
            points: points
                .iter()
                .map(|(test_bar, up_bar, down_bar)| Point {
                    test_bar: *test_bar,
                    up_bar: *up_bar,
                    down_bar: *down_bar,
                })
                .collect(),
        }
    }

    const EVEN: [(f64, f64, Option<f64>); 5] = [
        (1.0, 1.0, Some(1.0)),
        (2.0, 2.0, Some(2.0)),
        (3.0, 3.0, Some(3.05)),
        (4.0, 4.0, Some(4.05)),
        (5.0, 5.0, Some(5.0)),
    ];

    #[test]
    fn a_good_gauge_passes_and_a_wrong_one_fails() {
        let good = side_by_side(&asked(Some(2.5), &EVEN)).unwrap();
        assert_eq!(good.finding, Finding::Pass);
        // By hand: u_test² = (0.06/√3)² + 0.02²/12, step² = 0.05²/12, h² = 0.05²/12.
        let by_hand = 2.0
            * (0.06_f64.powi(2) / 3.0 + (0.02_f64.powi(2) + 2.0 * 0.05_f64.powi(2)) / 12.0).sqrt();
        assert!((good.worst.plus_minus_bar - by_hand).abs() < 1e-12);
        assert!((good.worst.error_bar - 0.025).abs() < 1e-12);
        let mut points = EVEN;
        points[3] = (4.0, 4.4, Some(4.4));
        assert_eq!(
            side_by_side(&asked(Some(2.5), &points)).unwrap().finding,
            Finding::Fail
        );
    }

    #[test]
    fn what_was_not_looked_at_proves_nothing() {
        for (class, points) in [
            (None, &EVEN[..]),
            (Some(2.5), &EVEN[..4]),
            (Some(2.5), &EVEN[..2]),
            (Some(1.0), &EVEN[..]),
        ] {
            let said = side_by_side(&asked(class, points)).unwrap();
            assert_eq!(said.finding, Finding::NotProven, "{class:?} {points:?}");
        }
        // Never read coming down: wider, and so never more than not proven in a narrow class.
        let one_way = EVEN.map(|(test, up, _)| (test, up, None));
        let said = side_by_side(&asked(Some(2.5), &one_way)).unwrap();
        let both = side_by_side(&asked(Some(2.5), &EVEN)).unwrap();
        assert!(said.worst.plus_minus_bar > both.worst.plus_minus_bar);
    }

    #[test]
    fn a_wider_class_of_the_test_gauge_never_proves_more() {
        let mut coarse = asked(Some(2.5), &EVEN);
        coarse.test.class_pct = 2.5;
        let said = side_by_side(&coarse).unwrap();
        assert_eq!(said.finding, Finding::NotProven);
        assert!(
            said.says
                .iter()
                .any(|s| s.contains("coarse for this class"))
        );
    }

    #[test]
    fn what_cannot_be_is_refused_by_name() {
        let refused = |points: &[(f64, f64, Option<f64>)]| {
            side_by_side(&asked(Some(1.6), points))
                .unwrap_err()
                .to_string()
        };
        assert!(refused(&[]).starts_with("points"));
        assert!(refused(&[(1.0, 1.0, None)]).starts_with("points"));
        assert!(refused(&[(2.0, 2.0, None), (1.0, 1.0, None)]).starts_with("test_bar"));
        assert!(refused(&[(1.0, 1.0, None), (1.0, 1.0, None)]).starts_with("test_bar"));
        assert!(refused(&[(1.0, 7.0, None), (2.0, 2.0, None)]).starts_with("up_bar"));
        assert!(refused(&[(1.0, 1.0, Some(f64::NAN)), (2.0, 2.0, None)]).starts_with("down_bar"));
        assert!(refused(&[(1.0, 1.0, None), (11.0, 2.0, None)]).starts_with("test_bar"));
    }
}
