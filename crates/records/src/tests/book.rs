//! The job book: every field comes back as it went in, and every rule refuses.

use super::fresh;
use crate::change::{self, Subject};
use crate::components::NewComponent;
use crate::customers::NewCustomer;
use crate::defects::{NewDefect, Origin, Settled, Until};
use crate::jobs::NewJob;
use crate::parts::NewPart;
use crate::plants::NewPlant;
use crate::sittings::NewSitting;
use crate::states::NewState;
use crate::variations::NewVariation;
use crate::{
    CustomerId, Day, Error, JobId, PlantId, Store, components, customers, defects, jobs, parts,
    plants, sittings, states, variations,
};

pub(super) async fn book(store: &Store, new: NewJob) -> Result<JobId, Error> {
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                let customer = customers::make(
                    w,
                    &NewCustomer {
                        name: "T. Penrow".into(),
                        ..Default::default()
                    },
                )
                .await?;
                let plant = NewPlant {
                    name: "Sandmartin".into(),
                    customer_id: customer,
                    boiler_mark: String::new(),
                    note: String::new(),
                };
                let plant = plants::make(w, &plant).await?;
                jobs::book(w, plant, &new).await
            })
        })
        .await
}

pub(super) fn bare() -> NewJob {
    NewJob {
        words: String::new(),
        condition: String::new(),
        contents: String::new(),
        came_in_on: Day::read("2026-11-03").unwrap(),
        promised_on: None,
        next_time: String::new(),
        return_of: None,
        back: jobs::Back::default(),
        steam_to_bar: String::new(),
        estimate_pence: None,
        private_note: String::new(),
    }
}

#[tokio::test]
async fn a_job_comes_back_with_every_field_and_with_none() {
    let (_folder, store) = fresh().await;
    let first = book(&store, bare()).await.unwrap();
    let full = NewJob {
        words: "It dies under load.".into(),
        condition: "brown water".into(),
        contents: "two spanners".into(),
        came_in_on: Day::read("2026-11-04").unwrap(),
        promised_on: Day::read("2026-12-12"),
        next_time: "lift the lid".into(),
        return_of: Some(first),
        back: jobs::Back {
            what: "the gland weeps again".into(),
            through: Some("our fault".into()),
            charged: Some("not charged".into()),
        },
        steam_to_bar: "3.5".into(),
        estimate_pence: Some(31_000),
        private_note: "pays late".into(),
    };
    let (plant, new) = (
        jobs::by_id(&store, first).await.unwrap().plant_id,
        full.clone(),
    );
    let booked = store.write("Ada", move |w| {
        Box::pin(async move { jobs::book(w, plant, &new).await })
    });
    let id = booked.await.unwrap();
    let back = |job: jobs::Job| NewJob {
        back: job.back(),
        words: job.words,
        condition: job.condition,
        contents: job.contents,
        came_in_on: job.came_in_on,
        promised_on: job.promised_on,
        next_time: job.next_time,
        return_of: job.return_of,
        steam_to_bar: job.steam_to_bar,
        estimate_pence: job.estimate_pence,
        private_note: job.private_note,
    };
    assert_eq!(back(jobs::by_id(&store, id).await.unwrap()), full);
    assert_eq!(back(jobs::by_id(&store, first).await.unwrap()), bare());
    // and changed, both ways
    let (f, b) = (full.clone(), bare());
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                jobs::change(
                    w,
                    first,
                    &NewJob {
                        return_of: None,
                        ..f
                    },
                )
                .await?;
                jobs::change(w, id, &b).await
            })
        })
        .await
        .unwrap();
    assert_eq!(
        back(jobs::by_id(&store, first).await.unwrap()),
        NewJob {
            return_of: None,
            ..full
        }
    );
    assert_eq!(back(jobs::by_id(&store, id).await.unwrap()), bare());
}

