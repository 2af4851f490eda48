//! Papers, re-tests and appointments: every field comes back, and what follows from them.

use super::book::{bare, book};
use super::fresh;
use crate::appointments::{self, NewAppointment};
use crate::papers::{self, NewPaper, Paper};
use crate::retests::{self, Rule};
use crate::{Day, Error, JobId, PaperId, PlantId, Store};

fn day(text: &str) -> Day {
    Day::read(text).unwrap()
}

fn full() -> NewPaper {
    NewPaper {
        kind: "water test".into(),
        number: "12".into(),
        pressure_bar: "8.0".into(),
        on_day: day("2026-03-02"),
        valid_until: Some(day("2028-03-02")),
        by_whom: "the club".into(),
        note: "seen".into(),
    }
}

fn empty() -> NewPaper {
    NewPaper {
        kind: "other".into(),
        number: String::new(),
        pressure_bar: String::new(),
        on_day: day("2026-03-03"),
        valid_until: None,
        by_whom: String::new(),
        note: String::new(),
    }
}

fn back(known: Paper) -> NewPaper {
    NewPaper {
        kind: known.kind,
        number: known.number,
        pressure_bar: known.pressure_bar,
        on_day: known.on_day,
        valid_until: known.valid_until,
        by_whom: known.by_whom,
        note: known.note,
    }
}

async fn make(store: &Store, new: NewPaper) -> Result<PaperId, Error> {
    store
        .write("Ada", move |w| {
            Box::pin(async move { papers::make(w, PlantId::new(1), &new).await })
        })
        .await
}

#[tokio::test]
async fn a_paper_comes_back_with_every_field_and_with_none() {
    let (_folder, store) = fresh().await;
    book(&store, bare()).await.unwrap();
    let (a, b) = (
        make(&store, full()).await.unwrap(),
        make(&store, empty()).await.unwrap(),
    );
    assert_eq!(back(papers::find(&store, a).await.unwrap()), full());
    assert_eq!(back(papers::find(&store, b).await.unwrap()), empty());
    store
        .write("Ada", move |w| {
            Box::pin(async move { papers::change(w, b, &full()).await })
        })
        .await
        .unwrap();
    assert_eq!(back(papers::find(&store, b).await.unwrap()), full());
    for (new, rule) in [
        (
            NewPaper {
                kind: "poem".into(),
                ..full()
            },
            "paper_kind",
        ),
        (
            NewPaper {
                valid_until: Some(day("2026-03-01")),
                ..full()
            },
            "paper_is_valid_after_its_day",
        ),
    ] {
        let refused = make(&store, new).await;
        assert!(
            matches!(&refused, Err(Error::Rule(found)) if found == rule),
            "{refused:?}"
        );
    }
}

#[tokio::test]
async fn a_re_test_follows_from_papers_and_rule_and_not_from_what_is_withdrawn() {
    let (_folder, store) = fresh().await;
    book(&store, bare()).await.unwrap();
    assert!(
        retests::from(&store, &day("2000-01-01"), None, 100)
            .await
            .unwrap()
            .is_empty()
    );
    let paper = make(&store, full()).await.unwrap();
    let due = retests::of_plant(&store, PlantId::new(1)).await.unwrap();
    assert_eq!(
        (due.len(), due[0].on.clone(), due[0].what.as_str()),
        (1, day("2028-03-02"), "water test")
    );
    assert!(
        due[0].because.contains("no. 12 by the club"),
        "{}",
        due[0].because
    );
    let rule = Rule {
        other_months: 12,
        ahead_days: 30,
        ..Rule::default()
    };
    let set = rule.clone();
    store
        .write("Ada", move |w| {
            Box::pin(async move { retests::set_rule(w, &set).await })
        })
        .await
        .unwrap();
    assert_eq!(retests::rule(&store).await.unwrap(), rule);
    assert_eq!(
        retests::from(&store, &day("2000-01-01"), None, 100)
            .await
            .unwrap()[0]
            .on,
        day("2027-03-02")
    );
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                crate::change::withdraw(w, crate::change::Subject::Paper, paper.get(), true).await
            })
        })
        .await
        .unwrap();
    assert!(
        retests::from(&store, &day("2000-01-01"), None, 100)
            .await
            .unwrap()
            .is_empty()
    );
    let refused = store
        .write("Ada", |w| {
            Box::pin(async move {
                retests::set_rule(
                    w,
                    &Rule {
                        copper_months: 0,
                        ..Rule::default()
                    },
                )
                .await
            })
        })
        .await;
    assert!(
        matches!(&refused, Err(Error::Rule(rule)) if rule == "retest_copper"),
        "{refused:?}"
    );
}

