//! Forms whose boxes are not the same on every page: pairs of name and value as they were typed.

use crate::form::Faults;

/// A form as typed. A name that comes twice keeps both; most fields are asked for by [`Typed::get`], which takes the first.
#[derive(Clone, Debug, Default, serde::Deserialize)]
#[serde(transparent)]
pub(crate) struct Typed(Vec<(String, String)>);

impl Typed {
    pub(crate) fn new(pairs: Vec<(String, String)>) -> Self {
        Self(pairs)
    }

    /// What was typed into a box, without spaces about it; nothing where the box was not sent.
    pub(crate) fn get(&self, name: &str) -> &str {
        self.0
            .iter()
            .find(|(n, _)| n == name)
            .map_or("", |(_, v)| v.trim())
    }

    /// Puts a value into a box, in place of whatever stood there.
    pub(crate) fn set(&mut self, name: &str, value: String) {
        self.0.retain(|(n, _)| n != name);
        self.0.push((name.to_owned(), value));
    }

    /// Every box whose name is this and a number, with the number.
    pub(crate) fn numbered(&self, name: &str) -> Vec<(i64, &str)> {
        let all = self.0.iter();
        all.filter_map(|(n, v)| Some((n.strip_prefix(name)?.parse().ok()?, v.trim())))
            .collect()
    }

    /// Every value that came under a name.
    pub(crate) fn every(&self, name: &str) -> Vec<&str> {
        self.0
            .iter()
            .filter(|(n, _)| n == name)
            .map(|(_, v)| v.trim())
            .collect()
    }
}

/// Faults as a function hands them back, one by one.
pub(crate) fn one(field: &str, says: impl Into<String>) -> Faults {
    let mut faults = Faults::default();
    faults.add(field, says);
    faults
}
