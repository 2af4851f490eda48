//! The same request once, twice or ten times, lost on the way there or back, in any order, several at once: one row a key, and
//! the same answer each time.

use std::collections::BTreeMap;

use acceptance::{App, Chance, FromPhone, Page, Request};
use records::{Stamp, TrialId, log};
use tokio::task::JoinSet;

use crate::pictures::jpeg;
use crate::trials_hand::Hand;

const DEVICE: &str = "fedcba9876543210fedcba9876543210";
const REQUESTS: usize = 1000;
/// So many are on their way at once.
const AT_ONCE: usize = 6;

/// One entry as a phone sends it; `other` is the same key with another figure.
struct Entry {
    key: String,
    n: i64,
    at_ms: i64,
    level: String,
}

impl Entry {
    fn request(&self, host: &str, other: bool) -> Request {
        let level = if other { "7" } else { self.level.as_str() };
        let fields = [("what", "reading"), ("level_mm", level)];
        FromPhone {
            device: DEVICE,
            key: &self.key,
            n: self.n,
            at_ms: self.at_ms,
            fields: &fields,
        }
        .request(host)
    }
}

/// What was done with one request, and what came back.
struct Answered {
    entry: usize,
    other: bool,
    page: Option<Page>,
}

/// What is stored, of an answer.
fn stored(page: &Page) -> serde_json::Value {
    let answer: serde_json::Value = serde_json::from_str(&page.body).expect("JSON");
    serde_json::json!({ "key": answer["key"], "entry": answer["entry"] })
}

/// A thousand requests over fewer keys, shuffled: each key once at the least, some ten times.
fn plan(chance: &mut Chance) -> (Vec<Entry>, Vec<(usize, bool)>) {
    let start = Stamp::now().millis();
    let (mut entries, mut sends) = (Vec::new(), Vec::new());
    while sends.len() < REQUESTS {
        let entry = entries.len();
        let nth = i64::try_from(entry).expect("few");
        entries.push(Entry {
            key: records::fresh_key(),
            n: nth + 1,
            at_ms: start + nth,
            level: format!("{:.1}", chance.between(14.0, 40.0)),
        });
        let times = chance.pick(&[1, 1, 1, 2, 2, 3, 10]);
        sends.extend((0..times).map(|_| (entry, false)));
        if chance.happens(0.05) {
            sends.push((entry, true));
        }
    }
    for n in (1..sends.len()).rev() {
        let whole = f64::from(u32::try_from(n + 1).expect("few"));
        let with = format!("{:.0}", (chance.unit() * whole).floor()).parse::<usize>();
        sends.swap(n, with.expect("a number").min(n));
    }
    (entries, sends)
}

#[tokio::test]
async fn a_thousand_requests_are_one_row_a_key_and_one_answer_a_key() {
    let hand = Hand::at_work().await;
    let before = log::entries(hand.app.store(), TrialId::new(1), 0)
        .await
        .expect("entries")
        .len();
    let mut chance = Chance::new(20_261_128);
    let (entries, sends) = plan(&mut chance);
    let address: std::net::SocketAddr = hand.app.host().parse().expect("an address");
    let (mut waiting, mut running, mut all) = (sends.into_iter(), JoinSet::new(), Vec::new());
    loop {
        while running.len() < AT_ONCE
            && let Some((entry, other)) = waiting.next()
        {
            let request = entries[entry].request(&hand.app.host(), other);
            // Lost on the way there; or hung up on while it is under way, so that its answer is lost.
            let (lost, patience) = (chance.happens(0.05), chance.happens(0.1));
            running.spawn(async move {
                let page = match (lost, patience) {
                    (true, _) => None,
                    (_, true) => tokio::time::timeout(
                        std::time::Duration::from_millis(1),
                        request.send(address),
                    )
                    .await
                    .ok(),
                    _ => Some(request.send(address).await),
                };
                Answered { entry, other, page }
            });
        }
        match running.join_next().await {
            Some(done) => all.push(done.expect("sent")),
            None => break,
        }
    }
    // As a phone does: what was never answered is sent again until it is.
    for (n, entry) in entries.iter().enumerate() {
        let page = entry.request(&hand.app.host(), false).send(address).await;
        all.push(Answered {
            entry: n,
            other: false,
            page: Some(page),
        });
    }
    told_apart(&entries, &all);
    let rows = log::entries(hand.app.store(), TrialId::new(1), 0)
        .await
        .expect("entries");
    println!(
        "same key: {} requests, {} keys, {} rows",
        all.len(),
        entries.len(),
        rows.len() - before
    );
    assert_eq!(rows.len() - before, entries.len(), "rows = distinct keys");
}

/// Per key one answer, and what has another figure is refused and changes nothing. Which figure came first is what counts.
fn told_apart(entries: &[Entry], all: &[Answered]) {
    let mut answers: BTreeMap<usize, serde_json::Value> = BTreeMap::new();
    let mut refused = 0;
    for Answered { entry, other, page } in all {
        let Some(page) = page else { continue };
        if page.status == 422 {
            refused += 1;
            continue;
        }
        assert!(
            matches!(page.status, 200 | 201),
            "{}: {}",
            page.status,
            page.body
        );
        let first = answers.entry(*entry).or_insert_with(|| stored(page));
        assert_eq!(*first, stored(page), "one answer a key");
        let sent = if *other {
            "7"
        } else {
            entries[*entry].level.as_str()
        };
        assert_eq!(
            stored(page)["entry"]["reading"]["level_mm"].to_string(),
            sent,
            "what was sent is what is stored"
        );
    }
    assert!(refused > 0, "some came with other content");
    assert!(answers.len() + refused >= entries.len());
}

#[tokio::test]
async fn a_picture_broken_off_as_it_was_stored_and_sent_again_smaller_is_there_once() {
    let app = App::one_job().await;
    let (first, second, third) = (
        records::fresh_key(),
        records::fresh_key(),
        records::fresh_key(),
    );
    let send = async |key: &str, before: &[&str], side: u32| {
        let mut fields: Vec<(&str, &str)> = before.iter().map(|k| ("before", *k)).collect();
        fields.push(("key", key));
        let picture = jpeg(side, side, [9, 90, 9]);
        app.send_files(
            "/pictures?of=job-1",
            &fields,
            &[("taken", "glass.jpg", &picture)],
        )
        .await
        .is(303);
    };
    let count = async || {
        let all = records::pictures::of_job(app.store(), records::JobId::new(1)).await;
        all.expect("pictures").len()
    };
    send(&first, &[], 120).await;
    send(&second, &[&first], 90).await;
    assert_eq!(
        count().await,
        1,
        "the first was stored, whatever its sender heard"
    );
    send(&third, &[&second], 60).await;
    assert_eq!(count().await, 1, "and so was its second form answered");
    send(&records::fresh_key(), &[&records::fresh_key()], 60).await;
    assert_eq!(count().await, 2, "what never came is taken");
}
