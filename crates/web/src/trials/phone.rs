//! Phones at a trial: what one says beside an entry, what it says when it is in touch, and who has the trial in hand.

use axum::Json;
use axum::extract::{Path, State};
use records::log::{self, FromPhone, phones};
use records::{Error, Stamp, Store, TrialId};
use serde::{Deserialize, Serialize};

use super::logbook::Logbook;
use super::typed::{Typed, one};
use crate::desk::Desk;
use crate::form::Faults;
use crate::problem::Problem;

/// What a phone said beside an entry; nothing where the form came from a page without script.
///
/// # Errors
/// A number that cannot be read: the page is too old or was tampered with.
pub(super) fn read(form: &Typed) -> Result<Option<FromPhone>, Faults> {
    let device = form.get("device");
    if device.is_empty() {
        return Ok(None);
    }
    let number = |name: &str| {
        form.get(name).parse::<i64>().map_err(|_| {
            one(
                name,
                format!("{name}: the phone gave no number; open the page again"),
            )
        })
    };
    if !(8..=64).contains(&device.len()) {
        return Err(one("device", "the phone's own name is 8 to 64 signs long"));
    }
    Ok(Some(FromPhone {
        device: device.to_owned(),
        page: form.get("device_page").chars().take(64).collect(),
        n: number("n")?.max(1),
        wall_ms: number("wall_ms")?,
        mono_ms: number("mono_ms")?,
        at_ms: number("at_ms")?,
        offset_ms: number("offset_ms")?,
        u_ms: number("u_ms")?.max(0),
    }))
}

/// What a phone says when it is in touch.
#[derive(Debug, Deserialize)]
pub(super) struct Heard {
    device: String,
    pending: i64,
    last_n: i64,
}

/// Another phone, as it is shown on this one.
#[derive(Clone, Debug, Serialize)]
pub(super) struct PhoneShown {
    pub(super) device: String,
    pub(super) name: String,
    pub(super) who: String,
    pub(super) pending: i64,
    pub(super) seen: String,
    pub(super) seen_ago_s: i64,
    pub(super) given_up: bool,
}

/// What the phone is told: the server's clock, its own name here, and who has the trial in hand.
#[derive(Debug, Serialize)]
pub(super) struct Told {
    now_ms: i64,
    name: String,
    in_hand: String,
    phones: Vec<PhoneShown>,
}

/// A phone is in touch: it says what it still holds, and is told the time.
pub(super) async fn heard(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    Json(heard): Json<Heard>,
) -> Result<Json<Told>, Problem> {
    let id = TrialId::new(id);
    let said = phones::Said {
        device: heard.device.clone(),
        who: desk.by().await?,
        pending: heard.pending.max(0),
        last_n: heard.last_n.max(0),
    };
    let row = log::find(desk.store(), id).await?;
    let known = phones::of_trial(desk.store(), id).await?;
    if row.state != "closed" && is_news(&known, &said) {
        let who = said.who.clone();
        let kept = desk
            .store()
            .write(&who, move |w| {
                Box::pin(async move { phones::said(w, id, &said).await })
            })
            .await;
        // The clock is told even while nothing is being saved: the phone goes on by itself then.
        if let Err(error) = kept
            && !matches!(error, Error::NotSaving(_) | Error::Busy)
        {
            return Err(error.into());
        }
    }
    let all = shown(desk.store(), id).await?;
    // Who has it in hand stands in the log: nothing need be judged for that.
    let log = Logbook::new(&row, &log::entries(desk.store(), id, 0).await?);
    let own = all.iter().find(|p| p.device == heard.device);
    Ok(Json(Told {
        now_ms: Stamp::now().millis(),
        name: own.map_or_else(String::new, |p| p.name.clone()),
        in_hand: log.in_hand(),
        phones: all,
    }))
}

/// Is it worth a row? A phone that says the same again is written down once in a while only.
fn is_news(known: &[phones::Phone], said: &phones::Said) -> bool {
    const EVERY_MS: i64 = 30_000;
    known
        .iter()
        .find(|p| p.device == said.device)
        .is_none_or(|p| {
            p.pending != said.pending
                || p.who != said.who
                || p.last_n < said.last_n
                || p.given_up_at.is_some()
                || Stamp::now().millis() - p.seen_at.millis() > EVERY_MS
        })
}

/// The phones of a trial in the order in which they came.
pub(super) async fn shown(store: &Store, id: TrialId) -> Result<Vec<PhoneShown>, Error> {
    let now = Stamp::now().millis();
    let all = phones::of_trial(store, id).await?;
    Ok(all
        .into_iter()
        .map(|p| PhoneShown {
            name: p.name(),
            given_up: p.given_up_at.is_some(),
            device: p.device,
            who: p.who,
            pending: p.pending,
            seen: p.seen_at.clock(),
            seen_ago_s: (now - p.seen_at.millis()) / 1000,
        })
        .collect())
}

