//! Connections to the one file, and what must be true of each.

use std::path::Path;
use std::time::Duration;

use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous};
use sqlx::{Connection, SqliteConnection, SqlitePool};

use crate::error::Error;

const VERSION: &str = "select sqlite_version()";
const JOURNAL: &str = "pragma journal_mode";
const SYNCHRONOUS: &str = "pragma synchronous";
const FOREIGN_KEYS: &str = "pragma foreign_keys";
const QUICK_CHECK: &str = "pragma quick_check";
const INTEGRITY_CHECK: &str = "pragma integrity_check";
const FOREIGN_KEY_CHECK: &str = "select count(*) from pragma_foreign_key_check";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("connect::VERSION", VERSION),
    ("connect::JOURNAL", JOURNAL),
    ("connect::SYNCHRONOUS", SYNCHRONOUS),
    ("connect::FOREIGN_KEYS", FOREIGN_KEYS),
    ("connect::QUICK_CHECK", QUICK_CHECK),
    ("connect::INTEGRITY_CHECK", INTEGRITY_CHECK),
    ("connect::FOREIGN_KEY_CHECK", FOREIGN_KEY_CHECK),
];

/// The oldest SQLite without the fault that can damage a file with two connections.
const OLDEST: [u32; 3] = [3, 51, 3];

fn options(file: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(file)
        .foreign_keys(true)
        .busy_timeout(Duration::from_secs(5))
        .pragma("trusted_schema", "OFF")
}

/// Opens the writer's connection, makes the file if there is none, and reads back what was asked for.
pub(crate) async fn writer(file: &Path) -> Result<SqliteConnection, Error> {
    let wanted = options(file)
        .create_if_missing(true)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        // What was erased is overwritten in the file too.
        .pragma("secure_delete", "ON");
    let mut conn = SqliteConnection::connect_with(&wanted).await?;
    check_version(
        &sqlx::query_scalar::<_, String>(VERSION)
            .fetch_one(&mut conn)
            .await?,
    )?;
    let found = pragmas(&mut conn).await?;
    if found != "journal_mode=wal synchronous=2 foreign_keys=1" {
        return Err(Error::Folder(format!(
            "this folder cannot keep what is acknowledged: the file opens with {found}; use a folder on a local disk"
        )));
    }
    Ok(conn)
}

/// What a connection was opened with, on one line.
pub(crate) async fn pragmas(conn: &mut SqliteConnection) -> Result<String, Error> {
    let journal: String = sqlx::query_scalar(JOURNAL).fetch_one(&mut *conn).await?;
    let synchronous: i64 = sqlx::query_scalar(SYNCHRONOUS)
        .fetch_one(&mut *conn)
        .await?;
    let keys: i64 = sqlx::query_scalar(FOREIGN_KEYS)
        .fetch_one(&mut *conn)
        .await?;
    Ok(format!(
        "journal_mode={journal} synchronous={synchronous} foreign_keys={keys}"
    ))
}

/// The readers: they can change nothing.
pub(crate) async fn readers(file: &Path) -> Result<SqlitePool, Error> {
    let wanted = options(file).read_only(true).pragma("query_only", "ON");
    Ok(SqlitePoolOptions::new()
        .max_connections(4)
        .connect_with(wanted)
        .await?)
}

/// Opens a file to look at it, without writing a byte of it.
pub(crate) async fn looker(file: &Path) -> Result<SqliteConnection, Error> {
    let mut wal = file.as_os_str().to_owned();
    wal.push("-wal");
    // Without a log beside it the file is whole, and nothing needs to be made beside it either.
    let alone = !Path::new(&wal).exists();
    let wanted = options(file).read_only(true).immutable(alone);
    Ok(SqliteConnection::connect_with(&wanted).await?)
}

/// A short-lived connection that may write: for `VACUUM INTO`, which readers may not do.
pub(crate) async fn copier(file: &Path) -> Result<SqliteConnection, Error> {
    Ok(SqliteConnection::connect_with(&options(file)).await?)
}

/// Refuses an SQLite that can damage its own file.
pub(crate) fn check_version(version: &str) -> Result<(), Error> {
    let mut parts = version.split('.').map(|p| p.parse::<u32>().unwrap_or(0));
    let found: [u32; 3] = std::array::from_fn(|_| parts.next().unwrap_or(0));
    if found < OLDEST {
        Err(Error::OldSqlite(version.to_owned()))
    } else {
        Ok(())
    }
}

/// SQLite's own quick look at every page.
pub(crate) async fn quick_check(conn: &mut SqliteConnection) -> Result<(), Error> {
    says_ok(
        sqlx::query_scalar::<_, String>(QUICK_CHECK)
            .fetch_one(conn)
            .await?,
    )
}

/// SQLite's own full look, indexes too.
pub(crate) async fn integrity_check(conn: &mut SqliteConnection) -> Result<(), Error> {
    says_ok(
        sqlx::query_scalar::<_, String>(INTEGRITY_CHECK)
            .fetch_one(conn)
            .await?,
    )
}

/// Every reference leads somewhere.
pub(crate) async fn foreign_key_check(conn: &mut SqliteConnection) -> Result<(), Error> {
    match sqlx::query_scalar::<_, i64>(FOREIGN_KEY_CHECK)
        .fetch_one(conn)
        .await?
    {
        0 => Ok(()),
        n => Err(Error::Damaged(format!(
            "{n} rows refer to something that is not there"
        ))),
    }
}

fn says_ok(answer: String) -> Result<(), Error> {
    if answer == "ok" {
        Ok(())
    } else {
        Err(Error::Damaged(answer))
    }
}

#[cfg(test)]
mod tests {
    use super::check_version;

    #[test]
    fn an_sqlite_with_the_known_fault_is_refused() {
        for old in ["3.51.2", "3.40.1", "2.9.9", ""] {
            assert!(check_version(old).is_err(), "{old}");
        }
        for good in ["3.51.3", "3.52.0", "4.0.0"] {
            assert!(check_version(good).is_ok(), "{good}");
        }
    }
}
