//! Looks at everything that must be true of a data folder; one line a check.

use std::path::Path;

use sqlx::Connection;

use crate::error::Error;
use crate::log::verify;
use crate::pictures::check as pictures;
use crate::store::file_of;
use crate::{backup, connect};

/// One thing that was looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Check {
    /// What.
    pub what: &'static str,
    /// Whether it is as it should be.
    pub good: bool,
    /// What was found.
    pub found: String,
}

impl Check {
    /// One line for a person.
    #[must_use]
    pub fn line(&self) -> String {
        format!(
            "{:<12} {:<5} {}",
            self.what,
            if self.good { "good" } else { "WRONG" },
            self.found
        )
    }

    fn of(what: &'static str, result: Result<String, Error>) -> Self {
        match result {
            Ok(found) => Self {
                what,
                good: true,
                found,
            },
            Err(error) => Self {
                what,
                good: false,
                found: error.to_string(),
            },
        }
    }
}

/// Looks at a data folder, changing nothing in it.
///
/// # Errors
/// [`Error::Folder`] when there is nothing to look at.
pub async fn look(folder: &Path) -> Result<Vec<Check>, Error> {
    let file = file_of(folder);
    if !file.exists() {
        return Err(Error::Folder(format!(
            "{} holds no gaugeglass data",
            folder.display()
        )));
    }
    let mut conn = connect::copier(&file).await?;
    let opened = connect::pragmas(&mut conn).await?;
    let mut checks = vec![Check {
        what: "opens",
        good: opened.contains("journal_mode=wal"),
        found: opened,
    }];
    checks.push(Check::of(
        "pages",
        connect::quick_check(&mut conn)
            .await
            .map(|()| "quick_check ok".to_owned()),
    ));
    checks.push(Check::of(
        "references",
        connect::foreign_key_check(&mut conn)
            .await
            .map(|()| "every one leads somewhere".to_owned()),
    ));
    let chains = verify::every_chain(&mut conn, None).await;
    checks.push(match chains {
        Ok(report) => Check {
            what: "chains",
            good: report.faults.is_empty(),
            found: report.line(),
        },
        Err(error) => Check::of("chains", Err(error)),
    });
    let looked = pictures::look(&mut conn, folder, None).await;
    checks.push(match looked {
        Ok(looked) => Check {
            what: "pictures",
            good: looked.faults.is_empty(),
            found: match looked.faults.as_slice() {
                [] => format!("{} read again, each as it was kept", looked.pictures),
                faults => faults.join("; "),
            },
        },
        Err(error) => Check::of("pictures", Err(error)),
    });
    drop(conn.close().await);
    checks.push(space(folder, &file));
    checks.push(match backup::newest(&folder.join("backups")) {
        Some(path) => Check {
            what: "backup",
            good: true,
            found: format!("the newest is {}", path.display()),
        },
        None => Check {
            what: "backup",
            good: true,
            found: "none in this folder; `gaugeglass backup` makes one".to_owned(),
        },
    });
    Ok(checks)
}

/// Free space is asked of the system's own `df`: there is no portable call without unsafe code.
fn space(folder: &Path, file: &Path) -> Check {
    let size = std::fs::metadata(file).map_or(0, |m| m.len());
    let needed = (size * 2).max(1 << 30);
    let Some(free) = free_bytes(folder) else {
        return Check {
            what: "space",
            good: true,
            found: "not known on this system".to_owned(),
        };
    };
    let found = format!("{} MB free, {} MB wanted", free >> 20, needed >> 20);
    Check {
        what: "space",
        good: free >= needed,
        found,
    }
}

/// Bytes free on the disk of a folder, where the system tells.
#[must_use]
pub fn free_bytes(folder: &Path) -> Option<u64> {
    let out = std::process::Command::new("df")
        .arg("-Pk")
        .arg(folder)
        .output()
        .ok()?;
    let text = String::from_utf8(out.stdout).ok()?;
    let kilobytes: u64 = text
        .lines()
        .nth(1)?
        .split_whitespace()
        .nth(3)?
        .parse()
        .ok()?;
    Some(kilobytes * 1024)
}
