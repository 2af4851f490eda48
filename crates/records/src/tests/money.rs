//! Estimates, payments, answers: what a sum is made of, and what is never taken back.

use super::book::{bare, book};
use super::fresh;
use crate::change::{self, Subject};
use crate::customers;
use crate::error::Error;
use crate::estimates::{self, NewEstimate};
use crate::ids::{JobId, VariationId};
use crate::jobs;
use crate::payments::{self, NewPayment};
use crate::publish::{self, Choices};
use crate::store::Store;
use crate::time::Day;
use crate::variations::{self, Answer, NewVariation};
use crate::workshop::{self, MoneyRules};

fn payment(what: &str, pence: i64) -> NewPayment {
    NewPayment {
        on_day: Day::read("2026-11-20").unwrap(),
        what: what.into(),
        pence,
        how: "in notes".into(),
    }
}

async fn pay(store: &Store, job: JobId, new: NewPayment) -> Result<crate::PaymentId, Error> {
    store
        .write("Ada", move |w| {
            Box::pin(async move { payments::make(w, job, &new).await })
        })
        .await
}

async fn paid(store: &Store, job: JobId) -> i64 {
    jobs::by_id(store, job).await.unwrap().paid_pence
}

#[tokio::test]
async fn what_was_paid_is_the_sum_of_the_payments_that_stand() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let first = pay(&store, job, payment("deposit", 5_000)).await.unwrap();
    pay(&store, job, payment("payment", 2_550)).await.unwrap();
    pay(&store, job, payment("paid back", 550)).await.unwrap();
    assert_eq!(paid(&store, job).await, 7_000);
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                payments::change(w, first, &payment("deposit", 6_000)).await?;
                change::withdraw(w, Subject::Payment, first.get(), true).await
            })
        })
        .await
        .unwrap();
    assert_eq!(paid(&store, job).await, 2_000);
    let all = payments::of_job(&store, job).await.unwrap();
    let adds: Vec<i64> = all.iter().map(payments::Payment::adds_pence).collect();
    assert_eq!(adds, [6_000, 2_550, -550]);
    // More cannot go back than came, whichever way it would come about.
    let refused = pay(&store, job, payment("paid back", 2_001)).await;
    assert!(matches!(refused, Err(Error::Refused(says)) if says.contains("paid back")));
    let nothing = pay(&store, job, payment("payment", 0)).await;
    assert!(matches!(nothing, Err(Error::Rule(rule)) if rule == "payment_sum"));
    assert_eq!(paid(&store, job).await, 2_000);
    let kept = change::of_job(&store, job, None, 200).await.unwrap();
    assert!(
        kept.iter()
            .any(|c| c.subject == "payment" && c.what == "withdrawn")
    );
}

#[tokio::test]
async fn an_estimate_is_one_a_job_and_what_it_was_before_is_kept() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    assert_eq!(estimates::of_job(&store, job).await.unwrap(), None);
    let first = NewEstimate {
        least_minutes: 300,
        most_minutes: 480,
        hourly_pence: 3_000,
        least_parts_pence: 1_000,
        most_parts_pence: 4_000,
        assumes: "the flue is sound".into(),
        named_pence: Some(25_000),
    };
    let later = NewEstimate {
        most_minutes: 600,
        named_pence: None,
        ..first.clone()
    };
    let wrong = NewEstimate {
        least_minutes: 601,
        ..later.clone()
    };
    for new in [first, later] {
        store
            .write("Ada", move |w| {
                Box::pin(async move { estimates::keep(w, job, &new).await })
            })
            .await
            .unwrap();
    }
    let kept = estimates::of_job(&store, job).await.unwrap().unwrap();
    assert_eq!((kept.least_minutes, kept.most_minutes), (300, 600));
    assert_eq!(kept.assumes, "the flue is sound");
    assert_eq!(jobs::by_id(&store, job).await.unwrap().estimate_pence, None);
    let refused = store
        .write("Ada", move |w| {
            Box::pin(async move { estimates::keep(w, job, &wrong).await })
        })
        .await;
    assert!(matches!(refused, Err(Error::Rule(rule)) if rule == "estimate_minutes_in_order"));
    let changes = change::of_job(&store, job, None, 200).await.unwrap();
    let estimate: Vec<_> = changes.iter().filter(|c| c.subject == "estimate").collect();
    assert_eq!(estimate.len(), 2);
    assert!(estimate[0].differences().contains(&(
        "most minutes".into(),
        "480".into(),
        "600".into()
    )));
}

