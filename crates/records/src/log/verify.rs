//! Reads every chain and every picture again and names the first row or file that is not what it was.

use sqlx::Row;
use sqlx::SqliteConnection;

use crate::connect;
use crate::error::Error;
use crate::hash::{link, sha256};
use crate::ids::TrialId;
use crate::store::Store;

const TRIALS: &str = "select t.id, t.serial, j.year, j.serial as job_serial, t.head, t.head_hash, t.state, t.number, t.sealed_entries, t.sealed_hash
    from trial t join job j on j.id = t.job_id order by t.id";
const LINKS: &str =
    "select seq, text, t_s, prev_hash, hash from entry where trial_id = ?1 order by seq";
const STRAYS: &str = "select count(*) from entry where trial_id not in (select id from trial)";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("log::verify::TRIALS", TRIALS),
    ("log::verify::LINKS", LINKS),
    ("log::verify::STRAYS", STRAYS),
];

/// What reading every chain again found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Report {
    /// How many trials were read.
    pub trials: usize,
    /// How many entries.
    pub entries: usize,
    /// How many pictures were read; none where only the chains were.
    pub pictures: Option<usize>,
    /// The first thing wrong in each trial, and each picture that is missing or altered.
    pub faults: Vec<String>,
}

impl Report {
    /// One line: `verify: 12 trials, 431 entries, OK`, or the first difference.
    #[must_use]
    pub fn line(&self) -> String {
        let mut counts = format!("verify: {} trials, {} entries", self.trials, self.entries);
        if let Some(pictures) = self.pictures {
            counts.push_str(&format!(", {pictures} pictures"));
        }
        match self.faults.as_slice() {
            [] => format!("{counts}, OK"),
            [one] => format!("{counts}, WRONG: {one}"),
            [first, rest @ ..] => format!("{counts}, WRONG: {first} (and {} more)", rest.len()),
        }
    }
}

/// Reads every chain and picture of an open store, or one record's, again.
///
/// # Errors
/// [`Error::Missing`] when there is no record with that number.
pub async fn verify(store: &Store, number: Option<&str>) -> Result<Report, Error> {
    let mut conn = store.readers().acquire().await?;
    everything(&mut conn, store.folder(), number).await
}

/// Reads every chain and picture of a data folder that need not be open, without writing.
///
/// # Errors
/// As [`verify`], and whatever the file says.
pub async fn verify_folder(
    folder: &std::path::Path,
    number: Option<&str>,
) -> Result<Report, Error> {
    let mut conn = connect::looker(&crate::store::file_of(folder)).await?;
    everything(&mut conn, folder, number).await
}

async fn everything(
    conn: &mut SqliteConnection,
    folder: &std::path::Path,
    number: Option<&str>,
) -> Result<Report, Error> {
    let mut report = every_chain(&mut *conn, number).await?;
    let looked = crate::pictures::check::look(conn, folder, number).await?;
    report.pictures = Some(looked.pictures);
    report.faults.extend(looked.faults);
    Ok(report)
}

pub(crate) async fn every_chain(
    conn: &mut SqliteConnection,
    number: Option<&str>,
) -> Result<Report, Error> {
    let mut report = Report::default();
    for row in sqlx::query(TRIALS).fetch_all(&mut *conn).await? {
        let (year, job, serial): (i64, i64, i64) = (
            row.try_get("year")?,
            row.try_get("job_serial")?,
            row.try_get("serial")?,
        );
        let label = format!("{}/{serial}", crate::jobs::number(year, job));
        if number.is_some_and(|n| n != label) {
            continue;
        }
        report.trials += 1;
        let (entries, fault) = one_chain(conn, &row, &label).await?;
        report.entries += entries;
        report.faults.extend(fault);
    }
    match number {
        Some(_) if report.trials == 0 => return Err(Error::Missing("record")),
        Some(_) => {}
        None => {
            let strays: i64 = sqlx::query_scalar(STRAYS).fetch_one(conn).await?;
            if strays > 0 {
                report
                    .faults
                    .push(format!("{strays} entries belong to no trial"));
            }
        }
    }
    Ok(report)
}

async fn one_chain(
    conn: &mut SqliteConnection,
    trial: &sqlx::sqlite::SqliteRow,
    label: &str,
) -> Result<(usize, Option<String>), Error> {
    let id: TrialId = trial.try_get("id")?;
    let (head, head_hash): (String, String) = (trial.try_get("head")?, trial.try_get("head_hash")?);
    let links: Vec<(i64, String, f64, String, String)> =
        sqlx::query_as(LINKS).bind(id).fetch_all(conn).await?;
    let count = links.len();
    if sha256(head.as_bytes()) != head_hash {
        return Ok((
            count,
            Some(format!(
                "{label}: what it was prepared with has been altered"
            )),
        ));
    }
    let mut previous = head_hash;
    for ((seq, text, t_s, prev_hash, hash), expected) in links.into_iter().zip(1i64..) {
        let fault = if seq != expected {
            Some("an entry is missing before it")
        } else if prev_hash != previous {
            Some("it does not follow the entry before it")
        } else if link(&previous, text.as_bytes()) != hash {
            Some("its text has been altered")
        } else if time_of(&text) != Some(t_s) {
            Some("its stored time is not the one in its text")
        } else {
            None
        };
        if let Some(fault) = fault {
            return Ok((count, Some(format!("{label} entry {expected}: {fault}"))));
        }
        previous = hash;
    }
    let (state, number): (String, Option<String>) =
        (trial.try_get("state")?, trial.try_get("number")?);
    let (entries, last): (Option<i64>, Option<String>) = (
        trial.try_get("sealed_entries")?,
        trial.try_get("sealed_hash")?,
    );
    let fault = if state != "closed" {
        None
    } else if i64::try_from(count).ok() != entries {
        Some(format!(
            "{label}: sealed with {} entries, {count} are there",
            entries.unwrap_or(0)
        ))
    } else if last.as_deref() != Some(previous.as_str()) {
        Some(format!(
            "{label}: the last entry is not the one that was sealed"
        ))
    } else if number.as_deref() != Some(label) {
        Some(format!("{label}: the record's number has been altered"))
    } else {
        None
    };
    Ok((count, fault))
}

fn time_of(text: &str) -> Option<f64> {
    serde_json::from_str::<serde_json::Value>(text)
        .ok()?
        .get("t_s")?
        .as_f64()
}
