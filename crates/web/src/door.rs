//! The door: the pass phrase, and how fast it may be tried.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};
use tokio::sync::Semaphore;

use crate::problem::Problem;

/// Fewest and most characters of a pass phrase.
const LENGTH: (usize, usize) = (12, 256);
/// Tries that cost nothing.
const FREE_TRIES: u32 = 5;
const LONGEST_WAIT: Duration = Duration::from_secs(60);
/// Hashes at once: each takes 19 MiB, and with two hundred at the door the rest is their connections.
const AT_ONCE: usize = 1;
/// Phrases that are on every list.
const COMMON: [&str; 12] = [
    "123456789012",
    "password1234",
    "passwordpassword",
    "qwertyuiop12",
    "qwertyuiopas",
    "correct horse battery staple",
    "correcthorsebatterystaple",
    "letmeinletmein",
    "iloveyouiloveyou",
    "administrator",
    "changemechangeme",
    "abcdefghijkl",
];

/// Who may come in, and how.
#[derive(Clone, Debug)]
pub(crate) struct Door(Arc<Inner>);

#[derive(Debug)]
struct Inner {
    shut: bool,
    hashing: Arc<Semaphore>,
    tries: Mutex<HashMap<Option<IpAddr>, (u32, Instant)>>,
}

impl Door {
    /// `shut`: nobody comes in without the pass phrase.
    pub(crate) fn new(shut: bool) -> Self {
        Self(Arc::new(Inner {
            shut,
            hashing: Arc::new(Semaphore::new(AT_ONCE)),
            tries: Mutex::new(HashMap::new()),
        }))
    }

    /// Is the pass phrase asked for?
    pub(crate) fn is_shut(&self) -> bool {
        self.0.shut
    }

    /// How long this address, and everybody together, must still wait before the next try.
    pub(crate) fn wait(&self, from: Option<IpAddr>) -> Option<Duration> {
        let tries = self.0.tries.lock().unwrap_or_else(PoisonError::into_inner);
        let now = Instant::now();
        let left = |key: &Option<IpAddr>| {
            let (count, last) = tries.get(key)?;
            let free = if key.is_none() {
                FREE_TRIES * 4
            } else {
                FREE_TRIES
            };
            let over = count.checked_sub(free)?;
            let wait = Duration::from_secs(1 << over.min(6)).min(LONGEST_WAIT);
            wait.checked_sub(now.duration_since(*last))
                .filter(|d| !d.is_zero())
        };
        left(&from).max(left(&None))
    }

    /// Keeps that a try from an address failed, or that it was good.
    pub(crate) fn tried(&self, from: Option<IpAddr>, good: bool) {
        let mut tries = self.0.tries.lock().unwrap_or_else(PoisonError::into_inner);
        let now = Instant::now();
        if tries.len() > 1000 {
            tries.retain(|_, (_, last)| now.duration_since(*last) < LONGEST_WAIT * 10);
        }
        for key in [from, None] {
            if good {
                tries.remove(&key);
            } else {
                let entry = tries.entry(key).or_insert((0, now));
                *entry = (entry.0 + 1, now);
            }
        }
    }

    /// The hash of a new pass phrase.
    pub(crate) async fn hash(&self, phrase: String) -> Result<String, Problem> {
        self.work(move || {
            let hash = hasher().and_then(|h| h.hash_password(phrase.as_bytes()).ok());
            hash.map(|h| h.to_string())
        })
        .await?
        .ok_or_else(|| Problem::Refused("the pass phrase could not be hashed".to_owned()))
    }

    /// Is this the phrase that was hashed? With no hash it takes as long to say no.
    pub(crate) async fn fits(&self, phrase: String, hash: Option<String>) -> Result<bool, Problem> {
        self.work(move || {
            let Some(hasher) = hasher() else { return false };
            match hash.as_deref().map(PasswordHash::new) {
                Some(Ok(hash)) => hasher.verify_password(phrase.as_bytes(), &hash).is_ok(),
                _ => {
                    let _ = hasher.hash_password(phrase.as_bytes());
                    false
                }
            }
        })
        .await
    }