#[tokio::test]
async fn customers_plants_and_components_come_back_as_written() {
    let (_folder, store) = fresh().await;
    let customer = NewCustomer {
        name: "T. Penrow".into(),
        ways: customers::Ways {
            telephone: "0555 1\n0555 2".into(),
            email: "t@penrow.example".into(),
            letter: "1 Mill Lane\nFennel".into(),
            other: "his sister".into(),
            prefers: "letter".into(),
        },
        note: "deaf".into(),
        pictures_agreed_on: Day::read("2026-11-03"),
        pictures_agreed_how: "on the receipt".into(),
    };
    let kept = customer.clone();
    let (customer_id, plant_id, part_id): (CustomerId, PlantId, _) = store
        .write("Ada", move |w| {
            Box::pin(async move {
                let c = customers::make(w, &customer).await?;
                let p = plants::make(
                    w,
                    &NewPlant {
                        name: "Sandmartin".into(),
                        customer_id: c,
                        boiler_mark: "K7".into(),
                        note: "n".into(),
                    },
                )
                .await?;
                let boiler = NewComponent {
                    parent_id: None,
                    kind: "boiler".into(),
                    name: "boiler".into(),
                    particulars: r#"{"working_pressure_bar":4.00,"volume_ml":2140}"#.into(),
                    note: "scaled".into(),
                    joints: String::new(),
                };
                let b = components::make(w, p, &boiler).await?;
                let valve = NewComponent {
                    parent_id: Some(b),
                    kind: "safety-valve".into(),
                    name: "valve".into(),
                    particulars: r#"{"safety_valve":{"set_bar":4.10}}"#.into(),
                    note: String::new(),
                    joints: String::new(),
                };
                Ok((c, p, components::make(w, p, &valve).await?))
            })
        })
        .await
        .unwrap();
    let found = customers::find(&store, customer_id).await.unwrap();
    assert_eq!(
        (found.name, found.ways.clone(), found.note),
        (kept.name, kept.ways, kept.note)
    );
    let ways: Vec<String> = found.ways.all().into_iter().map(|w| w.words).collect();
    assert_eq!(
        ways,
        [
            "1 Mill Lane, Fennel",
            "0555 1",
            "0555 2",
            "t@penrow.example",
            "his sister"
        ]
    );
    let plant = plants::find(&store, plant_id).await.unwrap();
    assert_eq!(
        (plant.boiler_mark.as_str(), plant.customer.as_str()),
        ("K7", "T. Penrow")
    );
    let all = components::of_plant(&store, plant_id).await.unwrap();
    assert_eq!(all.len(), 2);
    assert_eq!(all[1].id, part_id);
    assert_eq!(all[1].parent_id, Some(all[0].id));
    let together = components::together(&all, "Sandmartin").unwrap();
    assert_eq!(
        together,
        r#"{"name":"Sandmartin","safety_valve":{"set_bar":4.10},"volume_ml":2140,"working_pressure_bar":4.00}"#
    );
    // erasing a customer leaves nothing of them, in the changes either
    store
        .write("Ada", move |w| {
            Box::pin(async move { customers::erase(w, customer_id).await })
        })
        .await
        .unwrap();
    assert_eq!(
        customers::find(&store, customer_id).await.unwrap().ways,
        customers::Ways::default()
    );
    store.close().await;
    let bytes = std::fs::read(crate::file_of(store.folder())).unwrap();
    for gone in ["Mill Lane", "0555 1", "penrow.example", "his sister"] {
        assert!(!String::from_utf8_lossy(&bytes).contains(gone), "{gone}");
    }
}

