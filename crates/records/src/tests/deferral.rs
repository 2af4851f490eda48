//! Defects that are put off come back by themselves.

use super::book::{bare, book};
use super::fresh;
use crate::at_bench;
use crate::change::{self, Subject};
use crate::defects::{self, NewDefect, Origin, Settled, Until};
use crate::error::Error;
use crate::ids::{DefectId, JobId, PartId};
use crate::jobs;
use crate::log::{self, NewTrial};
use crate::owed;
use crate::parts::{self, NewPart};
use crate::publish;
use crate::sittings::{self, NewSitting};
use crate::store::Store;
use crate::time::{Day, Stamp};

/// A defect put off until something, at the latest to a day far away.
async fn put_off(store: &Store, job: JobId, until: Until, to: &str) -> DefectId {
    let to = Day::read(to).unwrap();
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                let new = NewDefect {
                    component_id: None,
                    what: "lower cock stiff".into(),
                    bar: "no steam".into(),
                    to_do: String::new(),
                    origin: Origin::Examination,
                };
                let id = defects::make(w, job, &new).await?;
                let why = "no time".to_owned();
                defects::settle(w, id, &Settled::Deferred { until, to, why }).await?;
                Ok(id)
            })
        })
        .await
        .unwrap()
}

async fn is_back(store: &Store, id: DefectId) -> bool {
    let today = Day::read("2026-11-25").unwrap();
    defects::find(store, id)
        .await
        .unwrap()
        .has_come_back(&today)
}

async fn sit(store: &Store, job: JobId) -> crate::SittingId {
    // The clock counts milliseconds: what follows is later.
    tokio::time::sleep(std::time::Duration::from_millis(3)).await;
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                let new = NewSitting {
                    on_day: Day::read("2026-11-05").unwrap(),
                    minutes: 60,
                    done: "looked at it".into(),
                    next_time: String::new(),
                    clip: String::new(),
                    component_id: None,
                };
                sittings::make(w, job, &new).await
            })
        })
        .await
        .unwrap()
}

#[tokio::test]
async fn its_day_brings_it_back_whatever_it_waits_for() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    for until in [Until::Day, Until::Sitting, Until::Trial] {
        let late = put_off(&store, job, until, "2026-11-25").await;
        assert!(is_back(&store, late).await, "{until:?}");
        let early = put_off(&store, job, until, "2026-11-26").await;
        assert!(!is_back(&store, early).await, "{until:?}");
    }
    assert_eq!(defects::deferred(&store).await.unwrap().len(), 6);
    // A bar stands while its defect is put off.
    assert_eq!(jobs::by_id(&store, job).await.unwrap().no_steam, 6);
}

#[tokio::test]
async fn the_next_sitting_of_its_job_brings_it_back_and_not_the_one_before() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let other = book(&store, bare()).await.unwrap();
    sit(&store, job).await;
    tokio::time::sleep(std::time::Duration::from_millis(3)).await;
    let id = put_off(&store, job, Until::Sitting, "2030-01-01").await;
    sit(&store, other).await;
    assert!(!is_back(&store, id).await);
    let sitting = sit(&store, job).await;
    assert!(is_back(&store, id).await);
    // A sitting written down by mistake was none.
    store
        .write("Ada", move |w| {
            Box::pin(
                async move { change::withdraw(w, Subject::Sitting, sitting.get(), true).await },
            )
        })
        .await
        .unwrap();
    assert!(!is_back(&store, id).await);
}

