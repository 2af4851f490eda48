//! The gauge glass to scale, with its marks and the last level seen in it.
//!
//! A blue stripe stands behind the glass: broad where there is water and thin above it, as a striped glass shows it,
//! so that the level is read without colour.

use crate::prim::{Anchor, Drawing, Prim, Role, Words, at};
use crate::scale::{Scale, multiples};
use crate::svg::Svg;

const WIDTH: f64 = 108.0;
const TUBE_LEFT: f64 = 42.0;
const TUBE_WIDE: f64 = 26.0;
/// Above and below the tube, in the drawing's own units: what is between them is the visible length to scale.
pub const MARGIN: f64 = 8.0;

/// Where the water was last seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Seen {
    /// At this height, mm.
    At(f64),
    /// Somewhere in the glass, without a number.
    InGlass,
    /// Out of sight below.
    Below,
    /// Out of sight above.
    Above,
    /// Nobody has looked yet.
    NotYet,
}

/// A gauge glass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glass {
    /// The visible length, mm.
    pub visible_mm: f64,
    /// The low mark, mm above the glass's zero.
    pub low_mm: Option<f64>,
    /// The high mark.
    pub high_mm: Option<f64>,
    /// The last level.
    pub seen: Seen,
}

/// The glass as SVG.
pub fn glass(glass: &Glass) -> Svg {
    Svg::from(&draw(glass))
}

/// The glass as a display list.
pub fn draw(glass: &Glass) -> Drawing {
    let visible = if glass.visible_mm.is_finite() {
        glass.visible_mm.clamp(5.0, 400.0)
    } else {
        60.0
    };
    let tall = (visible * 6.0).clamp(240.0, 330.0);
    let scale = Scale::new(0.0, visible, MARGIN + tall, MARGIN);
    let mut drawing = Drawing {
        width: WIDTH,
        height: tall + MARGIN * 2.0,
        title: "The gauge glass".to_owned(),
        says: says(glass),
        list: Vec::new(),
    };
    graduations(&mut drawing, &scale, visible);
    hatching(&mut drawing, &scale, glass);
    drawing.rect(Role::Tube, at(TUBE_LEFT, MARGIN), TUBE_WIDE, tall);
    stripe(&mut drawing, &scale, glass.seen);
    marks(&mut drawing, &scale, glass);
    match glass.seen {
        Seen::At(level) => distance(&mut drawing, &scale, level, glass.low_mm),
        Seen::Below => over_tube(&mut drawing, "NOT SEEN", Role::WordsStop),
        Seen::Above => over_tube(&mut drawing, "ABOVE", Role::WordsInk),
        Seen::NotYet => over_tube(&mut drawing, "not looked yet", Role::WordsInk),
        Seen::InGlass => over_tube(&mut drawing, "in the glass", Role::WordsInk),
    }
    drawing
}

fn says(glass: &Glass) -> String {
    let level = match glass.seen {
        Seen::At(mm) => format!(
            "Water last seen at {} mm of {:.0}.",
            number(mm),
            glass.visible_mm
        ),
        Seen::InGlass => "Water last seen in the glass, no number taken.".to_owned(),
        Seen::Below => "Water out of sight below the glass.".to_owned(),
        Seen::Above => "Water above the glass: this does not prove that there is water.".to_owned(),
        Seen::NotYet => "Nobody has looked at the water yet.".to_owned(),
    };
    glass.low_mm.map_or(level.clone(), |low| {
        format!("{level} Low mark {} mm.", number(low))
    })
}

fn number(mm: f64) -> String {
    calc::show::fixed(mm, if mm.fract().abs() > 1e-9 { 1 } else { 0 })
}

fn graduations(drawing: &mut Drawing, scale: &Scale, visible: f64) {
    let fine = if visible > 120.0 { 5.0 } else { 1.0 };
    for mm in multiples(0.0, visible, fine) {
        let tens = (mm / 10.0).fract().abs() < 1e-9;
        let fives = (mm / 5.0).fract().abs() < 1e-9;
        let long = if tens {
            14.0
        } else if fives {
            8.0
        } else {
            5.0
        };
        let y = scale.place(mm);
        drawing.line(
            Role::Graduation,
            at(TUBE_LEFT - 2.0 - long, y),
            at(TUBE_LEFT - 2.0, y),
        );
        if tens && (visible <= 120.0 || (mm / 50.0).fract().abs() < 1e-9) {
            let words =
                Words::new(Role::OffPaperInk, at(TUBE_LEFT - 18.0, y + 4.5), number(mm)).size(13.0);
            drawing.words(words.anchor(Anchor::End));
        }
    }
}

/// Hatching beside the tube: below the low mark in red, above the high mark thin.
fn hatching(drawing: &mut Drawing, scale: &Scale, glass: &Glass) {
    let spans = [
        (glass.low_mm.map(|low| (scale.low, low)), Role::HatchLow),
        (
            glass.high_mm.map(|high| (high, scale.high)),
            Role::HatchHigh,
        ),
    ];
    let left = TUBE_LEFT + TUBE_WIDE + 2.0;
    for (span, role) in spans {
        let Some((from, to)) = span else { continue };
        let (bottom, top) = (scale.place(from), scale.place(to));
        let mut y = bottom;
        while y - 9.0 > top {
            drawing.line(role, at(left, y), at(left + 10.0, y - 9.0));
            y -= 7.0;
        }
    }
}

