//! A procedure as a text that a person edits: a line a list, a line an item.
//!
//! ```text
//! # title | read and do | gas              a list; its way; its fuel, where it is for one fuel only
//! - what to do | what is seen then         an item
//! ! what to do | what is seen | this / that    a must-see item with its answers
//! ! what to do | what is seen | in mm          a must-see item with the unit of its figure
//! ```

use super::{Burns, Item, List, MOST, Observed};

/// The longest part of a line, in characters.
const LONGEST: usize = 160;
/// The most lists of one procedure.
const MOST_LISTS: usize = 20;
/// What stands between the parts of a line.
const PART: char = '|';
/// The two ways of going through a list.
const READ_AND_DO: &str = "read and do";
const CONFIRM: &str = "do, then confirm";

/// What is wrong with a text, each with its line from 1, in the order of the lines.
pub(super) type Wrong = Vec<(usize, String)>;

/// The lists of a text.
///
/// # Errors
/// Everything that is wrong, each named by its line.
pub(in crate::trials) fn read(text: &str) -> Result<Vec<List>, Wrong> {
    let mut reading = Reading::default();
    for (n, line) in (1..).zip(text.lines()) {
        let line = plain(line);
        match line.chars().next() {
            None => {}
            Some('#') => reading.list(n, &line[1..]),
            Some('-') => reading.item(n, &line[1..], false),
            Some('!') => reading.item(n, &line[1..], true),
            Some(_) => reading.fault(
                n,
                "begin it with # for a list, - for an item or ! for a must-see item",
            ),
        }
    }
    reading.end()
}

/// The canonical text of lists: what is stored and hashed.
pub(in crate::trials) fn write(lists: &[List]) -> String {
    let all: Vec<String> = lists.iter().map(one).collect();
    all.join("\n")
}

fn one(list: &List) -> String {
    let way = if list.in_order { READ_AND_DO } else { CONFIRM };
    let mut text = format!("# {} | {way}", list.title);
    if let Some(fuel) = list.burns {
        text.push_str(&format!(" | {}", fuel.word()));
    }
    text.push('\n');
    for item in &list.items {
        let line = match &item.must_see {
            None => format!("- {} | {}\n", item.does, item.sees),
            Some(Observed::Choice(all)) => {
                format!("! {} | {} | {}\n", item.does, item.sees, all.join(" / "))
            }
            Some(Observed::Figure(unit)) => {
                format!("! {} | {} | in {unit}\n", item.does, item.sees)
            }
        };
        text.push_str(&line);
    }
    text
}

/// A line with single spaces, and none at its ends.
fn plain(line: &str) -> String {
    let words: Vec<&str> = line.split_whitespace().collect();
    words.join(" ")
}

#[derive(Default)]
struct Reading {
    lists: Vec<List>,
    /// The line of each list's title.
    begun: Vec<usize>,
    wrong: Wrong,
}

impl Reading {
    fn fault(&mut self, n: usize, says: impl Into<String>) {
        self.wrong.push((n, says.into()));
    }

    fn parts(&mut self, n: usize, line: &str) -> Vec<String> {
        let parts: Vec<String> = line.split(PART).map(plain).collect();
        if parts.iter().any(|p| p.chars().count() > LONGEST) {
            self.fault(
                n,
                format!("too long to be read at a glance: at most {LONGEST} characters a part"),
            );
        }
        parts
    }

    fn list(&mut self, n: usize, line: &str) {
        let parts = self.parts(n, line);
        let title = parts.first().cloned().unwrap_or_default();
        if title.is_empty() {
            self.fault(n, "give the list a title after the #");
        } else if self.lists.iter().any(|l| l.name == name_of(&title)) {
            self.fault(
                n,
                format!("there is a list “{title}” already: give this one another title"),
            );
        }
        let in_order = match parts.get(1).map(String::as_str) {
            Some(READ_AND_DO) => true,
            Some(CONFIRM) => false,
            _ => {
                self.fault(n, format!("say after the title how it is gone through: “| {READ_AND_DO}” or “| {CONFIRM}”"));
                false
            }
        };
        let burns = parts.get(2).and_then(|word| Burns::read(word));
        if parts.len() > 3 || (parts.len() == 3 && burns.is_none()) {
            self.fault(n, "after that only its fuel can stand: gas, spirit, coal or electric; leave it out for every fuel");
        }
        self.begun.push(n);
        self.lists.push(List {
            name: name_of(&title),
            title,
            in_order,
            burns,
            items: Vec::new(),
        });
    }

