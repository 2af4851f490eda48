//! A lying shell cut across, with its tubes and its water: where the level stands over the flue.

use crate::prim::{Anchor, Drawing, Point, Prim, Role, Words, at};
use crate::svg::Svg;

const SIDE: f64 = 260.0;
const MARGIN: f64 = 14.0;

/// A lying shell.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Inside diameter, mm.
    pub bore_mm: f64,
    /// Height of the water over the lowest inside point, mm.
    pub level_mm: f64,
    /// Tubes: outside diameter and height of the centre, mm.
    pub tubes: Vec<(f64, f64)>,
}

/// The section as SVG; none where the shell has no width.
pub fn section(section: &Section) -> Option<Svg> {
    (section.bore_mm.is_finite() && section.bore_mm > 0.0).then(|| Svg::from(&draw(section)))
}

/// The section as a display list.
pub fn draw(section: &Section) -> Drawing {
    let per_mm = (SIDE - 2.0 * MARGIN) / section.bore_mm;
    let level = section.level_mm.clamp(0.0, section.bore_mm);
    let radius = section.bore_mm / 2.0;
    let place = |across: f64, height: f64| {
        at(
            SIDE / 2.0 + across * per_mm,
            SIDE - MARGIN - height * per_mm,
        )
    };
    let words = format!(
        "water at {} mm",
        calc::show::significant(section.level_mm, 4)
    );
    let mut drawing = Drawing {
        width: SIDE + 120.0,
        height: SIDE,
        title: "The shell cut across".to_owned(),
        says: format!(
            "Shell of {} mm inside, {words}, {} tubes.",
            calc::show::significant(section.bore_mm, 4),
            section.tubes.len()
        ),
        list: Vec::new(),
    };
    let half = |height: f64| {
        (radius * radius - (height - radius).powi(2))
            .max(0.0)
            .sqrt()
    };
    let heights: Vec<f64> = (0..=40).map(|n| level * f64::from(n) / 40.0).collect();
    let mut outline: Vec<Point> = heights.iter().map(|h| place(-half(*h), *h)).collect();
    outline.extend(heights.iter().rev().map(|h| place(half(*h), *h)));
    drawing.list.push(Prim::Polygon {
        role: Role::Wedge,
        points: outline,
    });
    for (od, centre) in &section.tubes {
        let ring = circle(*od / 2.0, |x, y| place(x, centre + y));
        drawing.list.push(Prim::Polygon {
            role: Role::Paper,
            points: ring.clone(),
        });
        drawing.list.push(Prim::Polyline {
            role: Role::Tube,
            points: ring,
        });
    }
    let shell = circle(radius, |x, y| place(x, radius + y));
    drawing.list.push(Prim::Polyline {
        role: Role::Tube,
        points: shell,
    });
    drawing.line(
        Role::WaterPen,
        place(-half(level), level),
        place(half(level), level),
    );
    let beside = at(SIDE + 4.0, place(0.0, level).y + 4.0);
    drawing.words(
        Words::new(Role::OffPaperWater, beside, words)
            .bold()
            .anchor(Anchor::Start),
    );
    drawing
}

fn circle(radius: f64, place: impl Fn(f64, f64) -> Point) -> Vec<Point> {
    (0..=72)
        .map(|n| {
            let turn = f64::from(n) * std::f64::consts::TAU / 72.0;
            place(radius * turn.cos(), radius * turn.sin())
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_section_is_drawn_to_scale_with_its_level_named() {
        let drawing = draw(&Section {
            bore_mm: 100.0,
            level_mm: 62.5,
            tubes: vec![(44.0, 46.0)],
        });
        assert!(drawing.all_words().contains(&"water at 62.5 mm"));
        assert!(drawing.says.contains("1 tubes"));
        let on_sheet = |p: &Point| (0.0..=SIDE).contains(&p.x) && (0.0..=SIDE).contains(&p.y);
        for prim in &drawing.list {
            if let Prim::Polygon { points, .. } = prim {
                assert!(points.iter().all(on_sheet));
            }
        }
    }

    #[test]
    fn a_shell_without_width_is_not_drawn() {
        assert!(
            section(&Section {
                bore_mm: 0.0,
                level_mm: 1.0,
                tubes: vec![]
            })
            .is_none()
        );
    }
}
