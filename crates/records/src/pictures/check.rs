//! Every file that a row names, read again; and copied, for a backup and its way back.

use std::path::{Path, PathBuf};

use sqlx::SqliteConnection;

use super::shelf::{self, Found};
use crate::error::Error;

const HAS_PICTURES: &str = "select count(*) from sqlite_master where name = 'picture'";
const ALL: &str = "select id, page_sha256, small_sha256, caption, subject, trial from (select p.id, p.page_sha256, p.small_sha256, p.caption, p.subject,
    (select printf('%02d-%03d/%d', j.year % 100, j.serial, t.serial) from trial t join job j on j.id = t.job_id
        where p.subject = 'trial' and t.id = p.subject_id) as trial from picture p) where ?1 is null or trial = ?1 order by id";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("pictures::check::HAS_PICTURES", HAS_PICTURES),
    ("pictures::check::ALL", ALL),
];

/// What reading the pictures again found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Looked {
    /// How many pictures.
    pub(crate) pictures: usize,
    /// Each file that is missing or altered, by its name.
    pub(crate) faults: Vec<String>,
}

#[derive(sqlx::FromRow)]
struct Row {
    id: i64,
    page_sha256: String,
    small_sha256: String,
    caption: String,
    subject: String,
}

impl Row {
    fn fault(&self, hash: &str, found: Found) -> Option<String> {
        let wrong = match found {
            Found::AsKept => return None,
            Found::Missing => "is missing",
            Found::Altered => "has been altered",
        };
        let name = shelf::path_of(Path::new(shelf::FOLDER), hash);
        let says = if self.caption.is_empty() {
            String::new()
        } else {
            format!(", {}", self.caption)
        };
        Some(format!(
            "{} {wrong} (picture {}, of a {}{says})",
            name.display(),
            self.id,
            self.subject
        ))
    }
}

/// Looks at every file that is named by a row; with a record's number, at that trial's alone.
pub(crate) async fn look(
    conn: &mut SqliteConnection,
    folder: &Path,
    number: Option<&str>,
) -> Result<Looked, Error> {
    let shelf = folder.join(shelf::FOLDER);
    each(conn, number, move |hash| shelf::look(&shelf, hash)).await
}

/// Copies every file that is named by a row from the first of some shelves that has it whole.
pub(crate) async fn copy(
    conn: &mut SqliteConnection,
    from: Vec<PathBuf>,
    folder: &Path,
) -> Result<Looked, Error> {
    let to = folder.join(shelf::FOLDER);
    each(conn, None, move |hash| shelf::copy(&from, &to, hash)).await
}

/// The shelf of a folder.
pub(crate) fn shelf_in(folder: &Path) -> PathBuf {
    folder.join(shelf::FOLDER)
}

async fn each(
    conn: &mut SqliteConnection,
    number: Option<&str>,
    look: impl Fn(&str) -> Result<Found, Error> + Send + 'static,
) -> Result<Looked, Error> {
    // Data from before there were pictures has none.
    if sqlx::query_scalar::<_, i64>(HAS_PICTURES)
        .fetch_one(&mut *conn)
        .await?
        == 0
    {
        return Ok(Looked::default());
    }
    let rows: Vec<Row> = sqlx::query_as(ALL).bind(number).fetch_all(conn).await?;
    let all = move || {
        let mut looked = Looked {
            pictures: rows.len(),
            faults: Vec::new(),
        };
        for row in rows {
            for hash in [&row.page_sha256, &row.small_sha256] {
                looked.faults.extend(row.fault(hash, look(hash)?));
            }
        }
        Ok(looked)
    };
    tokio::task::spawn_blocking(all)
        .await
        .unwrap_or_else(|_| Err(Error::Damaged("the pictures could not be read".to_owned())))
}
