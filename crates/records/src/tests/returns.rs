//! Jobs by their numbers: given by the year, and a return of an earlier one.

use super::book::{bare, book};
use super::fresh;
use crate::Day;
use crate::error::Error;
use crate::jobs::{self, NewJob};

#[tokio::test]
async fn a_job_is_a_return_of_its_own_plant_alone() {
    let (_folder, store) = fresh().await;
    let first = book(&store, bare()).await.unwrap();
    let another = store
        .write("Ada", move |w| {
            Box::pin(async move {
                let plant = crate::plants::NewPlant {
                    name: "Turnstone".into(),
                    customer_id: crate::ids::CustomerId::new(1),
                    boiler_mark: String::new(),
                    note: String::new(),
                };
                let plant = crate::plants::make(w, &plant).await?;
                let new = NewJob {
                    return_of: Some(first),
                    ..bare()
                };
                jobs::book(w, plant, &new).await
            })
        })
        .await;
    assert!(matches!(another, Err(Error::Refused(_))), "{another:?}");
}

#[tokio::test]
async fn jobs_are_numbered_by_the_year_they_came_in() {
    let (_folder, store) = fresh().await;
    let mut numbers = Vec::new();
    for day in ["2026-11-03", "2026-12-31", "2027-01-02"] {
        let id = book(
            &store,
            NewJob {
                came_in_on: Day::read(day).unwrap(),
                ..bare()
            },
        )
        .await
        .unwrap();
        numbers.push(jobs::by_id(&store, id).await.unwrap().number());
    }
    assert_eq!(numbers, ["26-001", "26-002", "27-001"]);
    assert_eq!(jobs::find(&store, "27-001").await.unwrap().year, 2027);
    assert!(matches!(
        jobs::find(&store, "27-002").await,
        Err(Error::Missing("job"))
    ));
}
