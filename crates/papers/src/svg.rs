//! Drawings as SVG text: presentation attributes carry the light colours, a class a role lets a page give the dark ones.

use std::fmt::Write;

use crate::prim::{Anchor, Drawing, Point, Prim, Role, Sign, Under, Words};

/// SVG text that this crate has written, safe to put into a page as it is.
///
/// Only a [`Drawing`] can become one; every word in it has been escaped.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Svg(String);

impl Svg {
    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl std::fmt::Display for Svg {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<&Drawing> for Svg {
    fn from(drawing: &Drawing) -> Self {
        let mut text = String::with_capacity(4096);
        let (w, h) = (short(drawing.width), short(drawing.height));
        let (title, says) = (escaped(&drawing.title), escaped(&drawing.says));
        // A write to a String cannot fail, so its answer is let go.
        let _ = write!(
            text,
            r#"<svg class="g" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {h}" width="{w}" height="{h}" role="img"><title>{title}</title><desc>{says}</desc>"#
        );
        for prim in &drawing.list {
            put(&mut text, prim);
        }
        text.push_str("</svg>");
        Self(text)
    }
}

/// Class, fill, stroke, stroke width and dashes of a role, in light colours.
struct Face(
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
);

fn face(role: Role) -> Face {
    let (none, ink, water, stop, brown) = ("none", "#12202B", "#005387", "#9B2423", "#6B3A12");
    match role {
        Role::Paper => Face("g-paper", "#FDFCF2", "#93BFA1", "1", ""),
        Role::Hole => Face("g-hole", "#D3D9D6", "#93BFA1", "1", ""),
        Role::GridFine => Face("g-fine", none, "#CFE3D4", "1", ""),
        Role::GridHeavy => Face("g-heavy", none, "#93BFA1", "1", ""),
        Role::PressurePen => Face("g-pressure", none, ink, "2", ""),
        Role::PressureDot => Face("g-pressure-dot", ink, none, "0", ""),
        Role::WaterPen => Face("g-water", none, water, "2.6", ""),
        Role::WaterCross => Face("g-water-cross", none, water, "1.6", ""),
        Role::CoPen => Face("g-co", none, brown, "2", "7 3"),
        Role::PressureUnder(under) => Face("g-pressure", none, ink, "1.8", dashes(under)),
        Role::WaterUnder(under) => Face("g-water", none, water, "2", dashes(under)),
        Role::CoUnder(under) => Face("g-co", none, brown, "1.6", dashes(under)),
        Role::StopLimit => Face("g-stop", none, stop, "1.6", ""),
        Role::CautionLimit => Face("g-limit", none, ink, "1", "12 3 2 3"),
        Role::EventLine => Face("g-event", none, ink, "1", "2 3"),
        Role::NowLine => Face("g-now", none, ink, "2", ""),
        Role::Wedge => Face("g-wedge", water, none, "0", ""),
        Role::WedgeEdge => Face("g-wedge-edge", none, water, "1.4", "5 3"),
        Role::Dimension | Role::Graduation => Face("g-dimension", none, ink, "1", ""),
        Role::Arrow => Face("g-arrow", ink, none, "0", ""),
        Role::Tube => Face("g-tube", "#FFFFFF", ink, "2", ""),
        Role::StripeBroad => Face("g-blue-broad", water, none, "0", ""),
        Role::StripeThin => Face("g-blue-thin", water, none, "0", ""),
        Role::StripeLow => Face("g-low-mark", stop, none, "0", ""),
        Role::HatchHigh => Face("g-hatch", none, "#42505A", "1", ""),
        Role::HatchLow => Face("g-hatch-low", none, stop, "1.4", ""),
        Role::WordsInk => Face("g-words g-words-under", ink, "#FDFCF2", "3", ""),
        Role::WordsWater => Face("g-words-water g-words-under", water, "#FDFCF2", "3", ""),
        Role::WordsCo => Face("g-words-co g-words-under", brown, "#FDFCF2", "3", ""),
        Role::WordsStop => Face("g-words-stop g-words-under", stop, "#FDFCF2", "3", ""),
        Role::OffPaperInk => Face("g-plain-words", ink, none, "0", ""),
        Role::OffPaperWater => Face("g-words-water", water, none, "0", ""),
        Role::OffPaperCo => Face("g-words-co", brown, none, "0", ""),
        Role::OffPaperStop => Face("g-plain-stop", stop, none, "0", ""),
        // The same in the dark: a phone reads dark on light.
        Role::CodeDark => Face("g-code", "#000000", none, "0", ""),
        Role::CodeLight => Face("g-code-ground", "#FFFFFF", none, "0", ""),
    }
}

/// Dots, then dots and dashes, then long dashes: older pens keep their colour.
fn dashes(under: Under) -> &'static str {
    match under {
        Under::First => "2 4",
        Under::Second => "9 4 2 4",
        Under::Third => "16 5",
    }
}

impl Face {
    fn attributes(&self) -> String {
        let Self(class, fill, stroke, width, dashes) = self;
        let mut text = format!(r#"class="{class}" fill="{fill}""#);
        if *stroke != "none" {
            let _ = write!(text, r#" stroke="{stroke}" stroke-width="{width}""#);
        }
        if !dashes.is_empty() {
            let _ = write!(text, r#" stroke-dasharray="{dashes}""#);
        }
        if *class == "g-wedge" {
            text.push_str(r#" fill-opacity="0.18""#);
        }
        text
    }
}

fn put(text: &mut String, prim: &Prim) {
    let _ = match prim {
        Prim::Line { role, from, to } => write!(
            text,
            r#"<line x1="{}" y1="{}" x2="{}" y2="{}" {}/>"#,
            short(from.x),
            short(from.y),
            short(to.x),
            short(to.y),
            face(*role).attributes()
        ),
        Prim::Polyline { role, points } => write!(
            text,
            r#"<polyline points="{}" {} stroke-linejoin="round"/>"#,
            listed(points),
            face(*role).attributes()
        ),
        Prim::Polygon { role, points } => write!(
            text,
            r#"<polygon points="{}" {}/>"#,
            listed(points),
            face(*role).attributes()
        ),
        Prim::Rect {
            role,
            from,
            width,
            height,
        } => write!(
            text,
            r#"<rect x="{}" y="{}" width="{}" height="{}" {}/>"#,
            short(from.x),
            short(from.y),
            short(*width),
            short(*height),
            face(*role).attributes()
        ),
        Prim::Dot { role, at, radius } => write!(
            text,
            r#"<circle cx="{}" cy="{}" r="{}" {}/>"#,
            short(at.x),
            short(at.y),
            short(*radius),
            face(*role).attributes()
        ),
        Prim::Text(words) => put_words(text, words),
        Prim::Flag { sign, at } => put_sign(text, *sign, *at),
    };
}

fn put_words(text: &mut String, words: &Words) -> std::fmt::Result {
    let (x, y) = (short(words.at.x), short(words.at.y));
    let anchor = match words.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    write!(
        text,
        r#"<text x="{x}" y="{y}" font-size="{}" text-anchor="{anchor}""#,
        short(words.size)
    )?;
    if words.bold {
        text.push_str(r#" font-weight="700""#);
    }
    if words.upward {
        write!(text, r#" transform="rotate(-90 {x} {y})""#)?;
    }
    write!(
        text,
        r#" paint-order="stroke" {}>{}</text>"#,
        face(words.role).attributes(),
        escaped(&words.text)
    )
}

fn put_sign(text: &mut String, sign: Sign, at: Point) -> std::fmt::Result {
    let outline = |corners: &[(f64, f64)]| {
        let points: Vec<Point> = corners
            .iter()
            .map(|(x, y)| Point {
                x: at.x + x,
                y: at.y + y,
            })
            .collect();
        listed(&points)
    };
    match sign {
        Sign::Stop => {
            let eight = [
                (-3.3, -8.0),
                (3.3, -8.0),
                (8.0, -3.3),
                (8.0, 3.3),
                (3.3, 8.0),
                (-3.3, 8.0),
                (-8.0, 3.3),
                (-8.0, -3.3),
            ];
            write!(
                text,
                r##"<polygon class="g-flag-stop" points="{}" fill="#9B2423" stroke="#FFFFFF" stroke-width="1"/>"##,
                outline(&eight)
            )?;
            write!(
                text,
                r##"<rect x="{}" y="{}" width="10" height="3" fill="#FFFFFF"/>"##,
                short(at.x - 5.0),
                short(at.y - 1.5)
            )
        }
        Sign::Caution => {
            let three = [(0.0, -8.0), (8.5, 7.0), (-8.5, 7.0)];
            write!(
                text,
                r##"<polygon class="g-flag-caution" points="{}" fill="#F9A800" stroke="#000000" stroke-width="1.4" stroke-linejoin="round"/>"##,
                outline(&three)
            )?;
            write!(
                text,
                r##"<path d="M{x} {a}v5M{x} {b}v1.6" stroke="#000000" stroke-width="1.6" fill="none"/>"##,
                x = short(at.x),
                a = short(at.y - 3.0),
                b = short(at.y + 3.4)
            )
        }
        Sign::Note => {
            let sheet = [
                (-6.0, -7.0),
                (3.0, -7.0),
                (6.0, -4.0),
                (6.0, 7.0),
                (-6.0, 7.0),
            ];
            write!(
                text,
                r##"<polygon class="g-flag-note" points="{}" fill="#FAFBF8" stroke="#12202B" stroke-width="1.2"/>"##,
                outline(&sheet)
            )
        }
    }
}

fn listed(points: &[Point]) -> String {
    let pairs: Vec<String> = points
        .iter()
        .map(|p| format!("{},{}", short(p.x), short(p.y)))
        .collect();
    pairs.join(" ")
}

/// A coordinate to a tenth, without an idle zero.
fn short(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::prim::at;

    fn drawing(title: &str) -> Drawing {
        Drawing {
            width: 100.0,
            height: 50.0,
            title: title.into(),
            says: "what it shows".into(),
            list: Vec::new(),
        }
    }

    #[test]
    fn what_a_person_typed_cannot_become_markup() {
        let mut hostile = drawing("<script>alert(1)</script>");
        hostile.words(Words::new(
            Role::WordsInk,
            at(1.0, 2.0),
            "feed \"on\" & <b>off</b>",
        ));
        let text = Svg::from(&hostile).to_string();
        assert!(!text.contains("<script") && !text.contains("<b>"), "{text}");
        assert!(text.contains("feed &quot;on&quot; &amp; &lt;b&gt;off&lt;/b&gt;"));
    }

    #[test]
    fn a_drawing_says_what_it_is_and_carries_no_style() {
        let mut plain = drawing("chart");
        plain.line(Role::StopLimit, at(0.0, 0.0), at(10.25, 3.0));
        let text = Svg::from(&plain).to_string();
        assert!(text.contains(r#"role="img"><title>chart</title><desc>what it shows</desc>"#));
        assert!(text.contains(r##"stroke="#9B2423""##) && text.contains(r#"class="g-stop""#));
        assert!(!text.contains("style"), "{text}");
    }
}