fn visit(jobs: Vec<(JobId, String)>) -> NewAppointment {
    NewAppointment {
        on_day: day("2026-12-02"),
        at_time: "14:30".into(),
        who: "the inspector".into(),
        place: "here".into(),
        at_hand: "pump".into(),
        note: "bring a pen".into(),
        jobs,
    }
}

#[tokio::test]
async fn an_appointment_comes_back_with_its_jobs_and_counts_its_changes() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let about = vec![(job, "water test, the first".to_owned())];
    let new = visit(about.clone());
    let id = store
        .write("Ada", move |w| {
            Box::pin(async move { appointments::make(w, &new).await })
        })
        .await
        .unwrap();
    let kept = appointments::find(&store, id).await.unwrap();
    assert_eq!(
        (kept.when().as_str(), kept.changes),
        ("2 Dec 2026, 14:30", 0)
    );
    assert_eq!(
        (
            kept.who.as_str(),
            kept.place.as_str(),
            kept.at_hand.as_str(),
            kept.note.as_str()
        ),
        ("the inspector", "here", "pump", "bring a pen")
    );
    assert_eq!(appointments::jobs(&store, id).await.unwrap(), about);
    assert_eq!(
        appointments::of_job(&store, job).await.unwrap(),
        std::slice::from_ref(&kept)
    );
    let bare = NewAppointment {
        at_time: String::new(),
        place: String::new(),
        at_hand: String::new(),
        note: String::new(),
        ..visit(Vec::new())
    };
    store
        .write("Ada", move |w| {
            Box::pin(async move { appointments::change(w, id, &bare).await })
        })
        .await
        .unwrap();
    let changed = appointments::find(&store, id).await.unwrap();
    assert_eq!(
        (changed.when().as_str(), changed.changes),
        ("2 Dec 2026", 1)
    );
    assert!(appointments::jobs(&store, id).await.unwrap().is_empty());
    assert_eq!(
        appointments::from(&store, &day("2026-12-02"))
            .await
            .unwrap()
            .len(),
        1
    );
    assert!(
        appointments::from(&store, &day("2026-12-03"))
            .await
            .unwrap()
            .is_empty()
    );
    for (new, rule) in [
        (
            NewAppointment {
                at_time: "half two".into(),
                ..visit(Vec::new())
            },
            "appointment_time",
        ),
        (
            NewAppointment {
                who: " ".into(),
                ..visit(Vec::new())
            },
            "appointment_says_who",
        ),
        (visit(vec![(job, "a dance".into())]), "appointment_what"),
    ] {
        let refused = store
            .write("Ada", move |w| {
                Box::pin(async move { appointments::make(w, &new).await })
            })
            .await;
        assert!(
            matches!(&refused, Err(Error::Rule(found)) if found == rule),
            "{refused:?}"
        );
    }
}

#[tokio::test]
async fn the_calendars_address_is_kept_as_its_hash_alone() {
    let (folder, store) = fresh().await;
    let token = crate::shares::fresh_token();
    let kept = token.clone();
    store
        .write("Ada", move |w| {
            Box::pin(async move { appointments::set_calendar_key(w, &kept).await })
        })
        .await
        .unwrap();
    assert!(appointments::is_calendar_key(&store, &token).await.unwrap());
    assert!(
        !appointments::is_calendar_key(&store, "other")
            .await
            .unwrap()
    );
    store
        .write("Ada", |w| {
            Box::pin(async move { appointments::set_calendar_key(w, "a new one").await })
        })
        .await
        .unwrap();
    assert!(
        !appointments::is_calendar_key(&store, &token).await.unwrap(),
        "the one before is dead"
    );
    store
        .write("Ada", |w| {
            Box::pin(async move { appointments::drop_calendar_key(w).await })
        })
        .await
        .unwrap();
    assert!(
        appointments::calendar_key_since(&store)
            .await
            .unwrap()
            .is_none()
    );
    store.close().await;
    let bytes = std::fs::read(crate::file_of(folder.path())).unwrap();
    assert!(!bytes.windows(token.len()).any(|w| w == token.as_bytes()));
}
