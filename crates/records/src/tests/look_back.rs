//! Looking back: everything typed is found, whatever happened to it since; and what is fitted stays with its component.

use super::book::{bare, book};
use super::fresh;
use crate::change::{self, Subject};
use crate::components::{self, NewComponent};
use crate::customers::{self, NewCustomer};
use crate::fitted::{self, NewFitted, With};
use crate::jobs::{self, NewJob};
use crate::look_back::{Asked, Found, look};
use crate::sittings::{self, NewSitting};
use crate::{ComponentId, CustomerId, Day, Error, PlantId, SittingId, Store, example};

/// What the first index of words took in of what was there; later tables bring their own.
const COUNT: fn() -> &'static str = || "select count(*) from typed where subject not in ('instrument', 'paper', 'appointment', 'unknown boiler', 'look', 'examination')";

async fn asked(store: &Store, words: &str) -> Vec<Found> {
    let asked = Asked {
        words: words.into(),
        ..Asked::default()
    };
    look(store, &asked).await.unwrap()
}

fn subjects(found: &[Found]) -> Vec<&str> {
    found.iter().map(|f| f.subject.as_str()).collect()
}

/// SQLite's own look whether the index holds just what is in the table.
async fn index_is_whole(store: &Store) {
    store
        .write("", |w| {
            Box::pin(async move {
                sqlx::query(
                    "insert into word_index (word_index, rank) values ('integrity-check', 1)",
                )
                .execute(w.conn())
                .await?;
                Ok(())
            })
        })
        .await
        .unwrap();
}

#[tokio::test]
async fn everything_that_was_typed_is_found() {
    let (_folder, store) = fresh().await;
    store
        .write("", |w| Box::pin(async move { example::furnish(w).await }))
        .await
        .unwrap();
    for (words, subject) in [
        ("takes load", "job"),
        ("FT 31", "plant"),
        ("Sedge Quay", "customer"),
        ("vee-twin", "component"),
        ("check valve passes back", "defect"),
        ("0.3 mm late", "sitting"),
        ("ball stainless", "part"),
        ("second water glass", "variation"),
        ("cylinders need no boring", "estimate"),
        ("deposit transfer", "payment"),
        ("graphited yarn drawer", "stock"),
        ("soot like felt", "examination"),
        ("workshop gauge G2", "state"),
        ("tin 14", "piece"),
        ("jacket round the boiler", "news"),
        ("valve gear reset and boiler lagged", "trial"),
        ("no weep at any seam", "entry"),
        ("shell material copper", "component"),
        ("26-003", "job"),
    ] {
        let found = asked(&store, words).await;
        assert!(subjects(&found).contains(&subject), "{words}: {found:?}");
    }
    index_is_whole(&store).await;
    let note = asked(&store, "no weep at any seam").await;
    let entry = note.iter().find(|f| f.subject == "entry").unwrap();
    assert!(
        entry.entry.is_some() && entry.plant.starts_with("Marigold"),
        "{entry:?}"
    );
    assert!(asked(&store, "nobody wrote this").await.is_empty());
    assert!(asked(&store, "").await.is_empty());
}