fn stripe(drawing: &mut Drawing, scale: &Scale, seen: Seen) {
    let (top, bottom) = (scale.place(scale.high), scale.place(scale.low));
    let middle = TUBE_LEFT + TUBE_WIDE / 2.0;
    let level = match seen {
        Seen::At(mm) => scale.place(mm),
        Seen::Above => top,
        Seen::Below | Seen::InGlass | Seen::NotYet => bottom,
    };
    if level > top {
        drawing.rect(
            Role::StripeThin,
            at(middle - 2.0, top + 1.0),
            4.0,
            level - top - 1.0,
        );
    }
    if bottom > level {
        drawing.rect(
            Role::StripeBroad,
            at(middle - 8.0, level),
            16.0,
            bottom - level - 1.0,
        );
        // The meniscus: higher at the wall than in the middle.
        drawing.list.push(Prim::Polyline {
            role: Role::WaterCross,
            points: vec![
                at(TUBE_LEFT + 1.0, level - 3.0),
                at(middle - 6.0, level),
                at(middle + 6.0, level),
                at(TUBE_LEFT + TUBE_WIDE - 1.0, level - 3.0),
            ],
        });
    }
}

fn marks(drawing: &mut Drawing, scale: &Scale, glass: &Glass) {
    let right = WIDTH - 2.0;
    if let Some(high) = glass.high_mm {
        let y = scale.place(high);
        drawing.line(Role::Dimension, at(TUBE_LEFT - 4.0, y), at(right, y));
        drawing.words(
            Words::new(Role::OffPaperInk, at(right, y - 4.0), "high")
                .size(13.0)
                .bold()
                .anchor(Anchor::End),
        );
    }
    if let Some(low) = glass.low_mm {
        let y = scale.place(low);
        drawing.rect(
            Role::StripeLow,
            at(TUBE_LEFT - 4.0, y - 1.5),
            right - TUBE_LEFT + 4.0,
            3.0,
        );
        drawing.words(
            Words::new(Role::OffPaperStop, at(right, y + 15.0), "low")
                .size(13.0)
                .bold()
                .anchor(Anchor::End),
        );
    }
}

/// A dimension line from the level to the low mark.
fn distance(drawing: &mut Drawing, scale: &Scale, level: f64, low: Option<f64>) {
    let y = scale.place(level);
    let x = WIDTH - 14.0;
    drawing.line(
        Role::Dimension,
        at(TUBE_LEFT + TUBE_WIDE + 2.0, y),
        at(WIDTH - 2.0, y),
    );
    let Some(low) = low.filter(|low| level > *low) else {
        return;
    };
    let mark = scale.place(low);
    if mark - y < 20.0 {
        return;
    }
    drawing.line(Role::Dimension, at(x, y), at(x, mark));
    for (tip, back) in [(y, y + 8.0), (mark - 2.0, mark - 10.0)] {
        drawing.list.push(Prim::Polygon {
            role: Role::Arrow,
            points: vec![at(x, tip), at(x - 3.0, back), at(x + 3.0, back)],
        });
    }
    if mark - y > 66.0 {
        let words = Words::new(
            Role::OffPaperInk,
            at(x - 5.0, f64::midpoint(y, mark)),
            format!("{} mm", number(level - low)),
        );
        drawing.words(words.size(15.0).bold().anchor(Anchor::Middle).upward());
    }
}

fn over_tube(drawing: &mut Drawing, words: &str, role: Role) {
    let at = at(TUBE_LEFT + TUBE_WIDE + 20.0, drawing.height / 2.0);
    let role = if role == Role::WordsStop {
        Role::OffPaperStop
    } else {
        Role::OffPaperInk
    };
    drawing.words(
        Words::new(role, at, words)
            .size(15.0)
            .bold()
            .anchor(Anchor::Middle)
            .upward(),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at_level(seen: Seen) -> Drawing {
        draw(&Glass {
            visible_mm: 60.0,
            low_mm: Some(12.0),
            high_mm: Some(48.0),
            seen,
        })
    }

    fn broad(drawing: &Drawing) -> f64 {
        drawing
            .list
            .iter()
            .find_map(|p| {
                if let Prim::Rect {
                    role: Role::StripeBroad,
                    height,
                    ..
                } = p
                {
                    Some(*height)
                } else {
                    None
                }
            })
            .unwrap_or(0.0)
    }

    #[test]
    fn the_broad_stripe_is_as_high_as_the_water_to_scale() {
        let (half, quarter) = (
            broad(&at_level(Seen::At(30.0))),
            broad(&at_level(Seen::At(15.0))),
        );
        assert!(
            ((half + 1.0) / (quarter + 1.0) - 2.0).abs() < 1e-6,
            "{half} {quarter}"
        );
    }

    #[test]
    fn the_distance_to_the_low_mark_is_written() {
        assert!(at_level(Seen::At(38.0)).all_words().contains(&"26 mm"));
        assert!(
            !at_level(Seen::At(11.0))
                .all_words()
                .iter()
                .any(|w| w.ends_with(" mm"))
        );
    }

    #[test]
    fn no_water_is_drawn_when_none_was_seen() {
        for seen in [Seen::Below, Seen::NotYet] {
            assert_eq!(broad(&at_level(seen)), 0.0);
        }
        assert!(at_level(Seen::Below).all_words().contains(&"NOT SEEN"));
    }

    #[test]
    fn water_above_the_glass_is_said_not_to_be_proof() {
        assert!(at_level(Seen::Above).says.contains("does not prove"));
    }
}
