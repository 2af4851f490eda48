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
const LAST: &str =
    "select seq, hash, received_at from entry where trial_id = ?1 order by seq desc limit 1";
const START: &str =
    "update trial set state = 'running', started_at = ?2 where id = ?1 and state = 'prepared'";
const INSERT: &str =
    "insert into entry (trial_id, seq, key, sent_sha256, text, t_s, received_at, prev_hash, hash)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)";
const SENT_FROM: &str = "insert into sent_from (trial_id, seq, device, page, n, wall_ms, mono_ms, at_ms, offset_ms, u_ms, boot)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("log::append::SENT_FROM", SENT_FROM),
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
    /// When it was, where that is written by hand: what it begins, began then.
    pub written_at: Option<Stamp>,
    /// The phone it comes from, with what that says of its own clock and order; none from a form of the server's own.
    pub from: Option<FromPhone>,
}

impl Sent {
    /// When it was entered: as it says, never after it was received.
    #[must_use]
    pub fn at(&self, received: Stamp) -> Stamp {
        let phone = self.from.as_ref().map(|from| from.at(received));
        self.written_at
            .or(phone)
            .map_or(received, |at| at.min(received))
    }
}

/// What a phone says of itself beside an entry: kept as it was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FromPhone {
    /// The phone, a name that it made for itself.
    pub device: String,
    /// The opening of the page that it was entered on.
    pub page: String,
    /// Which entry of that phone, from 1.
    pub n: i64,
    /// Its own clock, unix ms.
    pub wall_ms: i64,
    /// Its steady clock, ms since the page was opened.
    pub mono_ms: i64,
    /// The server's clock at that moment, as the phone reckoned it, unix ms.
    pub at_ms: i64,
    /// Server's clock less its own, ms.
    pub offset_ms: i64,
    /// How sure of that, ms: half of a round trip.
    pub u_ms: i64,
}

impl FromPhone {
    /// The moment it was entered at on the server's clock: never after it was received, for nobody enters what is to come.
    #[must_use]
    pub fn at(&self, received: Stamp) -> Stamp {
        Stamp::from_millis(self.at_ms).min(received)
    }

    /// Does the phone say a moment that is yet to come?
    #[must_use]
    pub fn is_ahead(&self, received: Stamp) -> bool {
        self.at_ms > received.millis() + AHEAD_MS.max(self.u_ms)
    }
}

/// How far ahead of the server's clock an entry may say it is before that is marked, ms.
const AHEAD_MS: i64 = 2000;
/// How long before it was received an entry can have begun its trial, ms.
const LONGEST_OUTAGE_MS: i64 = 12 * 3_600_000;

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
    /// The server's clock stands before the newest entry: it was set back, or the machine has none of its own.
    pub clock_is_behind: bool,
}

/// Does a clock stand before what was already received? It is said, and nothing is dated anew.
#[must_use]
pub fn is_behind(now: Stamp, newest: Stamp) -> bool {
    now.millis() + BEHIND_MS < newest.millis()
}

/// How far a clock may step back before that is said, ms.
const BEHIND_MS: i64 = 2000;

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

/// Is an entry kept under this key already? What may be sent again is not asked for its permission again.
///
/// # Errors
/// Only the database's.
pub async fn is_kept(w: &mut Write, key: &str) -> Result<bool, Error> {
    let known: Option<Known> = sqlx::query_as(BY_KEY)
        .bind(key)
        .fetch_optional(w.conn())
        .await?;
    Ok(known.is_some())
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
        .bind(began(sent, now))
        .execute(w.conn())
        .await?;
    let trial = find_in(w, sent.trial).await?;
    if trial.state == "closed" {
        return Err(Error::Refused(
            "this record is sealed and takes no more entries".to_owned(),
        ));
    }
    let last: Option<(i64, String, Stamp)> = sqlx::query_as(LAST)
        .bind(sent.trial)
        .fetch_optional(w.conn())
        .await?;
    let clock_is_behind = last.as_ref().is_some_and(|(.., at)| is_behind(now, *at));
    let (seq, previous) = last.map_or((1, trial.head_hash.clone()), |(seq, hash, _)| {
        (seq + 1, hash)
    });
    let received_at_s = trial.seconds_at(now);
    let place = Place {
        trial,
        seq,
        id: format!("a{seq}"),
        by,
        received_at: now,
        received_at_s,
        clock_is_behind,
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
    if let Some(from) = &sent.from {
        keep_from(w, sent.trial, seq, from).await?;
    }
    Ok(Stored {
        trial: sent.trial,
        seq,
        text: made.text,
        received_at: now,
        hash,
        again: false,
    })
}

/// When a trial begins that this is the first entry of: when it was entered, though it came late.
fn began(sent: &Sent, now: Stamp) -> Stamp {
    let earliest = Stamp::from_millis(now.millis() - LONGEST_OUTAGE_MS);
    sent.at(now).max(earliest)
}

async fn keep_from(w: &mut Write, trial: TrialId, seq: i64, from: &FromPhone) -> Result<(), Error> {
    sqlx::query(SENT_FROM)
        .bind(trial)
        .bind(seq)
        .bind(&from.device)
        .bind(&from.page)
        .bind(from.n)
        .bind(from.wall_ms)
        .bind(from.mono_ms)
        .bind(from.at_ms)
        .bind(from.offset_ms)
        .bind(from.u_ms)
        .bind(crate::time::boot())
        .execute(w.conn())
        .await?;
    Ok(())
}