#[tokio::test]
async fn what_hangs_on_a_job_comes_back_and_derives_what_it_waits_for() {
    let (_folder, store) = fresh().await;
    let id = book(&store, bare()).await.unwrap();
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                let sitting = NewSitting {
                    on_day: Day::read("2026-11-05").unwrap(),
                    minutes: 110,
                    done: "Stripped.".into(),
                    next_time: "lap the valve".into(),
                    clip: String::new(),
                    component_id: None,
                };
                let s = sittings::make(w, id, &sitting).await?;
                let d = NewDefect {
                    component_id: None,
                    what: "Ram weeps".into(),
                    bar: "no steam".into(),
                    to_do: "repack".into(),
                    origin: Origin::Sitting(s),
                };
                let d = defects::make(w, id, &d).await?;
                let p = NewPart {
                    name: "Yarn".into(),
                    state: "on order".into(),
                    defect_id: Some(d),
                    supplier: "box 3".into(),
                    price_pence: Some(110),
                    promised_on: Day::read("2026-11-26"),
                    ..Default::default()
                };
                let p = parts::make(w, id, &p).await?;
                let v = NewVariation {
                    what: "second glass".into(),
                    reason: "one is stiff".into(),
                    if_not: "one glass".into(),
                    price_pence: 7_400,
                    asked: true,
                };
                let v = variations::make(w, id, &v).await?;
                let t = NewState {
                    what: "plug".into(),
                    place: "bush".into(),
                    how: "blanked".into(),
                    bar: "no handover".into(),
                    sitting_id: Some(s),
                    ends_it: "valve back".into(),
                };
                let t = states::make(w, id, &t).await?;
                states::lay(w, id, "own gauge", "tin 14").await?;
                defects::settle(
                    w,
                    d,
                    &Settled::Deferred {
                        until: Until::Day,
                        to: Day::read("2026-12-12").unwrap(),
                        why: "no ring".into(),
                    },
                )
                .await?;
                states::end(w, t, true, Some(s)).await?;
                states::end(w, t, false, None).await?;
                jobs::wait(w, id, true, true).await?;
                let _ = (p, v);
                Ok(())
            })
        })
        .await
        .unwrap();
    let job = jobs::by_id(&store, id).await.unwrap();
    let waits: Vec<_> = job.waits().into_iter().map(|(w, _)| w.words()).collect();
    assert_eq!(waits, ["me", "customer's word", "parts", "inspector"]);
    assert_eq!(
        (job.no_steam, job.no_handover, job.watch, job.minutes),
        (1, 1, 0, 110)
    );
    assert_eq!(job.next_time, "lap the valve");
    let defect = &defects::of_job(&store, id).await.unwrap()[0];
    assert_eq!(
        (
            defect.state.as_str(),
            defect.deferred_why.as_str(),
            defect.sitting_serial
        ),
        ("deferred", "no ring", Some(1))
    );
    assert_eq!(
        defects::no_steam(&store, job.plant_id).await.unwrap().len(),
        1
    );
    let part = &parts::of_job(&store, id).await.unwrap()[0];
    assert_eq!(
        (part.for_defect, part.price_pence, part.supplier.as_str()),
        (Some(1), Some(110), "box 3")
    );
    assert_eq!(
        states::standing(&store, job.plant_id).await.unwrap()[0].ended_at,
        None
    );
    assert_eq!(states::pieces(&store, id).await.unwrap()[0].lies, "tin 14");
    // it may not go home repaired
    let refused = store
        .write("Ada", move |w| {
            Box::pin(async move { jobs::stand(w, id, "gone home").await })
        })
        .await;
    assert!(matches!(refused, Err(Error::Refused(_))), "{refused:?}");
    store
        .write("Ada", move |w| {
            Box::pin(async move { jobs::stand(w, id, "gone home unrepaired").await })
        })
        .await
        .unwrap();
    assert_eq!(jobs::places(&store, id).await.unwrap().len(), 2);
    let changes = change::of_job(&store, id, None, 200).await.unwrap();
    let stood = changes[0].differences();
    assert!(
        stood.contains(&("stands".into(), "in".into(), "gone home unrepaired".into())),
        "{stood:?}"
    );
    assert_eq!(changes[0].by, "Ada");
}

#[tokio::test]
async fn withdrawing_can_be_undone_and_both_are_kept() {
    let (_folder, store) = fresh().await;
    let id = book(&store, bare()).await.unwrap();
    for withdrawn in [true, false] {
        store
            .write("Ada", move |w| {
                Box::pin(
                    async move { change::withdraw(w, Subject::Job, id.get(), withdrawn).await },
                )
            })
            .await
            .unwrap();
        assert_eq!(
            jobs::by_id(&store, id)
                .await
                .unwrap()
                .withdrawn_at
                .is_some(),
            withdrawn
        );
    }
    let what: Vec<String> = change::of_job(&store, id, None, 200)
        .await
        .unwrap()
        .into_iter()
        .map(|c| c.what)
        .collect();
    assert_eq!(what, ["put back", "withdrawn", "made"]);
    for subject in ["temporary-state", "job", "piece-off-the-plant"] {
        assert!(Subject::from_slug(subject).is_some(), "{subject}");
    }
}
