//! How times and money are shown.

use records::Stamp;

/// Pence as a sum with the workshop's sign, `£14.60`; what is owed to the customer with a minus sign.
pub(crate) fn pounds(pence: i64) -> String {
    let minus = if pence < 0 { "−" } else { "" };
    let sign = crate::currency::before_figure();
    let pence = pence.abs();
    format!("{minus}{sign}{}.{:02}", grouped(pence / 100), pence % 100)
}

/// Minutes as hours, `7 h 20 min`.
pub(crate) fn hours(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m} min"),
    }
}

/// The same as it is typed into a form, `7:20`.
pub(crate) fn typed_hours(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (h, 0) => h.to_string(),
        (h, m) => format!("{h}:{m:02}"),
    }
}

/// The same as it is typed into a form, `14.60`; empty for none.
pub(crate) fn typed_pounds(pence: Option<i64>) -> String {
    pence.map_or_else(String::new, |p| format!("{}.{:02}", p / 100, p % 100))
}

fn grouped(whole: i64) -> String {
    let digits = whole.to_string();
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// How long something has lasted, in days: `today`, `4 d`.
pub(crate) fn days_since(since: Stamp, now: Stamp) -> String {
    match since.days_to(now) {
        d if d < 1 && since.day() == now.day() => "today".to_owned(),
        d if d < 1 => "1 d".to_owned(),
        d => format!("{d} d"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_reads_as_on_a_bill() {
        assert_eq!(pounds(1460), "£14.60");
        assert_eq!(pounds(124_000), "£1,240.00");
        assert_eq!(pounds(-5), "−£0.05");
        assert_eq!(typed_pounds(Some(7_400)), "74.00");
    }

    #[test]
    fn hours_read_as_they_are_said_and_typed() {
        assert_eq!(hours(440), "7 h 20 min");
        assert_eq!((hours(420), hours(20)), ("7 h".into(), "20 min".into()));
        assert_eq!(
            (typed_hours(440), typed_hours(420)),
            ("7:20".into(), "7".into())
        );
    }
}
