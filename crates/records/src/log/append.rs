//! One more entry: acknowledged only once it is on the disk.

use crate::error::Error;
use crate::hash::{link, sha256};
use crate::ids::TrialId;
use crate::log::trial::{Trial, find_in};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const BY_KEY: &str =
    "select trial_id, seq, sent_sha256, text, received_at, hash from entry where key = ?1";
const LAST: &str = "select seq, hash from entry where trial_id = ?1 order by seq desc limit 1";
const START: &str =
    "update trial set state = 'running', started_at = ?2 where id = ?1 and state = 'prepared'";
const INSERT: &str =
    "insert into entry (trial_id, seq, key, sent_sha256, text, t_s, received_at, prev_hash, hash)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)";
#[cfg(test)]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("log::append::BY_KEY", BY_KEY),
    ("log::append::LAST", LAST),
    ("log::append::START", START),
    ("log::append::INSERT", INSERT),
];

/// What came in: which trial, under which key, and the bytes as they were sent.
#[derive(Clone, Debug)]
pub struct Sent {
    /// The trial.
    pub trial: TrialId,
    /// The client's key: 16 to 64 characters, once in the whole log.
    pub key: String,
    /// What was sent, to tell the same from other content under one key.
    pub content: Vec<u8>,
}

/// Where the new entry will stand, for whoever makes its text.
#[derive(Clone, Debug)]
pub struct Place {
    /// The trial, as it is now (started).
    pub trial: Trial,
    /// Place in the log, from 1.
    pub seq: i64,
    /// The entry's id, `a17`.
    pub id: String,
    /// Under whose name.
    pub by: String,
    /// When the server had it.
    pub received_at: Stamp,
    /// The same in seconds into the trial, as decimal text.
    pub received_at_s: String,
}

/// The entry that was made of it.
#[derive(Clone, Debug)]
pub struct Made {
    /// Canonical text: what is stored and hashed.
    pub text: String,
    /// Seconds into the trial.
    pub t_s: f64,
}

/// The stored entry: the acknowledgement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stored {
    /// The trial.
    pub trial: TrialId,
    /// Place in the log.
    pub seq: i64,
    /// Canonical text as it is stored.
    pub text: String,
    /// When the server had it.
    pub received_at: Stamp,
    /// Its link of the chain.
    pub hash: String,
    /// Whether it had been stored before under this key.
    pub again: bool,
}

/// Appends one entry. The same key with the same content gives the stored answer again.
/// A prepared trial begins with its first entry: facts are refused only by a sealed record.
///
/// # Errors
/// [`Error::KeyReused`], [`Error::Missing`], [`Error::Refused`] (sealed), what `make` says, [`Error::NotSaving`], [`Error::Busy`].
pub async fn append<F>(store: &Store, by: &str, sent: Sent, make: F) -> Result<Stored, Error>
where
    F: FnOnce(&Place) -> Result<Made, Error> + Send + 'static,
{
    store
        .write(by, move |w| {
            Box::pin(async move { append_in(w, &sent, make).await })
        })
        .await
}

#[derive(sqlx::FromRow)]
struct Known {
    trial_id: TrialId,
    seq: i64,
    sent_sha256: String,
    text: String,
    received_at: Stamp,
    hash: String,
}

/// Appends one entry within an open transaction.
///
/// # Errors
/// As [`append`].
pub async fn append_in<F>(w: &mut Write, sent: &Sent, make: F) -> Result<Stored, Error>
where
    F: FnOnce(&Place) -> Result<Made, Error> + Send,
{
    let sent_hash = sha256(&sent.content);
    let known: Option<Known> = sqlx::query_as(BY_KEY)
        .bind(&sent.key)
        .fetch_optional(w.conn())
        .await?;
    if let Some(k) = known {
        if k.trial_id != sent.trial || k.sent_sha256 != sent_hash {
            return Err(Error::KeyReused);
        }
        let (trial, seq, text, received_at, hash) =
            (k.trial_id, k.seq, k.text, k.received_at, k.hash);
        return Ok(Stored {
            trial,
            seq,
            text,
            received_at,
            hash,
            again: true,
        });
    }
    let (now, by) = (w.now(), w.by().to_owned());
    sqlx::query(START)
        .bind(sent.trial)
        .bind(now)
        .execute(w.conn())
        .await?;
    let trial = find_in(w, sent.trial).await?;
    if trial.state == "closed" {
        return Err(Error::Refused(
            "this record is sealed and takes no more entries".to_owned(),
        ));
    }
    let last: Option<(i64, String)> = sqlx::query_as(LAST)
        .bind(sent.trial)
        .fetch_optional(w.conn())
        .await?;
    let (seq, previous) = last.map_or((1, trial.head_hash.clone()), |(seq, hash)| (seq + 1, hash));
    let received_at_s = trial.seconds_at(now);
    let place = Place {
        trial,
        seq,
        id: format!("a{seq}"),
        by,
        received_at: now,
        received_at_s,
    };
    let made = make(&place)?;
    let hash = link(&previous, made.text.as_bytes());
    sqlx::query(INSERT)
        .bind(sent.trial)
        .bind(seq)
        .bind(&sent.key)
        .bind(&sent_hash)
        .bind(&made.text)
        .bind(made.t_s)
        .bind(now)
        .bind(&previous)
        .bind(&hash)
        .execute(w.conn())
        .await?;
    Ok(Stored {
        trial: sent.trial,
        seq,
        text: made.text,
        received_at: now,
        hash,
        again: false,
    })
}