#[tokio::test]
async fn the_index_follows_changes_withdrawals_and_erasing() {
    let (folder, store) = fresh().await;
    let new = NewJob {
        words: "It whistles".into(),
        ..bare()
    };
    let job = book(&store, new).await.unwrap();
    assert_eq!(subjects(&asked(&store, "whistl").await), ["job"]);
    assert_eq!(
        asked(&store, "WHÍSTLES").await.len(),
        1,
        "capitals and accents do not matter"
    );
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                let new = NewJob {
                    words: "It hums".into(),
                    ..bare()
                };
                jobs::change(w, job, &new).await?;
                change::withdraw(w, Subject::Job, job.get(), true).await?;
                let customer = NewCustomer {
                    name: "Q. Zzyx".into(),
                    ways: crate::customers::Ways {
                        letter: "Larkspur Steps".into(),
                        ..Default::default()
                    },
                    ..NewCustomer::default()
                };
                customers::change(w, CustomerId::new(1), &customer).await
            })
        })
        .await
        .unwrap();
    assert!(asked(&store, "whistles").await.is_empty());
    let hums = asked(&store, "hums").await;
    assert!(hums.len() == 1 && hums[0].withdrawn && hums[0].job == "26-001");
    assert_eq!(asked(&store, "larkspur").await.len(), 1);
    store
        .write("Ada", |w| {
            Box::pin(async move { customers::erase(w, CustomerId::new(1)).await })
        })
        .await
        .unwrap();
    assert!(asked(&store, "larkspur").await.is_empty() && asked(&store, "zzyx").await.is_empty());
    index_is_whole(&store).await;
    store.close().await;
    drop(store);
    let bytes = std::fs::read(crate::file_of(folder.path()))
        .unwrap()
        .to_ascii_lowercase();
    for gone in [b"larkspur".as_slice(), b"zzyx"] {
        assert!(
            !bytes.windows(gone.len()).any(|w| w == gone),
            "what was erased is in the file"
        );
    }
}

#[tokio::test]
async fn what_was_typed_before_there_was_an_index_is_found() {
    let (folder, store) = fresh().await;
    store
        .write("", |w| Box::pin(async move { example::furnish(w).await }))
        .await
        .unwrap();
    let before: i64 = sqlx::query_scalar(COUNT())
        .fetch_one(store.readers())
        .await
        .unwrap();
    store.close().await;
    drop(store);
    // The folder as the program before the index left it.
    let mut conn = crate::connect::copier(&crate::file_of(folder.path()))
        .await
        .unwrap();
    let triggers: Vec<String> = sqlx::query_scalar("select name from sqlite_master where type = 'trigger' and (name like '%is_found%' or name like 'typed_%')")
        .fetch_all(&mut conn)
        .await
        .unwrap();
    assert!(triggers.len() > 30, "{triggers:?}");
    for name in triggers {
        sqlx::raw_sql(sqlx::AssertSqlSafe(format!("drop trigger {name}")))
            .execute(&mut conn)
            .await
            .unwrap();
    }
    for undo in [
        "drop table word_index",
        "drop table typed",
        "delete from _sqlx_migrations where version in (12, 27)",
    ] {
        sqlx::raw_sql(undo).execute(&mut conn).await.unwrap();
    }
    sqlx::Connection::close(conn).await.unwrap();
    let again = Store::open(folder.path()).await.unwrap();
    let after: i64 = sqlx::query_scalar(COUNT())
        .fetch_one(again.readers())
        .await
        .unwrap();
    assert_eq!(after, before);
    assert!(!asked(&again, "no weep at any seam").await.is_empty());
    index_is_whole(&again).await;
}

async fn a_pump(store: &Store) -> (ComponentId, SittingId) {
    let job = book(store, bare()).await.unwrap();
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                let pump = NewComponent {
                    parent_id: None,
                    kind: "feed-pump".into(),
                    name: "hand pump".into(),
                    particulars: "{}".into(),
                    note: String::new(),
                    joints: String::new(),
                };
                let pump = components::make(w, PlantId::new(1), &pump).await?;
                let sitting = NewSitting {
                    on_day: Day::read("2026-11-05").unwrap(),
                    minutes: 30,
                    done: "packed".into(),
                    next_time: String::new(),
                    clip: String::new(),
                    component_id: None,
                };
                Ok((pump, sittings::make(w, job, &sitting).await?))
            })
        })
        .await
        .unwrap()
}

fn packing(component_id: ComponentId, what: &str, day: Option<&str>) -> NewFitted {
    NewFitted {
        component_id,
        kind: "packing".into(),
        what: what.into(),
        was: String::new(),
        now: String::new(),
        on_day: day.and_then(Day::read),
    }
}

async fn fit(store: &Store, with: With, new: NewFitted) -> Result<crate::FittedId, Error> {
    store
        .write("Ada", move |w| {
            Box::pin(async move { fitted::make(w, with, &new).await })
        })
        .await
}

