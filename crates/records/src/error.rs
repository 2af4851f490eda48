//! Why something could not be stored or found.

use std::path::PathBuf;

/// Why something could not be stored or found.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// Another process holds the start lock of this data folder.
    #[error("another gaugeglass has {} open; stop it first, or give another --data folder", .0.display())]
    Locked(PathBuf),
    /// The data was written by a newer program.
    #[error(
        "the data is newer than this program (it has change {found}, this program knows {known}); use the newer program"
    )]
    Newer {
        /// The newest migration in the data.
        found: i64,
        /// The newest migration this program has.
        known: i64,
    },
    /// The SQLite in this program has a known fault.
    #[error("SQLite {0} can damage its own file; 3.51.3 or later is needed")]
    OldSqlite(String),
    /// The folder or a file in it cannot be used.
    #[error("{0}")]
    Folder(String),
    /// Writing has failed, and has not been proven good again.
    #[error("nothing is being saved: {0}")]
    NotSaving(String),
    /// More is waiting to be written than the queue holds.
    #[error("too much is waiting to be saved; send it again in a moment")]
    Busy,
    /// A key came again with other content.
    #[error("this was already sent once with other content; nothing was overwritten")]
    KeyReused,
    /// Nothing there.
    #[error("there is no {0} with that number")]
    Missing(&'static str),
    /// The request clashes with what is stored.
    #[error("{0}")]
    Refused(String),
    /// What was sent cannot be read as what it should be: every fault, each with its place.
    #[error("{}", .0.join("; "))]
    Unusable(Vec<String>),
    /// A value that must be there once is there already (`table.column`), or must be there and is not.
    #[error("{0} is missing or already taken")]
    Taken(String),
    /// A named rule of the database refused it.
    #[error("the stored data would break the rule {0}")]
    Rule(String),
    /// Something stored is not what it was.
    #[error("damaged: {0}")]
    Damaged(String),
    /// The database failed.
    #[error("the database failed: {0}")]
    Database(sqlx::Error),
}

impl Error {
    /// Whether the disk or the file failed, so that nothing later can be trusted to be kept.
    #[must_use]
    pub fn is_fault(&self) -> bool {
        match self {
            Self::Damaged(_) => true,
            Self::Database(sqlx::Error::Database(e)) => e
                .code()
                .and_then(|c| c.parse::<i64>().ok())
                .is_some_and(|c| matches!(c & 0xff, 8 | 10 | 11 | 13 | 14 | 26)),
            Self::Database(sqlx::Error::Io(_) | sqlx::Error::WorkerCrashed) => true,
            _ => false,
        }
    }
}

impl From<sqlx::Error> for Error {
    fn from(error: sqlx::Error) -> Self {
        use sqlx::error::ErrorKind;
        let sqlx::Error::Database(inner) = &error else {
            return Self::Database(error);
        };
        let message = inner.message().to_owned();
        let last = message
            .rsplit(": ")
            .next()
            .unwrap_or(&message)
            .trim()
            .to_owned();
        match inner.kind() {
            ErrorKind::UniqueViolation | ErrorKind::NotNullViolation => Self::Taken(last),
            ErrorKind::CheckViolation => Self::Rule(last),
            ErrorKind::ForeignKeyViolation => {
                Self::Refused("it names something that is not there".to_owned())
            }
            // Our own triggers abort with a sentence meant to be read (SQLITE_CONSTRAINT_TRIGGER).
            _ if inner.code().as_deref() == Some("1811") => Self::Refused(last),
            _ => Self::Database(error),
        }
    }
}

impl From<std::io::Error> for Error {
    fn from(error: std::io::Error) -> Self {
        Self::Folder(error.to_string())
    }
}
