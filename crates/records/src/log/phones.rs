//! Phones at a trial: who holds each, what it has not sent yet, and the code that lets one in.

use crate::error::Error;
use crate::hash::sha256;
use crate::ids::TrialId;
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const SAID: &str = "insert into phone (trial_id, device, who, pending, last_n, first_at, seen_at, held_since)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?6, case when ?4 > 0 then ?6 end)
    on conflict (trial_id, device) do update set who = excluded.who, pending = excluded.pending,
        held_since = case when excluded.pending > 0 then coalesce(held_since, excluded.held_since) end,
        last_n = max(last_n, excluded.last_n), seen_at = excluded.seen_at, given_up_at = null";
const OF_TRIAL: &str =
    "select device, who, pending, last_n, first_at, seen_at, held_since, given_up_at,
    row_number() over (order by id) as place from phone where trial_id = ?1 order by id";
const HELD: &str = "select p.device, count(s.n) as kept, coalesce(max(s.n), 0) as highest
    from phone p left join sent_from s on s.trial_id = p.trial_id and s.device = p.device
    where p.trial_id = ?1 group by p.id order by p.id";
const NUMBERS: &str = "select n from sent_from where trial_id = ?1 and device = ?2 order by n";
const GIVE_UP: &str =
    "update phone set given_up_at = ?2 where trial_id = ?1 and pending > 0 and given_up_at is null";
const SENDER: &str = "select device from sent_from where trial_id = ?1 and seq = ?2";
const MAKE_JOIN: &str =
    "insert into trial_join (trial_id, token_sha256, made_at, expires_at) values (?1, ?2, ?3, ?4)";
const JOIN: &str = "select j.trial_id from trial_join j join trial t on t.id = j.trial_id
    where j.token_sha256 = ?1 and j.expires_at > ?2 and t.state <> 'closed' and t.withdrawn_at is null";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("log::phones::SAID", SAID),
    ("log::phones::OF_TRIAL", OF_TRIAL),
    ("log::phones::HELD", HELD),
    ("log::phones::NUMBERS", NUMBERS),
    ("log::phones::GIVE_UP", GIVE_UP),
    ("log::phones::SENDER", SENDER),
    ("log::phones::MAKE_JOIN", MAKE_JOIN),
    ("log::phones::JOIN", JOIN),
];

/// How many hours a code that lets a phone in holds.
const JOIN_HOURS: i64 = 12;

/// A phone at a trial.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Phone {
    /// The name that it made for itself.
    pub device: String,
    /// Who holds it.
    pub who: String,
    /// How many entries it said that it still holds.
    pub pending: i64,
    /// The highest number that it gave to an entry.
    pub last_n: i64,
    /// When it was first heard of.
    pub first_at: Stamp,
    /// When it was last heard of.
    pub seen_at: Stamp,
    /// Since when it has held entries without a break.
    pub held_since: Option<Stamp>,
    /// When what it holds was given up.
    pub given_up_at: Option<Stamp>,
    /// Its place among the phones of this trial, from 1.
    pub place: i64,
}

impl Phone {
    /// `phone A`, `phone B` … in the order in which they came.
    #[must_use]
    pub fn name(&self) -> String {
        let letter = u32::try_from(self.place - 1)
            .ok()
            .filter(|n| *n < 26)
            .and_then(|n| char::from_u32(u32::from(b'A') + n));
        letter.map_or_else(|| format!("phone {}", self.place), |l| format!("phone {l}"))
    }

    /// Does it still hold entries that nobody has given up?
    #[must_use]
    pub fn holds_entries(&self) -> bool {
        self.pending > 0 && self.given_up_at.is_none()
    }
}

/// What a phone says whenever it is in touch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// The name that it made for itself.
    pub device: String,
    /// Who holds it.
    pub who: String,
    /// How many entries it still holds.
    pub pending: i64,
    /// The highest number that it gave to an entry.
    pub last_n: i64,
}

/// Keeps what a phone says.
///
/// # Errors
/// [`Error::Rule`] for a name that is too short or too long, or a number under nothing.
pub async fn said(w: &mut Write, trial: TrialId, said: &Said) -> Result<(), Error> {
    let now = w.now();
    sqlx::query(SAID)
        .bind(trial)
        .bind(&said.device)
        .bind(&said.who)
        .bind(said.pending)
        .bind(said.last_n)
        .bind(now)
        .execute(w.conn())
        .await?;
    Ok(())
}

/// Every phone of a trial, in the order in which they came.
///
/// # Errors
/// Only the database's.
pub async fn of_trial(store: &Store, trial: TrialId) -> Result<Vec<Phone>, Error> {
    Ok(sqlx::query_as(OF_TRIAL)
        .bind(trial)
        .fetch_all(store.readers())
        .await?)
}

/// The numbers that are missing among the entries of each phone: device and number, such as 17 where 16 and 18 came.
///
/// # Errors
/// Only the database's.
pub async fn missing(store: &Store, trial: TrialId) -> Result<Vec<(String, i64)>, Error> {
    let held: Vec<(String, i64, i64)> = sqlx::query_as(HELD)
        .bind(trial)
        .fetch_all(store.readers())
        .await?;
    let mut gaps = Vec::new();
    for (device, _, highest) in held.into_iter().filter(|(_, kept, high)| kept < high) {
        let came: Vec<i64> = sqlx::query_scalar(NUMBERS)
            .bind(trial)
            .bind(&device)
            .fetch_all(store.readers())
            .await?;
        gaps.extend(
            (1..highest)
                .filter(|n| came.binary_search(n).is_err())
                .map(|n| (device.clone(), n)),
        );
    }
    Ok(gaps)
}

/// Gives up what phones still hold, so that a trial can be closed; the reason is an entry of its log.
///
/// # Errors
/// Only the database's.
pub async fn give_up(w: &mut Write, trial: TrialId) -> Result<(), Error> {
    let now = w.now();
    sqlx::query(GIVE_UP)
        .bind(trial)
        .bind(now)
        .execute(w.conn())
        .await?;
    Ok(())
}

/// Which phone an entry came from; nothing where it came from the desk.
///
/// # Errors
/// Only the database's.
pub async fn sender(store: &Store, trial: TrialId, seq: i64) -> Result<Option<String>, Error> {
    Ok(sqlx::query_scalar(SENDER)
        .bind(trial)
        .bind(seq)
        .fetch_optional(store.readers())
        .await?)
}

/// Makes a code that lets a phone in to one trial: only its hash is kept.
///
/// # Errors
/// [`Error::Rule`] when there is no such trial.
pub async fn make_join(w: &mut Write, trial: TrialId, token: &str) -> Result<(), Error> {
    let now = w.now();
    sqlx::query(MAKE_JOIN)
        .bind(trial)
        .bind(sha256(token.as_bytes()))
        .bind(now)
        .bind(now.plus_seconds(JOIN_HOURS * 3600))
        .execute(w.conn())
        .await?;
    Ok(())
}

/// The trial that a code lets a phone in to; unknown, run out and closed are alike.
///
/// # Errors
/// Only the database's.
pub async fn join(store: &Store, token: &str) -> Result<Option<TrialId>, Error> {
    Ok(sqlx::query_scalar(JOIN)
        .bind(sha256(token.as_bytes()))
        .bind(Stamp::now())
        .fetch_optional(store.readers())
        .await?)
}