#[tokio::test]
async fn what_is_fitted_comes_back_with_its_component_the_newest_first() {
    let (_folder, store) = fresh().await;
    let (pump, sitting) = a_pump(&store).await;
    fit(
        &store,
        With::Neither,
        packing(pump, "old string", Some("2019-05-01")),
    )
    .await
    .unwrap();
    fit(
        &store,
        With::Sitting(sitting),
        packing(pump, "graphite yarn 3 mm", None),
    )
    .await
    .unwrap();
    let lead = NewFitted {
        kind: "adjustment".into(),
        was: "0.5 mm".into(),
        now: "0.1 mm".into(),
        ..packing(pump, "play of the crosshead", Some("2026-11-09"))
    };
    fit(&store, With::Sitting(sitting), lead).await.unwrap();
    let all = fitted::of_component(&store, pump).await.unwrap();
    let days: Vec<&str> = all.iter().map(|f| f.on_day.iso()).collect();
    assert_eq!(
        days,
        ["2026-11-09", "2026-11-05", "2019-05-01"],
        "a sitting lends its own day"
    );
    let says: Vec<String> = fitted::history(&store, pump)
        .await
        .unwrap()
        .into_iter()
        .map(|h| h.says)
        .collect();
    assert_eq!(
        says,
        [
            "adjustment: play of the crosshead, from 0.5 mm to 0.1 mm",
            "packing: graphite yarn 3 mm",
            "packing: old string"
        ]
    );
    let of_pumps = Asked {
        words: "graph".into(),
        plant: Some(PlantId::new(1)),
        component_kind: "feed-pump".into(),
    };
    let found = look(&store, &of_pumps).await.unwrap();
    assert_eq!((found.len(), found[0].component), (1, Some(pump.get())));
    let elsewhere = Asked {
        component_kind: "boiler".into(),
        ..of_pumps.clone()
    };
    assert!(look(&store, &elsewhere).await.unwrap().is_empty());
    let no_words = Asked {
        words: String::new(),
        ..of_pumps
    };
    assert_eq!(
        look(&store, &no_words).await.unwrap().len(),
        4,
        "the pump and what was fitted to it"
    );
}

#[tokio::test]
async fn what_cannot_be_fitted_is_refused() {
    let (_folder, store) = fresh().await;
    let (pump, sitting) = a_pump(&store).await;
    book(&store, bare()).await.unwrap();
    let foreign = store
        .write("Ada", |w| {
            Box::pin(async move {
                let new = NewComponent {
                    parent_id: None,
                    kind: "boiler".into(),
                    name: "another plant's".into(),
                    particulars: "{}".into(),
                    note: String::new(),
                    joints: String::new(),
                };
                components::make(w, PlantId::new(2), &new).await
            })
        })
        .await
        .unwrap();
    let refused = fit(
        &store,
        With::Sitting(sitting),
        packing(foreign, "yarn", None),
    )
    .await;
    assert!(matches!(refused, Err(Error::Refused(_))), "{refused:?}");
    let half = NewFitted {
        kind: "adjustment".into(),
        ..packing(pump, "play", None)
    };
    let refused = fit(&store, With::Neither, half).await;
    assert!(
        matches!(&refused, Err(Error::Rule(rule)) if rule == "fitted_adjustment_says_from_what_to_what"),
        "{refused:?}"
    );
    let nothing = fit(
        &store,
        With::Sitting(SittingId::new(9)),
        packing(pump, "yarn", None),
    )
    .await;
    assert!(matches!(nothing, Err(Error::Missing(_))), "{nothing:?}");
}

#[tokio::test]
async fn looking_back_reads_no_table_from_end_to_end() {
    let (_folder, store) = fresh().await;
    for (name, sql) in crate::look_back::STATEMENTS {
        let plan: Vec<(i64, i64, i64, String)> =
            sqlx::query_as(sqlx::AssertSqlSafe(format!("explain query plan {sql}")))
                .fetch_all(store.readers())
                .await
                .unwrap();
        for (_, _, _, step) in plan {
            let by_index = step.starts_with("SEARCH") || step.contains("VIRTUAL TABLE INDEX");
            assert!(by_index, "{name}: {step}");
        }
    }
}
