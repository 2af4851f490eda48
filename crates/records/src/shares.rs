//! Private links: 32 random bytes, of which only the hash is kept.

use crate::error::Error;
use crate::hash::sha256;
use crate::ids::{JobId, ShareId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const MAKE: &str = "insert into share (job_id, token_sha256, made_at, expires_at) values (?1, ?2, ?3, ?4) returning id";
const OF_JOB: &str = "select id, job_id, made_at, expires_at, revoked_at, last_used_at from share where job_id = ?1 order by id desc";
const OPEN: &str = "select id, job_id, made_at, expires_at, revoked_at, last_used_at from share where token_sha256 = ?1";
const REVOKE: &str =
    "update share set revoked_at = ?3 where id = ?1 and job_id = ?2 and revoked_at is null";
const USED: &str = "update share set last_used_at = ?2 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("shares::MAKE", MAKE),
    ("shares::OF_JOB", OF_JOB),
    ("shares::OPEN", OPEN),
    ("shares::REVOKE", REVOKE),
    ("shares::USED", USED),
];

/// How many days a link lives.
pub const DAYS: i64 = 180;

/// A private link as stored: never the link itself.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Share {
    /// Its row.
    pub id: ShareId,
    /// The job it shows.
    pub job_id: JobId,
    /// When it was made.
    pub made_at: Stamp,
    /// When it ends by itself.
    pub expires_at: Stamp,
    /// When it was revoked.
    pub revoked_at: Option<Stamp>,
    /// When it was last opened.
    pub last_used_at: Option<Stamp>,
}

impl Share {
    /// Whether it opens at a moment.
    #[must_use]
    pub fn opens_at(&self, moment: Stamp) -> bool {
        self.revoked_at.is_none() && moment < self.expires_at
    }
}

/// 32 random bytes as 43 characters fit for an address.
#[must_use]
pub fn fresh_token() -> String {
    const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let bytes: [u8; 32] = rand::random();
    let mut text = String::with_capacity(43);
    for chunk in bytes.chunks(3) {
        let group =
            chunk.iter().fold(0usize, |g, b| (g << 8) | usize::from(*b)) << (8 * (3 - chunk.len()));
        for place in 0..=chunk.len() {
            text.push(char::from(ALPHABET[(group >> (18 - 6 * place)) & 63]));
        }
    }
    text
}

/// Keeps the hash of a token as a link to a job.
///
/// # Errors
/// [`Error::Refused`] when there is no such job.
pub async fn make(w: &mut Write, job: JobId, token: &str) -> Result<ShareId, Error> {
    let now = w.now();
    let id = sqlx::query_scalar(MAKE)
        .bind(job)
        .bind(sha256(token.as_bytes()))
        .bind(now)
        .bind(now.plus_days(DAYS))
        .fetch_one(w.conn())
        .await?;
    Ok(id)
}

/// The links of a job, the newest first.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<Share>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// The link of a token, if it opens now. Unknown, revoked and expired are alike.
///
/// # Errors
/// [`Error::Missing`].
pub async fn open(store: &Store, token: &str) -> Result<Share, Error> {
    let found: Option<Share> = sqlx::query_as(OPEN)
        .bind(sha256(token.as_bytes()))
        .fetch_optional(store.readers())
        .await?;
    found
        .filter(|s| s.opens_at(Stamp::now()))
        .ok_or(Error::Missing("page"))
}

/// Revokes a link: from now on it opens nothing.
///
/// # Errors
/// Only the database's.
pub async fn revoke(w: &mut Write, job: JobId, id: ShareId) -> Result<(), Error> {
    let now = w.now();
    sqlx::query(REVOKE)
        .bind(id)
        .bind(job)
        .bind(now)
        .execute(w.conn())
        .await?;
    Ok(())
}

/// Keeps when a link was last opened.
///
/// # Errors
/// Only the database's.
pub async fn used(w: &mut Write, id: ShareId) -> Result<(), Error> {
    let now = w.now();
    sqlx::query(USED)
        .bind(id)
        .bind(now)
        .execute(w.conn())
        .await?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::fresh_token;

    #[test]
    fn a_token_is_32_bytes_in_43_characters_and_never_the_same() {
        let (a, b) = (fresh_token(), fresh_token());
        assert_eq!(a.len(), 43);
        assert!(
            a.bytes()
                .all(|c| c.is_ascii_alphanumeric() || c == b'-' || c == b'_')
        );
        assert_ne!(a, b);
    }
}
