//! Who has come in with the pass phrase: 32 random bytes in a cookie, of which only the hash is kept.

use crate::error::Error;
use crate::hash::sha256;
use crate::ids::{SessionId, TrialId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const MAKE: &str = "insert into session (token_sha256, who, made_at, expires_at, trial_id) values (?1, ?2, ?3, ?4, ?5)";
const OPEN: &str = "select s.id, s.who, s.made_at, s.expires_at, s.trial_id from session s left join trial t on t.id = s.trial_id
    where s.token_sha256 = ?1 and s.ended_at is null and s.expires_at > ?2 and t.closed_at is null";
const STANDING: &str = "select id, who, made_at, expires_at, trial_id from session
    where ended_at is null and expires_at > ?1 order by id desc limit 100";
const END: &str = "update session set ended_at = ?2 where id = ?1 and ended_at is null";
const END_ALL: &str = "update session set ended_at = ?1 where ended_at is null";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("sessions::MAKE", MAKE),
    ("sessions::OPEN", OPEN),
    ("sessions::STANDING", STANDING),
    ("sessions::END", END),
    ("sessions::END_ALL", END_ALL),
];

/// How many days a session lives at the most.
pub const DAYS: i64 = 30;

/// Somebody who is in.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Session {
    /// Its row.
    pub id: SessionId,
    /// The name typed at the door: what is entered is kept under it.
    pub who: String,
    /// When they came in.
    pub made_at: Stamp,
    /// When it ends by itself.
    pub expires_at: Stamp,
    /// The one trial it is for; none where it is for everything. Such a one ends as the trial is closed.
    pub trial_id: Option<TrialId>,
}

/// Lets somebody in, to everything or to one trial: keeps the hash of the token under a name.
///
/// # Errors
/// [`Error::Rule`] when the name is empty.
pub async fn make(
    w: &mut Write,
    token: &str,
    who: &str,
    trial: Option<TrialId>,
) -> Result<(), Error> {
    let now = w.now();
    sqlx::query(MAKE)
        .bind(sha256(token.as_bytes()))
        .bind(who)
        .bind(now)
        .bind(now.plus_days(if trial.is_some() { 1 } else { DAYS }))
        .bind(trial)
        .execute(w.conn())
        .await?;
    Ok(())
}

/// The session of a token, if it is open now. Unknown, ended and expired are alike.
///
/// # Errors
/// Only the database's.
pub async fn open(store: &Store, token: &str) -> Result<Option<Session>, Error> {
    Ok(sqlx::query_as(OPEN)
        .bind(sha256(token.as_bytes()))
        .bind(Stamp::now())
        .fetch_optional(store.readers())
        .await?)
}

/// Everybody who is in, the newest first.
///
/// # Errors
/// Only the database's.
pub async fn standing(store: &Store) -> Result<Vec<Session>, Error> {
    Ok(sqlx::query_as(STANDING)
        .bind(Stamp::now())
        .fetch_all(store.readers())
        .await?)
}

/// Ends one session.
///
/// # Errors
/// Only the database's.
pub async fn end(w: &mut Write, id: SessionId) -> Result<(), Error> {
    let now = w.now();
    sqlx::query(END)
        .bind(id)
        .bind(now)
        .execute(w.conn())
        .await?;
    Ok(())
}

/// Ends every session, as when the pass phrase was changed.
///
/// # Errors
/// Only the database's.
pub async fn end_all(w: &mut Write) -> Result<(), Error> {
    let now = w.now();
    sqlx::query(END_ALL).bind(now).execute(w.conn()).await?;
    Ok(())
}
