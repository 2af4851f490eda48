//! What is wrong with a file, each with its place and its mend.

use std::fmt;

/// How many faults are named before the rest is only counted.
const NAMED: usize = 20;

/// One thing that is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Where, as a path: `entries[14].reading.level_mm`. Empty for the file as a whole.
    pub place: String,
    /// What, and how to mend it.
    pub says: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.place.is_empty() {
            f.write_str(&self.says)
        } else {
            write!(f, "{}: {}", self.place, self.says)
        }
    }
}

/// Everything that is wrong, together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Faults(Vec<Fault>);

impl Faults {
    pub(crate) fn add(&mut self, place: impl Into<String>, says: impl Into<String>) {
        self.0.push(Fault {
            place: place.into(),
            says: says.into(),
        });
    }

    /// Nothing wrong?
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Every fault, in the order of the file.
    pub fn iter(&self) -> impl Iterator<Item = &Fault> {
        self.0.iter()
    }

    pub(crate) fn or<T>(self, value: T) -> Result<T, Self> {
        if self.is_empty() {
            Ok(value)
        } else {
            Err(self)
        }
    }
}

impl fmt::Display for Faults {
    /// One line a fault, at most twenty, then how many more.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let named: Vec<String> = self.0.iter().take(NAMED).map(Fault::to_string).collect();
        f.write_str(&named.join("\n"))?;
        match self.0.len().saturating_sub(NAMED) {
            0 => Ok(()),
            more => write!(f, "\nand {more} more"),
        }
    }
}

impl std::error::Error for Faults {}
