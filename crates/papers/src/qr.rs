//! A QR code (ISO/IEC 18004): an address that a phone reads off the screen.

use qrcode::{Color, EcLevel, QrCode};

use crate::prim::{Drawing, Role, at};
use crate::svg::Svg;

/// Modules of white that must stand round it.
const QUIET: f64 = 4.0;
/// Size of a module in the drawing's units.
const MODULE: f64 = 6.0;

/// The code of a text as SVG; nothing where the text is too long for one.
///
/// ```
/// let code = papers::qr::code("http://192.168.1.20:8017/join/abc", "lets a phone in").expect("it is short");
/// assert!(code.as_str().contains("lets a phone in"));
/// ```
pub fn code(text: &str, says: &str) -> Option<Svg> {
    draw(text, says).map(|drawing| Svg::from(&drawing))
}

fn draw(text: &str, says: &str) -> Option<Drawing> {
    let code = QrCode::with_error_correction_level(text.as_bytes(), EcLevel::M).ok()?;
    let wide = code.width();
    let side = MODULE * (f64::from(u32::try_from(wide).ok()?) + 2.0 * QUIET);
    let mut drawing = Drawing {
        width: side,
        height: side,
        title: "A code to be read by a phone".to_owned(),
        says: says.to_owned(),
        list: Vec::new(),
    };
    drawing.rect(Role::CodeLight, at(0.0, 0.0), side, side);
    let mut y = QUIET * MODULE;
    for row in code.to_colors().chunks(wide) {
        let mut x = QUIET * MODULE;
        for run in row.chunk_by(|a, b| a == b) {
            let long = MODULE * f64::from(u32::try_from(run.len()).ok()?);
            if run.first() == Some(&Color::Dark) {
                drawing.rect(Role::CodeDark, at(x, y), long, MODULE);
            }
            x += long;
        }
        y += MODULE;
    }
    Some(drawing)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::prim::Prim;

    #[test]
    fn the_three_corners_are_where_a_reader_looks_for_them() {
        let drawing = draw("http://127.0.0.1:8017/join/x", "a code").expect("short");
        let dark = |x: f64, y: f64| {
            drawing.list.iter().any(|p| {
                matches!(p, Prim::Rect { role: Role::CodeDark, from, width, .. }
                    if (from.x - x).abs() < 1e-9 && (from.y - y).abs() < 1e-9 && (*width - 7.0 * MODULE).abs() < 1e-9)
            })
        };
        let (near, far) = (QUIET * MODULE, drawing.width - (QUIET + 7.0) * MODULE);
        assert!(dark(near, near) && dark(far, near) && dark(near, far));
    }

    #[test]
    fn what_no_code_can_hold_gives_none() {
        assert!(code(&"x".repeat(4000), "too long").is_none());
    }
}
