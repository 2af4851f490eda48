//! Units as people of the trade type them: bar or psi, millimetres or inches and their fractions.

use axum::http::HeaderMap;
use axum_extra::extract::CookieJar;

use calc::quantity::Gauge;
use calc::show;

use crate::trials::decimal;

const COOKIE: &str = "gaugeglass_units";
const INCH_MM: f64 = 25.4;
/// Digits kept of a figure that was typed in another unit.
const DIGITS: usize = 9;

/// The units that somebody likes to type and read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Units {
    pub(super) psi: bool,
    pub(super) inch: bool,
}

impl Units {
    /// The choice that was kept, or bar and millimetres.
    pub(super) fn of(headers: &HeaderMap) -> Self {
        let kept = CookieJar::from_headers(headers)
            .get(COOKIE)
            .map(|c| c.value().to_owned());
        let kept = kept.unwrap_or_default();
        Self {
            psi: kept.contains("psi"),
            inch: kept.contains("inch"),
        }
    }

    /// The cookie that keeps the choice for a year.
    pub(super) fn cookie(self) -> String {
        let psi = if self.psi { "psi" } else { "bar" };
        let inch = if self.inch { "inch" } else { "mm" };
        format!("{COOKIE}={psi}.{inch}; HttpOnly; SameSite=Lax; Path=/; Max-Age=31536000")
    }

    /// The unit a box is read in when nothing stands behind its figure.
    pub(super) fn shown(self, unit: &'static str) -> &'static str {
        match unit {
            "bar" if self.psi => "psi",
            "mm" if self.inch => "in",
            other => other,
        }
    }

    /// A value in a reckoner's unit, as it is shown under this choice.
    pub(super) fn show(self, value: f64, unit: &'static str, digits: usize) -> String {
        let value = match self.shown(unit) {
            "psi" => Gauge::from_bar(value).psi(),
            "in" => value / INCH_MM,
            _ => value,
        };
        show::significant(value, digits)
    }

    /// A figure as typed, in the reckoner's unit, as decimal text.
    ///
    /// # Errors
    /// What is wrong, in words that mend it.
    pub(super) fn read(self, typed: &str, unit: &'static str) -> Result<String, String> {
        let (figure, named) = split(typed);
        let from = match (unit, named) {
            (_, "") => self.shown(unit),
            ("bar", "bar" | "psi") | ("mm", "mm" | "in" | "cm") => named,
            (unit, named) if unit == named || (unit == "°C" && named == "C") => unit,
            (unit, named) => {
                let other = match unit {
                    "bar" => " or psi",
                    "mm" => " or in",
                    _ => "",
                };
                return Err(format!(
                    "“{named}” is not a unit of this; give it in {unit}{other}"
                ));
            }
        };
        let factor = match from {
            "psi" => Gauge::from_psi(1.0).bar(),
            "in" => INCH_MM,
            "cm" => 10.0,
            _ => return decimal::read(figure),
        };
        let value = if from == "in" {
            inches(figure)?
        } else {
            number(figure)?
        };
        Ok(plain(value * factor))
    }
}

/// A typed figure and the unit behind it.
fn split(typed: &str) -> (&str, &str) {
    let text = typed.trim();
    let at = text.find(|c: char| c.is_alphabetic() || matches!(c, '"' | '″' | '°'));
    let (figure, unit) = at.map_or((text, ""), |at| text.split_at(at));
    let unit = match unit.trim().trim_end_matches('.') {
        "\"" | "″" | "inch" | "inches" => "in",
        "°C" => "°C",
        other => other,
    };
    (figure.trim(), unit)
}

fn number(figure: &str) -> Result<f64, String> {
    let text = decimal::read(figure)?;
    text.parse()
        .map_err(|_| format!("“{figure}” is not a figure"))
}

/// Inches with their fractions: `1/4`, `1 3/16`, `0.25`.
fn inches(figure: &str) -> Result<f64, String> {
    let Some((before, below)) = figure.split_once('/') else {
        return number(figure);
    };
    let like = || format!("“{figure}” is no size in inches; write it like 1 3/16");
    let (whole, above) = match before.trim().rsplit_once(' ') {
        Some((whole, above)) => (number(whole)?, above),
        None => (0.0, before),
    };
    let (above, below) = (
        number(above).map_err(|_| like())?,
        number(below).map_err(|_| like())?,
    );
    if below <= 0.0 || above < 0.0 {
        return Err(like());
    }
    Ok(whole + above / below)
}

/// As decimal text without a power of ten.
fn plain(value: f64) -> String {
    let text = format!("{value:.DIGITS$}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    const METRIC: Units = Units {
        psi: false,
        inch: false,
    };
    const IMPERIAL: Units = Units {
        psi: true,
        inch: true,
    };

    #[test]
    fn a_figure_is_read_in_the_unit_behind_it_or_in_the_chosen_one() {
        for (units, typed, unit, read) in [
            (METRIC, "4,5", "bar", "4.5"),
            (METRIC, "60 psi", "bar", "4.136854376"),
            (IMPERIAL, "60", "bar", "4.136854376"),
            (IMPERIAL, "4 bar", "bar", "4"),
            (METRIC, "1/4 in", "mm", "6.35"),
            (METRIC, "1 3/16\"", "mm", "30.1625"),
            (IMPERIAL, "1 3/16", "mm", "30.1625"),
            (METRIC, "2.5 cm", "mm", "25"),
            (METRIC, "20 °C", "°C", "20"),
            (METRIC, "1500", "ml", "1500"),
        ] {
            assert_eq!(
                units.read(typed, unit).as_deref(),
                Ok(read),
                "{typed} as {unit}"
            );
        }
    }

    #[test]
    fn a_wrong_unit_or_no_figure_is_told_and_never_guessed() {
        assert!(
            METRIC
                .read("60 kPa", "bar")
                .unwrap_err()
                .contains("bar or psi")
        );
        assert!(METRIC.read("3/0 in", "mm").is_err());
        assert!(
            METRIC.read("1/4", "mm").is_err(),
            "a fraction of a millimetre is a slip"
        );
        assert!(METRIC.read("", "mm").is_err());
        assert!(METRIC.read("20 bar", "°C").is_err());
    }

    #[test]
    fn a_choice_is_kept_and_shown() {
        let kept = IMPERIAL.cookie();
        let mut headers = HeaderMap::new();
        let pair = kept.split(';').next().unwrap();
        headers.insert("cookie", pair.parse().unwrap());
        assert_eq!(Units::of(&headers), IMPERIAL);
        assert_eq!(Units::of(&HeaderMap::new()), METRIC);
        assert_eq!(IMPERIAL.show(4.136_854, "bar", 4), "60");
        assert_eq!(METRIC.show(4.136_854, "bar", 4), "4.137");
    }
}
