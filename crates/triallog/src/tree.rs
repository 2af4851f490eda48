//! What was read, after it was found good: keys in the order of the schema, numbers as typed.

use std::fmt::Write as _;

/// A number with the digits that it was typed with.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Typed {
    pub(crate) text: String,
    pub(crate) value: f64,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Tree {
    Object(Vec<(&'static str, Tree)>),
    List(Vec<Tree>),
    Text(String),
    Number(Typed),
    Bool(bool),
    Null,
}

impl Tree {
    pub(crate) fn get(&self, key: &str) -> Option<&Tree> {
        match self {
            Self::Object(pairs) => pairs.iter().find(|p| p.0 == key).map(|p| &p.1),
            _ => None,
        }
    }

    pub(crate) fn number(&self, key: &str) -> Option<f64> {
        match self.get(key)? {
            Self::Number(typed) => Some(typed.value),
            _ => None,
        }
    }

    pub(crate) fn text(&self, key: &str) -> Option<&str> {
        match self.get(key)? {
            Self::Text(text) => Some(text),
            _ => None,
        }
    }

    pub(crate) fn bool(&self, key: &str) -> Option<bool> {
        match self.get(key)? {
            Self::Bool(b) => Some(*b),
            _ => None,
        }
    }

    pub(crate) fn list(&self, key: &str) -> &[Tree] {
        match self.get(key) {
            Some(Self::List(items)) => items,
            _ => &[],
        }
    }

    /// The canonical text: one line, keys in schema order, numbers as typed.
    pub(crate) fn canonical(&self) -> String {
        let mut out = String::new();
        self.write(&mut out);
        out
    }

    fn write(&self, out: &mut String) {
        match self {
            Self::Object(pairs) => {
                out.push('{');
                for (n, (key, value)) in pairs.iter().enumerate() {
                    if n > 0 {
                        out.push_str(", ");
                    }
                    let _ = write!(out, "\"{key}\": ");
                    value.write(out);
                }
                out.push('}');
            }
            Self::List(items) => {
                out.push('[');
                for (n, item) in items.iter().enumerate() {
                    if n > 0 {
                        out.push_str(", ");
                    }
                    item.write(out);
                }
                out.push(']');
            }
            Self::Text(text) => out.push_str(&quoted(text)),
            Self::Number(typed) => out.push_str(&typed.text),
            Self::Bool(b) => out.push_str(if *b { "true" } else { "false" }),
            Self::Null => out.push_str("null"),
        }
    }
}

/// Text as JSON: quotes, backslashes and control characters escaped, all else as it is.
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => {
                let _ = write!(out, "\\u{:04x}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// A JSON number with its exponent written out: `1.50e2` becomes `150`, all other digits stay.
pub(crate) fn plain(text: &str) -> String {
    let (mantissa, exponent) = match text.split_once(['e', 'E']) {
        None => return unsigned_zero(text.to_owned()),
        Some((m, e)) => (m, e.parse::<i32>().unwrap_or(0).clamp(-400, 400)),
    };
    let (sign, digits) = match mantissa.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", mantissa),
    };
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let mut all: String = format!("{whole}{part}");
    let mut point = i32::try_from(whole.len()).unwrap_or(0) + exponent;
    while point <= 0 {
        all.insert(0, '0');
        point += 1;
    }
    let point = usize::try_from(point).unwrap_or(0);
    while all.len() < point {
        all.push('0');
    }
    let (whole, part) = all.split_at(point);
    let whole = whole.trim_start_matches('0');
    let whole = if whole.is_empty() { "0" } else { whole };
    let text = if part.is_empty() {
        format!("{sign}{whole}")
    } else {
        format!("{sign}{whole}.{part}")
    };
    unsigned_zero(text)
}

fn unsigned_zero(text: String) -> String {
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_owned(),
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_their_digits_and_lose_their_exponent() {
        for (typed, written) in [
            ("3.20", "3.20"),
            ("1.50e2", "150"),
            ("1e3", "1000"),
            ("12e-1", "1.2"),
            ("5E-3", "0.005"),
            ("-0.0", "0.0"),
            ("-2.5", "-2.5"),
        ] {
            assert_eq!(plain(typed), written);
        }
    }

    #[test]
    fn text_that_would_break_the_line_is_escaped() {
        assert_eq!(quoted("a \"b\"\n\u{7}é"), "\"a \\\"b\\\"\\n\\u0007é\"");
    }
}