#[tokio::test]
async fn its_part_in_hand_and_the_next_trial_bring_it_back() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let other = book(&store, bare()).await.unwrap();
    let part: PartId = store
        .write("Ada", move |w| {
            Box::pin(async move {
                let new = NewPart {
                    name: "a cock".into(),
                    state: "on order".into(),
                    ..NewPart::default()
                };
                parts::make(w, job, &new).await
            })
        })
        .await
        .unwrap();
    let waits = put_off(&store, job, Until::Part(part), "2030-01-01").await;
    let trial = put_off(&store, job, Until::Trial, "2030-01-01").await;
    assert!(!is_back(&store, waits).await && !is_back(&store, trial).await);
    assert!(
        defects::find(&store, waits)
            .await
            .unwrap()
            .put_off_to()
            .starts_with("a cock being in hand")
    );
    tokio::time::sleep(std::time::Duration::from_millis(3)).await;
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                parts::moves(w, part, "in hand").await?;
                let new = NewTrial {
                    job_id: job,
                    kind: "steam".into(),
                    question: "does it hold?".into(),
                    head: "{}".into(),
                };
                log::prepare(w, &new).await
            })
        })
        .await
        .unwrap();
    assert!(is_back(&store, waits).await && is_back(&store, trial).await);
    // A part of another job is nothing to wait for.
    let stranger = defects::of_job(&store, job).await.unwrap()[0].id;
    let refused = store
        .write("Ada", move |w| {
            Box::pin(async move {
                let mine = NewPart {
                    name: "another".into(),
                    state: "to order".into(),
                    ..NewPart::default()
                };
                let theirs = parts::make(w, other, &mine).await?;
                let settled = Settled::Deferred {
                    until: Until::Part(theirs),
                    to: Day::read("2030-01-01").unwrap(),
                    why: "no time".into(),
                };
                defects::settle(w, stranger, &settled).await
            })
        })
        .await;
    assert!(matches!(refused, Err(Error::Refused(_))));
}

#[tokio::test]
async fn a_customer_has_heard_nothing_since_the_last_news_or_since_it_came_in() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let heard = owed::heard(&store).await.unwrap();
    assert_eq!(heard[0].since(), bare().came_in_on.noon());
    assert_eq!(
        (heard[0].job_number(), heard[0].last_said),
        ("26-001".into(), None)
    );
    let before = Stamp::now();
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                publish::say(w, job, "It runs.").await?;
                Ok(())
            })
        })
        .await
        .unwrap();
    let heard = owed::heard(&store).await.unwrap();
    assert!(heard[0].since() >= before);
    store
        .write("Ada", move |w| {
            Box::pin(async move { jobs::stand(w, job, "gone home unrepaired").await })
        })
        .await
        .unwrap();
    assert_eq!(owed::heard(&store).await.unwrap(), []);
}

#[tokio::test]
async fn a_sitting_that_has_begun_brings_it_back_and_is_put_down_once() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let id = put_off(&store, job, Until::Sitting, "2030-01-01").await;
    tokio::time::sleep(std::time::Duration::from_millis(3)).await;
    let begin = async || {
        store
            .write("Ada", move |w| {
                Box::pin(async move { at_bench::begin(w, job).await })
            })
            .await
            .unwrap()
    };
    let first = begin().await;
    assert_eq!(begin().await, first, "one that has begun goes on");
    assert!(is_back(&store, id).await);
    let known = at_bench::of_job(&store, job).await.unwrap().unwrap();
    assert_eq!(
        (known.by.as_str(), known.job_number()),
        ("Ada", "26-001".into())
    );
    assert_eq!(known.minutes(known.began_at.plus_seconds(150)), 2);
    assert_eq!(known.minutes(known.began_at.plus_seconds(-150)), 0);
    // It was none: it is gone from the bench, and the defect waits on.
    store
        .write("Ada", move |w| {
            Box::pin(
                async move { change::withdraw(w, Subject::BenchSpell, first.get(), true).await },
            )
        })
        .await
        .unwrap();
    assert_eq!(at_bench::running(&store).await.unwrap(), []);
    assert!(!is_back(&store, id).await);
    let second = begin().await;
    assert_ne!(second, first);
    let sitting = sit(&store, job).await;
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                at_bench::end(w, job, sitting).await?;
                at_bench::end(w, job, sitting).await
            })
        })
        .await
        .unwrap();
    assert_eq!(at_bench::of_job(&store, job).await.unwrap(), None);
    assert!(is_back(&store, id).await);
    // One that was taken back cannot stand beside another that has begun.
    begin().await;
    let two = store
        .write("Ada", move |w| {
            Box::pin(
                async move { change::withdraw(w, Subject::BenchSpell, first.get(), false).await },
            )
        })
        .await;
    assert!(matches!(two, Err(Error::Taken(_))), "{two:?}");
}
