//! One figure against another, as a pen would draw it: for the ready reckoners.

use crate::prim::{Anchor, Drawing, Prim, Role, Words, at};
use crate::scale::{Scale, multiples, step};
use crate::svg::Svg;

const WIDTH: f64 = 560.0;
const HEIGHT: f64 = 300.0;
const LEFT: f64 = 58.0;
const TOP: f64 = 26.0;
const RIGHT: f64 = WIDTH - 14.0;
const BOTTOM: f64 = HEIGHT - 44.0;

/// A curve with where one stands on it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Curve {
    /// What it is.
    pub title: String,
    /// What runs to the right, with its unit.
    pub across: String,
    /// What runs upward, with its unit.
    pub up: String,
    /// Its points, from left to right; a place that could not be reckoned is simply not there.
    pub points: Vec<(f64, f64)>,
    /// Where one stands.
    pub here: Option<(f64, f64)>,
    /// Limits upward, each with its name.
    pub limits: Vec<(String, f64)>,
}

/// The curve as SVG; none without at least two points.
pub fn curve(curve: &Curve) -> Option<Svg> {
    (curve.points.len() > 1).then(|| Svg::from(&draw(curve)))
}

/// The curve as a display list.
pub fn draw(curve: &Curve) -> Drawing {
    let (x, y) = scales(curve);
    let mut drawing = Drawing {
        width: WIDTH,
        height: HEIGHT,
        title: curve.title.clone(),
        says: says(curve),
        list: Vec::new(),
    };
    drawing.rect(Role::Paper, at(LEFT, TOP), RIGHT - LEFT, BOTTOM - TOP);
    rule(&mut drawing, &x, &y);
    for (name, value) in curve
        .limits
        .iter()
        .filter(|l| (y.low..=y.high).contains(&l.1))
    {
        let place = y.place(*value);
        drawing.line(Role::StopLimit, at(LEFT, place), at(RIGHT, place));
        let words = format!("{name} {}", short(*value));
        drawing.words(
            Words::new(Role::WordsStop, at(RIGHT - 4.0, place - 4.0), words).anchor(Anchor::End),
        );
    }
    let points = curve
        .points
        .iter()
        .map(|(a, b)| at(x.place(*a), y.place(*b)))
        .collect();
    drawing.list.push(Prim::Polyline {
        role: Role::PressurePen,
        points,
    });
    if let Some((a, b)) = curve.here {
        let place = at(x.place(a), y.place(b));
        drawing.line(Role::EventLine, at(place.x, BOTTOM), place);
        drawing.list.push(Prim::Dot {
            role: Role::PressureDot,
            at: place,
            radius: 4.0,
        });
        let (anchor, aside) = if place.x > WIDTH * 0.7 {
            (Anchor::End, -8.0)
        } else {
            (Anchor::Start, 8.0)
        };
        let spot = at(place.x + aside, (place.y - 8.0).max(TOP + 12.0));
        drawing.words(
            Words::new(Role::WordsInk, spot, short(b))
                .bold()
                .anchor(anchor),
        );
    }
    drawing.words(Words::new(Role::OffPaperInk, at(LEFT, 16.0), curve.up.clone()).bold());
    let foot = at(RIGHT, HEIGHT - 8.0);
    drawing.words(Words::new(Role::OffPaperInk, foot, curve.across.clone()).anchor(Anchor::End));
    drawing
}

fn scales(curve: &Curve) -> (Scale, Scale) {
    let all = |f: fn(&(f64, f64)) -> f64| {
        let of = curve
            .points
            .iter()
            .chain(&curve.here)
            .map(f)
            .filter(|v| v.is_finite());
        of.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(v), h.max(v))
        })
    };
    let (left, right) = all(|p| p.0);
    let (mut low, mut high) = all(|p| p.1);
    for (_, limit) in &curve.limits {
        // A limit just outside is brought onto the paper; one far off is not.
        if *limit < high * 1.6 {
            high = high.max(*limit * 1.05);
        }
    }
    if low > 0.0 && low < 0.5 * high {
        low = 0.0;
    }
    let room = (high - low).abs().max(1e-12) * 0.05;
    let bottom = if low == 0.0 { 0.0 } else { low - room };
    (
        Scale::new(left, right, LEFT, RIGHT),
        Scale::new(bottom, high + room, BOTTOM, TOP),
    )
}

fn rule(drawing: &mut Drawing, x: &Scale, y: &Scale) {
    for value in multiples(x.low, x.high, step(x.high - x.low, 8.0)) {
        let place = x.place(value);
        drawing.line(Role::GridHeavy, at(place, TOP), at(place, BOTTOM));
        let spot = at(place, BOTTOM + 15.0);
        drawing.words(Words::new(Role::OffPaperInk, spot, short(value)).anchor(Anchor::Middle));
    }
    for value in multiples(y.low, y.high, step(y.high - y.low, 6.0)) {
        let place = y.place(value);
        drawing.line(Role::GridHeavy, at(LEFT, place), at(RIGHT, place));
        let spot = at(LEFT - 6.0, place + 4.0);
        drawing.words(Words::new(Role::OffPaperInk, spot, short(value)).anchor(Anchor::End));
    }
}

fn says(curve: &Curve) -> String {
    let range = match (curve.points.first(), curve.points.last()) {
        (Some(a), Some(b)) => format!(
            "{} from {} to {}: {} from {} to {}.",
            curve.across,
            short(a.0),
            short(b.0),
            curve.up,
            short(a.1),
            short(b.1)
        ),
        _ => String::new(),
    };
    match curve.here {
        Some((a, b)) => format!("{range} Here {} at {}.", short(b), short(a)),
        None => range,
    }
}

fn short(value: f64) -> String {
    // Adding nought takes the sign off a nought.
    calc::show::significant(value + 0.0, 4)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rising() -> Curve {
        Curve {
            title: "Swell".into(),
            across: "pressure, bar".into(),
            up: "water, ml".into(),
            points: (0..=10)
                .map(|n| (f64::from(n), 1500.0 + 14.0 * f64::from(n)))
                .collect(),
            here: Some((4.0, 1556.0)),
            limits: vec![("full".into(), 1600.0)],
        }
    }

    #[test]
    fn a_curve_says_where_one_stands_and_names_its_limits() {
        let drawing = draw(&rising());
        assert!(drawing.says.contains("Here 1556 at 4."), "{}", drawing.says);
        let words = drawing.all_words();
        assert!(
            words.contains(&"full 1600") && words.contains(&"water, ml"),
            "{words:?}"
        );
    }

    #[test]
    fn every_point_lies_on_the_paper() {
        let drawing = draw(&rising());
        for prim in &drawing.list {
            if let Prim::Polyline { points, .. } = prim {
                for p in points {
                    assert!(
                        (LEFT..=RIGHT).contains(&p.x) && (TOP..=BOTTOM).contains(&p.y),
                        "{p:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_nought_on_the_scale_has_no_sign() {
        assert_eq!(short(-0.0), "0");
    }

    #[test]
    fn a_single_point_is_no_curve() {
        assert!(
            curve(&Curve {
                points: vec![(1.0, 1.0)],
                ..Curve::default()
            })
            .is_none()
        );
    }
}