    /// Reckons on a thread of its own, so that what it needs is given back: each thread of a pool would keep its 19 MiB.
    /// Whoever asked may hang up meanwhile; the place is taken until it is done.
    async fn work<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Problem> {
        let closed = |_| Problem::Refused("the program is stopping".to_owned());
        let place = self
            .0
            .hashing
            .clone()
            .acquire_owned()
            .await
            .map_err(closed)?;
        let (done, answer) = tokio::sync::oneshot::channel();
        std::thread::Builder::new()
            .name("pass phrase".to_owned())
            .spawn(move || {
                let _ = done.send(work());
                drop(place);
            })
            .map_err(|e| Problem::Refused(format!("the pass phrase could not be tried: {e}")))?;
        answer
            .await
            .map_err(|_| Problem::Refused("the pass phrase could not be tried".to_owned()))
    }
}

/// Argon2id with the least that is advised: 19 MiB, two passes, one lane.
fn hasher() -> Option<Argon2<'static>> {
    let params = Params::new(19 * 1024, 2, 1, None).ok()?;
    Some(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

/// Was this hash made as hashes are made now?
pub(crate) fn is_as_advised(hash: &str) -> bool {
    hash.starts_with("$argon2id$v=19$m=19456,t=2,p=1$")
}

/// What is wrong with a new pass phrase, in words that mend it.
pub(crate) fn fault_of(phrase: &str, workshop: &str) -> Option<String> {
    let count = phrase.chars().count();
    if count < LENGTH.0 {
        return Some(format!(
            "{count} characters are too few: at least {}. A few words do.",
            LENGTH.0
        ));
    }
    if count > LENGTH.1 {
        return Some(format!(
            "{count} characters are too many: at most {}.",
            LENGTH.1
        ));
    }
    let small = phrase.to_lowercase();
    let one_letter = small.chars().all(|c| small.starts_with(c));
    let named = !workshop.is_empty() && small == workshop.to_lowercase();
    (COMMON.contains(&small.as_str()) || one_letter || named)
        .then(|| "This is the first thing anybody would try; take other words.".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pass_phrase_is_long_enough_and_not_on_the_list() {
        assert!(fault_of("short", "").is_some());
        assert!(fault_of("aaaaaaaaaaaaaaa", "").is_some());
        assert!(fault_of("Passwordpassword", "").is_some());
        assert!(fault_of("Fennel Lane Works", "fennel lane works").is_some());
        assert!(fault_of("three copper kettles", "").is_none());
    }

    #[test]
    fn tries_grow_slower_and_a_good_one_clears_them() {
        let door = Door::new(true);
        let from = Some(IpAddr::from([192, 0, 2, 1]));
        for _ in 0..FREE_TRIES {
            assert_eq!(door.wait(from), None);
            door.tried(from, false);
        }
        let first = door.wait(from).unwrap();
        door.tried(from, false);
        assert!(door.wait(from).unwrap() > first);
        assert_eq!(
            door.wait(Some(IpAddr::from([192, 0, 2, 2]))),
            None,
            "another address may try"
        );
        door.tried(from, true);
        assert_eq!(door.wait(from), None);
    }

    #[tokio::test]
    async fn a_hash_fits_its_own_phrase_alone() {
        let door = Door::new(true);
        let hash = door.hash("three copper kettles".to_owned()).await.unwrap();
        assert!(is_as_advised(&hash), "{hash}");
        let kept = Some(hash);
        assert!(
            door.fits("three copper kettles".to_owned(), kept.clone())
                .await
                .unwrap()
        );
        assert!(
            !door
                .fits("three copper kettle".to_owned(), kept)
                .await
                .unwrap()
        );
        assert!(
            !door
                .fits("three copper kettles".to_owned(), None)
                .await
                .unwrap()
        );
    }
}
