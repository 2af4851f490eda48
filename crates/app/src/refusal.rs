//! Why a command ended without doing what it was asked, and the exit status that says so.

/// Why a command did not do what it was asked.
#[derive(Debug)]
pub struct Refusal {
    /// 2 input cannot be used; 3 another process has this data; 4 the data is newer than the program;
    /// 5 `verify` or `doctor` found something wrong; 1 anything else.
    pub status: u8,
    /// One or more lines for standard error.
    pub says: String,
    /// The lines name their own places, so that the program's name need not stand before them.
    pub by_place: bool,
}

impl Refusal {
    /// The arguments or the input cannot be used.
    #[must_use]
    pub fn unusable(says: impl Into<String>) -> Self {
        Self {
            status: 2,
            says: says.into(),
            by_place: false,
        }
    }

    /// What is wrong with a file that was to be judged: one line a fault, each naming its place.
    #[must_use]
    pub fn faults(lines: impl Into<String>) -> Self {
        Self {
            status: 2,
            says: lines.into(),
            by_place: true,
        }
    }

    /// `verify` or `doctor` found something wrong.
    #[must_use]
    pub fn wrong(says: impl Into<String>) -> Self {
        Self {
            status: 5,
            says: says.into(),
            by_place: false,
        }
    }

    /// Anything else.
    #[must_use]
    pub fn other(says: impl Into<String>) -> Self {
        Self {
            status: 1,
            says: says.into(),
            by_place: false,
        }
    }
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.says)
    }
}

impl std::error::Error for Refusal {}

impl From<records::Error> for Refusal {
    fn from(error: records::Error) -> Self {
        let status = match &error {
            records::Error::Locked(_) => 3,
            records::Error::Newer { .. } => 4,
            records::Error::Damaged(_) => 5,
            records::Error::Missing(_) | records::Error::Refused(_) | records::Error::Folder(_) => {
                2
            }
            _ => 1,
        };
        Self {
            status,
            says: error.to_string(),
            by_place: false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_refusal_has_its_exit_status() {
        assert_eq!(Refusal::from(records::Error::Locked("d".into())).status, 3);
        assert_eq!(
            Refusal::from(records::Error::Newer { found: 9, known: 1 }).status,
            4
        );
        assert_eq!(Refusal::from(records::Error::Damaged("x".into())).status, 5);
        assert_eq!(Refusal::from(records::Error::Missing("record")).status, 2);
        assert_eq!(Refusal::from(records::Error::Busy).status, 1);
    }
}
