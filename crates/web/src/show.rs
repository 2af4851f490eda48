//! How times and money are shown.

use records::Stamp;

/// Pence as pounds, `£14.60`; what is owed to the customer with a minus sign.
pub(crate) fn pounds(pence: i64) -> String {
    let sign = if pence < 0 { "−" } else { "" };
    let pence = pence.abs();
    format!("{sign}£{}.{:02}", grouped(pence / 100), pence % 100)
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
}
