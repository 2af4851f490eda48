//! The rules of the book: one form one row, named rules, and what the customer may see.

use super::book::{bare, book};
use super::fresh;
use crate::customers::NewCustomer;
use crate::defects::{NewDefect, Origin, Settled};
use crate::jobs::NewJob;
use crate::publish::Choices;
use crate::sittings::{self, NewSitting};
use crate::{
    Day, Error, JobId, Stamp, customers, defects, jobs, publish, shares, states, workshop,
};

#[tokio::test]
async fn the_same_form_twice_is_one_row_and_other_content_is_refused() {
    let (_folder, store) = fresh().await;
    let send = |name: &'static str| {
        let store = store.clone();
        async move {
            store
                .once("Ada", "0123456789abcdef", name.as_bytes(), move |w| {
                    Box::pin(async move {
                        let id = customers::make(
                            w,
                            &NewCustomer {
                                name: name.into(),
                                ..Default::default()
                            },
                        )
                        .await?;
                        Ok(format!("/customers/{id}"))
                    })
                })
                .await
        }
    };
    assert_eq!(send("Orrin").await.unwrap(), send("Orrin").await.unwrap());
    assert!(matches!(send("Bettine").await, Err(Error::KeyReused)));
    assert_eq!(customers::list(&store, None, 100).await.unwrap().len(), 1);
}

#[tokio::test]
async fn a_named_rule_says_which_it_was() {
    let (_folder, store) = fresh().await;
    let id = book(&store, bare()).await.unwrap();
    let rule = |result: Result<(), Error>| match result {
        Err(Error::Rule(name)) => name,
        other => panic!("{other:?}"),
    };
    let bad = store
        .write("Ada", move |w| {
            Box::pin(async move { jobs::stand(w, id, "nowhere").await })
        })
        .await;
    assert_eq!(rule(bad), "job_stands");
    let bad = store
        .write("Ada", move |w| {
            Box::pin(async move { states::lay(w, id, " ", "x").await.map(drop) })
        })
        .await;
    assert_eq!(rule(bad), "piece_says_what");
    let bad = store
        .write("Ada", |w| {
            Box::pin(async move { workshop::set(w, "", "me", false).await })
        })
        .await;
    assert_eq!(rule(bad), "workshop_has_name");
    let gone = store
        .write("Ada", move |w| {
            Box::pin(async move { states::lay(w, JobId::new(99), "x", "y").await.map(drop) })
        })
        .await;
    assert!(matches!(gone, Err(Error::Refused(_))), "{gone:?}");
}

#[tokio::test]
async fn the_customers_page_holds_only_what_was_chosen() {
    let (_folder, store) = fresh().await;
    let id = book(
        &store,
        NewJob {
            private_note: "PRIVATE-1".into(),
            words: "PRIVATE-2".into(),
            estimate_pence: Some(31_000),
            promised_on: Day::read("2026-12-12"),
            ..bare()
        },
    )
    .await
    .unwrap();
    let (token, other) = (shares::fresh_token(), shares::fresh_token());
    let sent = token.clone();
    let share = store
        .write("Ada", move |w| {
            Box::pin(async move {
                workshop::set(w, "Curlew Yard", "Ada", false).await?;
                let shown = publish::say(w, id, "It steams again.").await?;
                publish::say(w, id, "PRIVATE-3").await?;
                let d = NewDefect {
                    component_id: None,
                    what: "PRIVATE-4".into(),
                    bar: "no steam".into(),
                    to_do: "PRIVATE-5".into(),
                    origin: Origin::Examination,
                };
                let d = defects::make(w, id, &d).await?;
                publish::choose(
                    w,
                    id,
                    &Choices {
                        news: vec![shown],
                        defects: vec![(d, "a valve leaks".into())],
                        ..Default::default()
                    },
                )
                .await?;
                shares::make(w, id, &sent).await
            })
        })
        .await
        .unwrap();
    let found = shares::open(&store, &token).await.unwrap();
    assert_eq!(found.id, share);
    assert_eq!(Stamp::now().days_to(found.expires_at), 179);
    let page = publish::page(&store, found.job_id).await.unwrap();
    let all = format!("{page:?}");
    assert!(
        !all.contains("PRIVATE") && !all.contains("31000") && !all.contains("2026-12-12"),
        "{all}"
    );
    assert_eq!(
        (page.news.len(), page.defects.len(), page.job.no_steam),
        (1, 1, 1)
    );
    assert!(matches!(
        shares::open(&store, &other).await,
        Err(Error::Missing(_))
    ));
    store
        .write("Ada", move |w| {
            Box::pin(async move { shares::revoke(w, id, share).await })
        })
        .await
        .unwrap();
    assert!(matches!(
        shares::open(&store, &token).await,
        Err(Error::Missing(_))
    ));
}

#[tokio::test]
async fn a_defect_is_cleared_only_by_something_of_its_own_job() {
    let (_folder, store) = fresh().await;
    let (one, other) = (
        book(&store, bare()).await.unwrap(),
        book(&store, bare()).await.unwrap(),
    );
    let settled = store
        .write("Ada", move |w| {
            Box::pin(async move {
                let new = NewDefect {
                    component_id: None,
                    what: "weeps".into(),
                    bar: "watch".into(),
                    to_do: String::new(),
                    origin: Origin::Examination,
                };
                let defect = defects::make(w, one, &new).await?;
                let elsewhere = NewSitting {
                    on_day: Day::read("2026-11-05").unwrap(),
                    minutes: 5,
                    done: "x".into(),
                    next_time: String::new(),
                    clip: String::new(),
                    component_id: None,
                };
                let elsewhere = sittings::make(w, other, &elsewhere).await?;
                defects::settle(w, defect, &Settled::BySitting(elsewhere)).await
            })
        })
        .await;
    assert!(matches!(settled, Err(Error::Refused(_))), "{settled:?}");
}
