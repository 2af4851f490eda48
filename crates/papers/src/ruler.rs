//! A steel rule of a year ahead, a graduation a week and a long one a month, with what is due at its place.

use crate::prim::{Anchor, Drawing, Role, Words, at};
use crate::scale::Scale;
use crate::svg::Svg;

const WIDTH: f64 = 900.0;
const HEIGHT: f64 = 112.0;
const EDGE: f64 = 16.0;
/// Where the rule's graduations hang from.
const TOP: f64 = 62.0;
/// The rule begins so many days before today, and ends so many after it.
const FROM_DAYS: i32 = -28;
const TO_DAYS: i32 = 371;
/// A month is named where there is room for its name.
const NAME: f64 = 48.0;
/// Marks nearer than this stand one over the other.
const APART: f64 = 20.0;

/// What stands on the rule; days are counted from today, those before it are less than nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ruler {
    /// The first of each month, with its name.
    pub months: Vec<(i32, String)>,
    /// What is due: its number, and the day.
    pub dues: Vec<(usize, i32)>,
}

/// The rule as SVG.
pub fn ruler(ruler: &Ruler) -> Svg {
    Svg::from(&draw(ruler))
}

/// The rule as a display list.
pub fn draw(ruler: &Ruler) -> Drawing {
    let mut drawing = Drawing {
        width: WIDTH,
        height: HEIGHT,
        title: "What is due, on a rule of months".to_owned(),
        says: says(ruler),
        list: Vec::new(),
    };
    let scale = Scale::new(f64::from(FROM_DAYS), f64::from(TO_DAYS), EDGE, WIDTH - EDGE);
    drawing.line(Role::Graduation, at(EDGE, TOP), at(WIDTH - EDGE, TOP));
    for day in (FROM_DAYS..=TO_DAYS).step_by(7) {
        let x = scale.place(f64::from(day));
        drawing.line(Role::Graduation, at(x, TOP), at(x, TOP + 8.0));
    }
    for (day, name) in on_it(&ruler.months, |(day, _)| *day) {
        let x = scale.place(f64::from(*day));
        drawing.line(Role::Graduation, at(x, TOP), at(x, TOP + 22.0));
        if x < WIDTH - NAME {
            let words = Words::new(Role::OffPaperInk, at(x + 3.0, TOP + 24.0), name);
            drawing.words(words.size(16.0));
        }
    }
    let today = scale.place(0.0);
    drawing.line(
        Role::EventLine,
        at(today, TOP - 46.0),
        at(today, TOP + 34.0),
    );
    drawing.words(Words::new(Role::OffPaperInk, at(today + 4.0, TOP + 44.0), "today").size(16.0));
    dues(&mut drawing, ruler, &scale);
    drawing
}

/// Everything whose day is not beyond the rule's end.
fn on_it<T>(all: &[T], day: impl Fn(&T) -> i32) -> impl Iterator<Item = &T> {
    all.iter()
        .filter(move |one| (FROM_DAYS..=TO_DAYS).contains(&day(one)))
}

/// A mark each, with its number over it; what was due before the rule begins stands at its beginning.
fn dues(drawing: &mut Drawing, ruler: &Ruler, scale: &Scale) {
    let mut marks: Vec<(usize, i32)> = ruler.dues.clone();
    marks.retain(|(_, day)| *day <= TO_DAYS);
    marks.sort_by_key(|(_, day)| *day);
    let mut last: Option<(f64, f64)> = None;
    for (n, day) in marks {
        let x = scale.place(f64::from(day));
        let over = match last {
            Some((before, height)) if x - before < APART => (height + 16.0) % 48.0,
            _ => 0.0,
        };
        last = Some((x, over));
        let (stroke, words) = if day < 0 {
            (Role::StopLimit, Role::OffPaperStop)
        } else {
            (Role::Dimension, Role::OffPaperInk)
        };
        drawing.line(stroke, at(x, TOP), at(x, TOP - 8.0 - over));
        let text = Words::new(words, at(x, TOP - 11.0 - over), n.to_string());
        drawing.words(text.size(16.0).bold().anchor(Anchor::Middle));
    }
}

fn says(ruler: &Ruler) -> String {
    let mut parts: Vec<String> = Vec::new();
    for (n, day) in &ruler.dues {
        parts.push(match *day {
            d if d < 0 => format!("{n} overdue by {} d", -d),
            d if d > TO_DAYS => format!("{n} in {d} d, beyond the rule"),
            d => format!("{n} in {d} d"),
        });
    }
    if parts.is_empty() {
        return "Nothing is due.".to_owned();
    }
    format!("{}.", parts.join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_due_stands_in_its_order_and_nothing_off_the_rule() {
        let all = Ruler {
            months: vec![(5, "Dec".into()), (370, "Dec".into()), (400, "Jan".into())],
            dues: vec![(1, -700), (2, 31), (3, 32), (4, 900)],
        };
        let drawing = draw(&all);
        assert_eq!(drawing.all_words(), ["Dec", "today", "1", "2", "3"]);
        assert!(drawing.says.contains("1 overdue by 700 d"));
        assert!(drawing.says.contains("4 in 900 d, beyond the rule"));
        let heights: Vec<f64> = drawing
            .list
            .iter()
            .filter_map(|p| match p {
                crate::prim::Prim::Text(w) if w.bold => Some(w.at.y),
                _ => None,
            })
            .collect();
        // The two that are a day apart stand one over the other.
        assert!(heights[1] > heights[2]);
        for prim in &drawing.list {
            if let crate::prim::Prim::Text(words) = prim {
                assert!(
                    (0.0..=WIDTH).contains(&words.at.x) && (0.0..=HEIGHT).contains(&words.at.y)
                );
            }
        }
    }
}