async fn variation(store: &Store, job: JobId, shown: bool) -> VariationId {
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                let new = NewVariation {
                    what: "a second glass".into(),
                    price_pence: 4_800,
                    asked: true,
                    ..NewVariation::default()
                };
                let id = variations::make(w, job, &new).await?;
                let choices = Choices {
                    variations: if shown { vec![id] } else { Vec::new() },
                    ..Choices::default()
                };
                publish::choose(w, job, &choices).await?;
                Ok(id)
            })
        })
        .await
        .unwrap()
}

async fn on_page(store: &Store, job: JobId, agreed: bool) -> Result<(), Error> {
    store
        .write("customer", move |w| {
            Box::pin(
                async move { variations::answer_on_page(w, job, 1, agreed, "T. Penrow").await },
            )
        })
        .await
}

async fn by_hand(store: &Store, id: VariationId, answer: Option<&str>) -> Result<(), Error> {
    let given = Answer {
        answer: answer.map(str::to_owned),
        by: "T. Penrow".into(),
        how: "by telephone".into(),
    };
    store
        .write("Ada", move |w| {
            Box::pin(async move { variations::answer(w, id, &given).await })
        })
        .await
}

#[tokio::test]
async fn the_customers_own_answer_is_given_once_and_stays() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let id = variation(&store, job, true).await;
    on_page(&store, job, true).await.unwrap();
    let kept = variations::find(&store, id).await.unwrap();
    assert_eq!(kept.answer.as_deref(), Some("agreed"));
    assert_eq!(kept.answered_by, "T. Penrow");
    assert_eq!(kept.answered_how, "on the progress page");
    assert!(kept.answered_on_page && kept.answered_at.is_some());
    assert_eq!(jobs::by_id(&store, job).await.unwrap().agreed_pence, 4_800);
    assert!(matches!(
        on_page(&store, job, false).await,
        Err(Error::Refused(_))
    ));
    assert!(matches!(
        on_page(&store, job, true).await,
        Err(Error::Refused(_))
    ));
    for answer in [Some("declined"), Some("agreed"), None] {
        assert!(matches!(
            by_hand(&store, id, answer).await,
            Err(Error::Refused(_))
        ));
    }
    assert_eq!(variations::find(&store, id).await.unwrap(), kept);
}

#[tokio::test]
async fn a_name_under_an_answer_is_erased_with_the_customer_and_the_answer_stays() {
    let (folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let id = variation(&store, job, true).await;
    on_page(&store, job, true).await.unwrap();
    let customer = jobs::by_id(&store, job).await.unwrap().customer_id;
    store
        .write("Ada", move |w| {
            Box::pin(async move { customers::erase(w, customer).await })
        })
        .await
        .unwrap();
    let kept = variations::find(&store, id).await.unwrap();
    assert_eq!(
        (kept.answer.as_deref(), kept.answered_by.as_str()),
        (Some("agreed"), "")
    );
    let changes = change::of_job(&store, job, None, 200).await.unwrap();
    assert!(
        changes
            .iter()
            .any(|c| c.subject == "variation" && c.what == "erased")
    );
    store.close().await;
    let bytes = std::fs::read(crate::file_of(folder.path())).unwrap();
    assert!(
        !String::from_utf8_lossy(&bytes).contains("Penrow"),
        "the name is in the file"
    );
}

#[tokio::test]
async fn what_is_not_on_the_page_is_not_answered_there() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let other = book(&store, bare()).await.unwrap();
    let id = variation(&store, job, false).await;
    assert!(matches!(
        on_page(&store, job, true).await,
        Err(Error::Missing(_))
    ));
    assert!(matches!(
        on_page(&store, other, true).await,
        Err(Error::Missing(_))
    ));
    // One that came by telephone can be taken back by hand, but is not turned round.
    by_hand(&store, id, Some("agreed")).await.unwrap();
    assert!(matches!(
        by_hand(&store, id, Some("declined")).await,
        Err(Error::Refused(_))
    ));
    by_hand(&store, id, None).await.unwrap();
    by_hand(&store, id, Some("declined")).await.unwrap();
    let kept = variations::find(&store, id).await.unwrap();
    assert_eq!(kept.answer.as_deref(), Some("declined"));
    assert!(!kept.answered_on_page);
}

#[tokio::test]
async fn the_workshop_chooses_its_sign_its_hour_and_its_tax() {
    let (_folder, store) = fresh().await;
    assert_eq!(
        workshop::money(&store).await.unwrap(),
        MoneyRules::default()
    );
    let rules = MoneyRules {
        currency: "kr".into(),
        hourly_pence: Some(3_150),
        tax_hundredths: Some(2_500),
    };
    let set = rules.clone();
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                workshop::set(w, "Hazel Row Works", "Ada", false).await?;
                workshop::set_money(w, &set).await
            })
        })
        .await
        .unwrap();
    assert_eq!(workshop::money(&store).await.unwrap(), rules);
}
