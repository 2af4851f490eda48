//! Ways to reach a customer: the boxes, a kind each, and which comes first.

use records::customers::{WAYS, Way, Ways};
use serde::Deserialize;

use crate::form::{Field, Pick, Reader};

/// The boxes as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct WaysForm {
    telephone: String,
    email: String,
    letter: String,
    reach: String,
    prefers: String,
}

impl WaysForm {
    pub(crate) fn of(known: &Ways) -> Self {
        Self {
            telephone: known.telephone.clone(),
            email: known.email.clone(),
            letter: known.letter.clone(),
            reach: known.other.clone(),
            prefers: known.prefers.clone(),
        }
    }

    pub(crate) fn fields(&self) -> Vec<Field> {
        let mut first = vec![Pick::new("", "whichever")];
        first.extend(Pick::words(&WAYS));
        vec![
            Field::new("few", "telephone", "Telephone", &self.telephone).hint("one a line"),
            Field::new("few", "email", "E-mail", &self.email).hint("one a line"),
            Field::new("few", "letter", "Letter", &self.letter)
                .hint("the address, as on the envelope"),
            Field::new("few", "reach", "Any other way", &self.reach)
                .hint("one a line: through whom, at the club on which evening …"),
            Field::new("pick", "prefers", "Reach them first by", &self.prefers).picks(first),
        ]
    }

    pub(crate) fn read(&self, read: &mut Reader) -> Ways {
        let ways = Ways {
            telephone: read.words("telephone", &self.telephone),
            email: read.words("email", &self.email),
            letter: read.words("letter", &self.letter),
            other: read.words("reach", &self.reach),
            prefers: if self.prefers.is_empty() {
                String::new()
            } else {
                read.one_of("prefers", &self.prefers, &WAYS)
            },
        };
        if let Some(line) = ways.email.lines().find(|l| !is_an_address(l.trim())) {
            read.fault(
                "email",
                format!(
                    "“{}” is no e-mail address: one a line, like wren@example.org.",
                    line.trim()
                ),
            );
        }
        if WAYS.contains(&ways.prefers.as_str()) && ways.of(&ways.prefers).is_empty() {
            read.fault(
                "prefers",
                "Nothing is written down for that way: write it above, or choose another.",
            );
        }
        ways
    }
}

/// Something before an @ and something after it, and no blank.
fn is_an_address(line: &str) -> bool {
    line.is_empty()
        || line
            .split_once('@')
            .is_some_and(|(who, at)| !who.is_empty() && !at.is_empty() && !at.contains('@'))
            && !line.contains(char::is_whitespace)
}

/// Where a press on a way leads on a phone; nothing where it leads nowhere.
pub(crate) fn link(way: &Way) -> String {
    match way.kind {
        "telephone" => {
            let number: String = way
                .words
                .chars()
                .filter(|c| c.is_ascii_digit() || *c == '+')
                .collect();
            if number.is_empty() {
                String::new()
            } else {
                format!("tel:{number}")
            }
        }
        "e-mail" => format!("mailto:{}", way.words),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_first_must_be_there_and_an_address_has_an_at() {
        let form = WaysForm {
            email: "wren@example.org\nno address".into(),
            prefers: "telephone".into(),
            ..WaysForm::default()
        };
        let mut read = Reader::default();
        form.read(&mut read);
        let faults = read.done(()).unwrap_err();
        assert!(faults.of("email").contains("“no address”"));
        assert!(!faults.of("prefers").is_empty());
        let good = WaysForm {
            telephone: "0555 12".into(),
            prefers: "telephone".into(),
            ..WaysForm::default()
        };
        let mut read = Reader::default();
        let ways = good.read(&mut read).all();
        assert!(read.done(()).is_ok() && ways[0].first);
        assert_eq!(link(&ways[0]), "tel:055512");
    }
}