    fn item(&mut self, n: usize, line: &str, must_see: bool) {
        let parts = self.parts(n, line);
        let part = |at: usize| parts.get(at).cloned().unwrap_or_default();
        let (does, sees) = (part(0), part(1));
        if does.is_empty() {
            self.fault(n, "say what is to be done");
        }
        if sees.is_empty() {
            self.fault(n, "say after a | what is seen when it is done");
        }
        let observed = if must_see {
            self.observed(n, &part(2))
        } else {
            None
        };
        if !must_see && parts.len() > 2 {
            self.fault(
                n,
                "answers belong to a must-see item: begin the line with ! instead of -",
            );
        } else if parts.len() > 3 {
            self.fault(
                n,
                "a | too many: what to do | what is seen | answers or unit",
            );
        }
        let Some(list) = self.lists.last_mut() else {
            return self.fault(
                n,
                "it belongs to no list: put a line with # and a title before it",
            );
        };
        list.items.push(Item {
            does,
            sees,
            must_see: observed,
        });
        if list.items.len() == MOST + 1 {
            let says = format!(
                "“{}” has more than {MOST} items: a hand goes through no more with care; begin another list here",
                list.title
            );
            self.fault(n, says);
        }
    }

    fn observed(&mut self, n: usize, typed: &str) -> Option<Observed> {
        if let Some(unit) = typed.strip_prefix("in ").filter(|u| !u.contains('/')) {
            return Some(Observed::Figure(unit.to_owned()));
        }
        let answers: Vec<String> = typed.split('/').map(plain).collect();
        if answers.len() < 2 || answers.iter().any(String::is_empty) {
            self.fault(n, "a must-see item takes an observation: give two answers or more with / between them, or the unit of a figure, such as “in mm”");
            return None;
        }
        if answers
            .iter()
            .enumerate()
            .any(|(at, a)| answers[..at].contains(a))
        {
            self.fault(n, "two of its answers are the same");
        }
        Some(Observed::Choice(answers))
    }

    fn end(mut self) -> Result<Vec<List>, Wrong> {
        let empty: Vec<usize> = self
            .lists
            .iter()
            .zip(&self.begun)
            .filter(|(list, _)| list.items.is_empty())
            .map(|(_, n)| *n)
            .collect();
        for n in empty {
            self.fault(n, "this list has no item");
        }
        if self.lists.is_empty() {
            self.fault(1, "there is no list: begin one with # and its title");
        } else if let Some(n) = self.begun.get(MOST_LISTS).copied() {
            self.fault(n, format!("more than {MOST_LISTS} lists"));
        }
        if self.wrong.is_empty() {
            return Ok(self.lists);
        }
        self.wrong.sort_by_key(|(n, _)| *n);
        Err(self.wrong)
    }
}

/// The name of a list on a form and in the log: its title in small letters and figures.
fn name_of(title: &str) -> String {
    let mut name = String::new();
    for c in title.chars() {
        if c.is_alphanumeric() {
            name.extend(c.to_lowercase());
        } else if !name.ends_with('-') && !name.is_empty() {
            name.push('-');
        }
    }
    name.trim_end_matches('-').chars().take(60).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_typed_untidily_is_written_canonically_and_read_again_as_the_same() {
        let typed = "\n#  Blow-down |read and do\r\n-Point the pipe.|Nobody there.\n\n ! Read the glass.|Over the mark.| in   mm\n! Look at it. | It shuts. | shut/ drips\n# Oil | do, then confirm | coal\n- Oil it. | It runs off.";
        let lists = read(typed).unwrap();
        let text = "# Blow-down | read and do\n- Point the pipe. | Nobody there.\n! Read the glass. | Over the mark. | in mm\n! Look at it. | It shuts. | shut / drips\n\n# Oil | do, then confirm | coal\n- Oil it. | It runs off.\n";
        assert_eq!(write(&lists), text);
        assert_eq!(read(text), Ok(lists));
    }

    #[test]
    fn every_fault_is_named_by_its_line() {
        let typed = "- Look. | It is there.\n# Blow-down\n- Look at it.\n! See it. | There. | yes\n- Open it. | Open. | yes / no\nwhat\n# Blow down | read and do | peat\n# | do, then confirm\n- | there\n! a | b | c / c\n! a | b | c / d | e";
        let lines: Vec<usize> = read(typed).unwrap_err().iter().map(|(n, _)| *n).collect();
        assert_eq!(lines, [1, 2, 3, 4, 5, 6, 7, 7, 7, 8, 9, 10, 11]);
    }

    #[test]
    fn a_tenth_item_is_one_too_many() {
        let nine = format!("# Long | read and do\n{}", "- Look. | There.\n".repeat(9));
        assert!(read(&nine).is_ok());
        let wrong = read(&format!("{nine}- Look. | There.\n")).unwrap_err();
        assert_eq!(wrong.len(), 1);
        assert!(
            wrong[0].0 == 11 && wrong[0].1.contains("more than 9 items"),
            "{wrong:?}"
        );
    }

    #[test]
    fn nothing_is_no_procedure() {
        assert_eq!(read(" \n\n").unwrap_err().len(), 1);
    }
}
