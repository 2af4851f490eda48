//! Figures as people type them on a phone: point or comma, refused where they could mean two things.

/// A figure in canonical decimal: digits and a point, every trailing zero kept as typed.
///
/// # Errors
/// What is wrong, in words that say how to mend it.
pub(crate) fn read(typed: &str) -> Result<String, String> {
    let text = typed.trim();
    let (minus, digits) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    if let Some(other) = digits
        .chars()
        .find(|c| !c.is_ascii_digit() && !matches!(c, '.' | ','))
    {
        return Err(format!(
            "“{text}” is not a plain figure: “{other}” cannot stand in it; use 0 to 9 and one point"
        ));
    }
    if digits.chars().filter(|c| matches!(c, '.' | ',')).count() > 1 {
        return Err(format!(
            "“{text}” has more than one point or comma: write it with one point"
        ));
    }
    let (whole, part) = match digits.split_once(['.', ',']) {
        Some((_, "")) => {
            return Err(format!(
                "“{text}” ends in a point: the figure after it is missing"
            ));
        }
        Some((whole, part)) => (whole, Some(part)),
        None => (digits, None),
    };
    if whole.is_empty() && part.is_none() {
        return Err("a figure is missing".to_owned());
    }
    let trimmed = whole.trim_start_matches('0');
    if digits.contains(',') && part.is_some_and(|p| p.len() == 3) && !trimmed.is_empty() {
        return Err(format!(
            "“{text}” could be {whole}.{} or {whole}{}: write it with a point, or without the comma",
            part.unwrap_or(""),
            part.unwrap_or("")
        ));
    }
    let sign = if minus { "-" } else { "" };
    let whole = if trimmed.is_empty() { "0" } else { trimmed };
    Ok(match part {
        Some(part) => format!("{sign}{whole}.{part}"),
        None => format!("{sign}{whole}"),
    })
}

/// The same, refusing what is under nothing.
///
/// # Errors
/// As [`read`].
pub(crate) fn read_positive(typed: &str) -> Result<String, String> {
    let figure = read(typed)?;
    if figure.starts_with('-') {
        return Err(format!(
            "“{}” is under nothing: leave the minus out",
            typed.trim()
        ));
    }
    Ok(figure)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_typed_is_kept_to_the_last_zero() {
        for (typed, kept) in [
            ("3,2", "3.2"),
            (" 32 ", "32"),
            ("3.20", "3.20"),
            ("3.200", "3.200"),
            ("0,200", "0.200"),
            (".5", "0.5"),
            ("007", "7"),
            ("\u{2212}1", "-1"),
            ("-0.5", "-0.5"),
            ("0", "0"),
        ] {
            assert_eq!(read(typed), Ok(kept.to_owned()), "{typed}");
        }
    }

    #[test]
    fn what_could_mean_two_things_is_refused_with_the_mend() {
        for typed in [
            "3.2.", "3,200", "1,234.5", "1e3", "٣٫٢", "", " ", "3.", "-", "--1", "3 2", "12mm",
            "NaN", "inf", "+3",
        ] {
            assert!(read(typed).is_err(), "{typed} was taken");
        }
        assert!(read("3,200").unwrap_err().contains("3.200 or 3200"));
    }

    #[test]
    fn a_level_under_nothing_is_refused() {
        assert!(read_positive("\u{2212}1").is_err());
    }
}
