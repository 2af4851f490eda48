//! Procedures: all lists of one kind of trial as one text, a row a version; a version never changes.

use crate::error::Error;
use crate::hash::sha256;
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const NEWEST: &str = "select kind, version, text, sha256, by, made_at from procedure
    where kind = ?1 order by version desc limit 1";
const OF_KIND: &str = "select kind, version, text, sha256, by, made_at from procedure
    where kind = ?1 order by version desc";
const BY_CONTENT: &str = "select kind, version, text, sha256, by, made_at from procedure
    where kind = ?1 and sha256 = ?2 order by version limit 1";
const INSERT: &str = "insert into procedure (kind, version, text, sha256, by, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6)";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("procedures::NEWEST", NEWEST),
    ("procedures::OF_KIND", OF_KIND),
    ("procedures::BY_CONTENT", BY_CONTENT),
    ("procedures::INSERT", INSERT),
];

/// One version of a procedure.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Procedure {
    /// The kind of trial it is for, in the words of the trial file.
    pub kind: String,
    /// Which version, from 1.
    pub version: i64,
    /// Its canonical text.
    pub text: String,
    /// SHA-256 of the text.
    pub sha256: String,
    /// Who wrote it.
    pub by: String,
    /// When.
    pub made_at: Stamp,
}

/// The newest version for a kind of trial; none before the first was needed.
///
/// # Errors
/// Only the database's.
pub async fn newest(store: &Store, kind: &str) -> Result<Option<Procedure>, Error> {
    Ok(sqlx::query_as(NEWEST)
        .bind(kind)
        .fetch_optional(store.readers())
        .await?)
}

/// Every version for a kind of trial, the newest first.
///
/// # Errors
/// Only the database's.
pub async fn of_kind(store: &Store, kind: &str) -> Result<Vec<Procedure>, Error> {
    Ok(sqlx::query_as(OF_KIND)
        .bind(kind)
        .fetch_all(store.readers())
        .await?)
}

/// The version with this content.
///
/// # Errors
/// Only the database's.
pub async fn by_content(
    store: &Store,
    kind: &str,
    sha256: &str,
) -> Result<Option<Procedure>, Error> {
    Ok(sqlx::query_as(BY_CONTENT)
        .bind(kind)
        .bind(sha256)
        .fetch_optional(store.readers())
        .await?)
}

/// Writes the shipped text down as version 1, where there is no version yet.
///
/// # Errors
/// [`Error::Rule`] for a kind that is none, or a text with nothing in it.
pub async fn begin(w: &mut Write, kind: &str, shipped: &str) -> Result<(), Error> {
    match newest_in(w, kind).await? {
        Some(_) => Ok(()),
        None => insert(w, kind, 1, shipped).await,
    }
}

/// Writes the version that comes after `after`.
///
/// # Errors
/// [`Error::Refused`] when another was written meanwhile.
pub async fn write(w: &mut Write, kind: &str, after: i64, text: &str) -> Result<i64, Error> {
    let newest = newest_in(w, kind).await?.map_or(0, |p| p.version);
    if newest != after {
        return Err(Error::Refused(format!(
            "version {newest} was written meanwhile: look at it, and change that one"
        )));
    }
    insert(w, kind, after + 1, text).await?;
    Ok(after + 1)
}

async fn newest_in(w: &mut Write, kind: &str) -> Result<Option<Procedure>, Error> {
    Ok(sqlx::query_as(NEWEST)
        .bind(kind)
        .fetch_optional(w.conn())
        .await?)
}

async fn insert(w: &mut Write, kind: &str, version: i64, text: &str) -> Result<(), Error> {
    let (now, by) = (w.now(), w.by().to_owned());
    sqlx::query(INSERT)
        .bind(kind)
        .bind(version)
        .bind(text)
        .bind(sha256(text.as_bytes()))
        .bind(by)
        .bind(now)
        .execute(w.conn())
        .await?;
    Ok(())
}
