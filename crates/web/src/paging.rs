//! Long lists: so many lines a page, and where they go on.

use serde::Deserialize;

/// So many lines stand on one page of a list.
pub(crate) const LINES: usize = 100;

/// How many are asked for: one more than is shown tells whether there are more.
pub(crate) fn asked(lines: usize) -> i64 {
    i64::try_from(lines + 1).unwrap_or(i64::MAX)
}

/// Where a list goes on: behind this row.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Behind {
    pub behind: Option<i64>,
}

/// The way on from one page of a list, and back to its beginning.
#[derive(Default)]
pub(crate) struct Paging {
    /// Where it goes on, with the words of the link.
    pub on: Option<(String, &'static str)>,
    /// Where it begins, with the words of the link, when this is not the beginning.
    pub start: Option<(String, &'static str)>,
}

impl Paging {
    /// Cuts what was asked for to the lines that are shown; `on` makes the address behind the last of them.
    pub(crate) fn cut<T>(
        list: &mut Vec<T>,
        lines: usize,
        words: &'static str,
        on: impl FnOnce(&T) -> String,
    ) -> Self {
        let more = list.len() > lines;
        list.truncate(lines);
        Self {
            on: list.last().filter(|_| more).map(|last| (on(last), words)),
            start: None,
        }
    }

    /// This page is not the first: the list begins there.
    pub(crate) fn begins(mut self, not_first: bool, at: &str, words: &'static str) -> Self {
        self.start = not_first.then(|| (at.to_owned(), words));
        self
    }
}
