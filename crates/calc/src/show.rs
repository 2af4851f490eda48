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
