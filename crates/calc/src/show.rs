//! How figures are written for people: page, print and paper call these, so that they agree.

/// A figure with a fixed number of places, a true minus sign and no "−0".
///
/// ```
/// assert_eq!(calc::show::fixed(-0.04, 1), "0.0");
/// assert_eq!(calc::show::fixed(-2.26, 1), "−2.3");
/// ```
pub fn fixed(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_owned(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// A span of time for a hurried reader: whole seconds under a minute and a half, then half
/// minutes to five, then whole minutes, always cut down and never up.
///
/// ```
/// assert_eq!(calc::show::span(92.0), "1½ min");
/// assert_eq!(calc::show::span(47.9), "47 s");
/// assert_eq!(calc::show::span(700.0), "11 min");
/// ```
pub fn span(seconds: f64) -> String {
    let s = seconds.max(0.0);
    if s < 90.0 {
        return format!("{:.0} s", s.floor());
    }
    let halves = (s / 30.0).floor();
    let minutes = (halves / 2.0).floor();
    if s < 300.0 && halves % 2.0 == 1.0 {
        format!("{minutes:.0}½ min")
    } else {
        format!("{minutes:.0} min")
    }
}

/// A figure with so many significant digits and no idle zeros; far from one, as a power of ten.
///
/// ```
/// assert_eq!(calc::show::significant(915.190_386, 5), "915.19");
/// assert_eq!(calc::show::significant(4.582e-10, 3), "4.58×10^−10");
/// ```
pub fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    if !value.is_finite() {
        return format!("{value}");
    }
    let written = format!("{value:.*e}", digits.saturating_sub(1));
    let (mantissa, exponent) = written.split_once('e').unwrap_or((&written, "0"));
    let power: i32 = exponent.parse().unwrap_or(0);
    if !(-4..=9).contains(&power) {
        let power = exponent.replace('-', "−");
        return format!("{}×10^{power}", bare(mantissa)).replace('-', "−");
    }
    let last = i32::try_from(digits).unwrap_or(1) - 1 - power;
    let places = usize::try_from(last.max(0)).unwrap_or(0);
    bare(&format!("{value:.places$}")).replace('-', "−")
}

/// A number as it stands in a line of working: bracketed where it would not be read as one.
pub(crate) fn in_formula(value: f64) -> String {
    let text = significant(value, 7);
    if text.contains(['−', '×']) {
        format!("({text})")
    } else {
        text
    }
}

fn bare(text: &str) -> &str {
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        text
    }
}