/// Why a trial cannot be closed for what phones still hold: one sentence a phone.
pub(super) async fn unsent(store: &Store, id: TrialId) -> Result<Vec<String>, Error> {
    let all = phones::of_trial(store, id).await?;
    Ok(all
        .iter()
        .filter(|p| p.holds_entries())
        .map(|p| {
            let entries = if p.pending == 1 { "entry" } else { "entries" };
            format!(
                "{} {entries} on {} ({}, last seen {})",
                p.pending,
                p.name(),
                p.who,
                p.seen_at.clock()
            )
        })
        .collect())
}

/// How long a phone may hold entries before the bench names it, s.
const LONG_S: i64 = 3600;

/// The phones of a trial that have held entries for over an hour: one sentence a phone.
pub(super) async fn holding_long(store: &Store, id: TrialId) -> Result<Vec<String>, Error> {
    let (now, all) = (Stamp::now(), phones::of_trial(store, id).await?);
    Ok(all.iter().filter_map(|p| held_long(p, now)).collect())
}

fn held_long(phone: &phones::Phone, now: Stamp) -> Option<String> {
    let ago_s = |then: Stamp| (now.millis() - then.millis()) / 1000;
    let held_s = ago_s(phone.held_since.unwrap_or(phone.seen_at));
    if !phone.holds_entries() || held_s <= LONG_S {
        return None;
    }
    let way_on = if ago_s(phone.seen_at) > LONG_S {
        "open the trial on it where it has a link"
    } else {
        "it has a link: look on it at what was not taken, and why"
    };
    let entries = if phone.pending == 1 {
        "entry"
    } else {
        "entries"
    };
    Some(format!(
        "{} ({}) has held {} unsent {entries} for {} min, last heard of at {}: {way_on}",
        phone.name(),
        phone.who,
        phone.pending,
        held_s / 60,
        phone.seen_at.clock()
    ))
}

/// What is missing among the numbered entries of each phone.
pub(super) async fn missing(store: &Store, id: TrialId) -> Result<Vec<String>, Error> {
    let all = phones::of_trial(store, id).await?;
    let gaps = phones::missing(store, id).await?;
    Ok(gaps
        .iter()
        .map(|(device, n)| {
            let name = all
                .iter()
                .find(|p| p.device == *device)
                .map_or_else(|| "a phone".to_owned(), phones::Phone::name);
            format!("entry {n} from {name} is missing")
        })
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(at_ms: &str) -> Typed {
        let pairs = [
            ("device", "0123456789abcdef"),
            ("device_page", "p1"),
            ("n", "17"),
            ("wall_ms", "1000"),
            ("mono_ms", "20"),
            ("at_ms", at_ms),
            ("offset_ms", "-3"),
            ("u_ms", "45"),
        ];
        Typed::new(
            pairs
                .iter()
                .map(|(n, v)| ((*n).to_owned(), (*v).to_owned()))
                .collect(),
        )
    }

    #[test]
    fn a_form_without_a_phone_is_the_servers_own() {
        assert_eq!(read(&Typed::default()), Ok(None));
    }

    #[test]
    fn a_number_that_is_none_is_named() {
        let faults = read(&form("soon")).unwrap_err();
        assert_eq!(faults.list()[0].field, "at_ms");
        assert_eq!(read(&form("1500")).unwrap().unwrap().n, 17);
    }

    #[test]
    fn a_phone_is_named_once_it_has_held_entries_for_over_an_hour() {
        let seen = Stamp::from_millis(1_000_000_000);
        let phone = phones::Phone {
            device: "0123456789abcdef".to_owned(),
            who: "Piet".to_owned(),
            pending: 3,
            last_n: 9,
            first_at: seen,
            seen_at: seen,
            held_since: Some(seen),
            given_up_at: None,
            place: 2,
        };
        assert_eq!(held_long(&phone, seen.plus_seconds(3600)), None);
        let said = held_long(&phone, seen.plus_seconds(3700)).unwrap();
        assert!(
            said.starts_with("phone B (Piet) has held 3 unsent entries for 61 min"),
            "{said}"
        );
        let later = seen.plus_seconds(9000);
        let sent = phones::Phone {
            pending: 0,
            ..phone.clone()
        };
        assert_eq!(held_long(&sent, later), None);
        let in_touch = phones::Phone {
            seen_at: later,
            ..phone.clone()
        };
        let said = held_long(&in_touch, later).unwrap();
        assert!(
            said.contains("for 150 min") && said.contains("what was not taken"),
            "{said}"
        );
        let given_up = phones::Phone {
            given_up_at: Some(seen),
            ..phone
        };
        assert_eq!(held_long(&given_up, later), None);
    }

    #[test]
    fn what_is_to_come_is_taken_as_received() {
        let from = read(&form("100000")).unwrap().unwrap();
        let received = Stamp::from_millis(90_000);
        assert_eq!(from.at(received), received);
        assert!(from.is_ahead(received));
        assert!(!from.is_ahead(Stamp::from_millis(99_000)));
    }
}
