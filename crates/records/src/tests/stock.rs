//! Small stock and the parts of all jobs.

use super::book::{bare, book};
use super::fresh;
use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{JobId, SittingId, StockId};
use crate::parts::{self, NewPart};
use crate::sittings::{self, NewSitting};
use crate::stock::{self, Moved, NewStock};
use crate::store::Store;
use crate::time::{Day, Stamp};

async fn yarn(store: &Store) -> StockId {
    let new = NewStock {
        name: "graphited yarn, 3 mm".into(),
        unit: "cm".into(),
        least: Some(50),
        price_pence: Some(4),
        supplier: "the packing house".into(),
        lies: "drawer 2".into(),
        note: "pump glands".into(),
    };
    store
        .write("Ada", move |w| {
            Box::pin(async move { stock::make(w, &new).await })
        })
        .await
        .unwrap()
}

async fn moved(store: &Store, id: StockId, by: Moved) -> Result<crate::StockMoveId, Error> {
    store
        .write("Ada", move |w| {
            Box::pin(async move { stock::moved(w, id, by).await })
        })
        .await
}

async fn sitting(store: &Store, job: JobId) -> SittingId {
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                let new = NewSitting {
                    on_day: Day::read("2026-11-05").unwrap(),
                    minutes: 60,
                    done: "packed the pump".into(),
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

async fn left(store: &Store, id: StockId) -> i64 {
    stock::find(store, id).await.unwrap().count
}

#[tokio::test]
async fn a_count_is_what_came_less_what_was_drawn() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let sitting = sitting(&store, job).await;
    let id = yarn(&store).await;
    assert!(stock::find(&store, id).await.unwrap().is_low());
    moved(&store, id, Moved::ComeIn(200)).await.unwrap();
    let drawn = |count| Moved::Drawn {
        count,
        job,
        sitting,
    };
    let draw = moved(&store, id, drawn(12)).await.unwrap();
    assert_eq!(left(&store, id).await, 188);
    // A count says what is there, whatever the book held.
    moved(&store, id, Moved::Counted(60)).await.unwrap();
    moved(&store, id, Moved::Counted(60)).await.unwrap();
    assert_eq!(left(&store, id).await, 60);
    assert!(!stock::find(&store, id).await.unwrap().is_low());
    let refused = moved(&store, id, drawn(61)).await;
    assert!(
        matches!(&refused, Err(Error::Refused(says)) if says.contains("only 60 cm of graphited yarn")),
        "{refused:?}"
    );
    assert!(matches!(
        moved(&store, id, drawn(0)).await,
        Err(Error::Rule(_))
    ));
    assert!(matches!(
        moved(&store, id, Moved::ComeIn(-3)).await,
        Err(Error::Rule(_))
    ));
    let of_job = stock::of_job(&store, job).await.unwrap();
    assert_eq!(of_job.len(), 1);
    assert_eq!(of_job[0].costs_pence(), Some(48));
    assert_eq!(
        (of_job[0].counted(), of_job[0].sitting_serial),
        ("12 cm".into(), Some(1))
    );
    // A draw by a slip of the hand is withdrawn, and what was drawn is there again.
    store
        .write("Ada", move |w| {
            Box::pin(async move { change::withdraw(w, Subject::StockMove, draw.get(), true).await })
        })
        .await
        .unwrap();
    assert_eq!(left(&store, id).await, 72);
    assert_eq!(
        stock::of_job(&store, job).await.unwrap()[0].costs_pence(),
        None
    );
    assert_eq!(stock::moves(&store, id, None, 9).await.unwrap().len(), 4);
    assert!(matches!(
        stock::find(&store, StockId::new(9)).await,
        Err(Error::Missing("stock"))
    ));
}

#[tokio::test]
async fn an_order_and_an_arrival_have_days_of_their_own() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let new = NewPart {
        name: "ball".into(),
        state: "to order".into(),
        supplier: "Bow Bearings".into(),
        price_pence: Some(90),
        count: 3,
        carriage_pence: Some(250),
        ..NewPart::default()
    };
    let id = store
        .write("Ada", move |w| {
            Box::pin(async move { parts::make(w, job, &new).await })
        })
        .await
        .unwrap();
    let today = Stamp::now().day();
    let part = parts::find(&store, id).await.unwrap();
    assert_eq!((part.ordered_on, part.arrived_on), (None, None));
    for state in ["on order", "in hand"] {
        store
            .write("Ada", move |w| {
                Box::pin(async move { parts::moves(w, id, state).await })
            })
            .await
            .unwrap();
    }
    let part = parts::find(&store, id).await.unwrap();
    assert_eq!(part.ordered_on.as_ref(), Some(&today));
    assert_eq!(part.arrived_on.as_ref(), Some(&today));
    assert_eq!(part.costs_pence(), Some(520));
    let awaited = parts::awaited(&store, None, 99).await.unwrap();
    assert_eq!(awaited.len(), 1);
    assert_eq!(
        (awaited[0].job_number(), awaited[0].plant.as_str()),
        ("26-001".into(), "Sandmartin")
    );
    assert_eq!(awaited[0].part, part);
    store
        .write("Ada", move |w| {
            Box::pin(async move { parts::moves(w, id, "fitted").await })
        })
        .await
        .unwrap();
    assert_eq!(parts::awaited(&store, None, 99).await.unwrap(), []);
    let unknown = store
        .write("Ada", move |w| {
            Box::pin(async move { parts::moves(w, id, "lost").await })
        })
        .await;
    assert!(matches!(unknown, Err(Error::Rule(rule)) if rule == "part_state"));
}
