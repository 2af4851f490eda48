//! The register of instruments: every field comes back, and a comparison keeps what both gauges were then.

use super::book::{bare, book};
use super::fresh;
use crate::instruments::{self, Gauges, Instrument, NewComparison, NewInstrument, ReadAt};
use crate::{Day, Error, InstrumentId, PlantId, Store};

fn full() -> NewInstrument {
    NewInstrument {
        plant_id: Some(PlantId::new(1)),
        kind: "pressure gauge".into(),
        mark: "G2".into(),
        name: "dial".into(),
        full_scale: "6".into(),
        accuracy: "1.0".into(),
        resolution: "0.05".into(),
        repeatability: "0.10".into(),
        calibrated_on: Day::read("2026-03-02"),
        calibrated_by: "a bench".into(),
        due_on: Day::read("2027-03-02"),
        note: "kept dry".into(),
    }
}

fn empty() -> NewInstrument {
    NewInstrument {
        kind: "other".into(),
        mark: "X".into(),
        ..NewInstrument::default()
    }
}

fn back(known: Instrument) -> NewInstrument {
    NewInstrument {
        plant_id: known.plant_id,
        kind: known.kind,
        mark: known.mark,
        name: known.name,
        full_scale: known.full_scale,
        accuracy: known.accuracy,
        resolution: known.resolution,
        repeatability: known.repeatability,
        calibrated_on: known.calibrated_on,
        calibrated_by: known.calibrated_by,
        due_on: known.due_on,
        note: known.note,
    }
}

async fn make(store: &Store, new: NewInstrument) -> Result<InstrumentId, Error> {
    store
        .write("Ada", move |w| {
            Box::pin(async move { instruments::make(w, &new).await })
        })
        .await
}

#[tokio::test]
async fn an_instrument_comes_back_with_every_field_and_with_none() {
    let (_folder, store) = fresh().await;
    book(&store, bare()).await.unwrap();
    let (a, b) = (
        make(&store, full()).await.unwrap(),
        make(&store, empty()).await.unwrap(),
    );
    assert_eq!(back(instruments::find(&store, a).await.unwrap()), full());
    assert_eq!(back(instruments::find(&store, b).await.unwrap()), empty());
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                instruments::change(w, a, &empty()).await?;
                instruments::change(w, b, &full()).await
            })
        })
        .await
        .unwrap();
    assert_eq!(back(instruments::find(&store, a).await.unwrap()), empty());
    let of_plant = instruments::find(&store, b).await.unwrap();
    assert_eq!(of_plant.whose(), "Sandmartin");
    let day = |text| Day::read(text).unwrap();
    assert!(!of_plant.is_overdue(&day("2027-03-02")) && of_plant.is_overdue(&day("2027-03-03")));
    assert_eq!(back(of_plant), full());
    let elsewhere = instruments::at_hand(&store, PlantId::new(9)).await.unwrap();
    assert_eq!(elsewhere.len(), 1, "another plant's gauge is not at hand");
}

#[tokio::test]
async fn what_is_no_instrument_is_refused_by_its_rule() {
    let (_folder, store) = fresh().await;
    for (new, rule) in [
        (
            NewInstrument {
                kind: "ruler".into(),
                ..empty()
            },
            "instrument_kind",
        ),
        (
            NewInstrument {
                mark: "  ".into(),
                ..empty()
            },
            "instrument_has_mark",
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
async fn a_comparison_keeps_both_gauges_as_they_were() {
    let (_folder, store) = fresh().await;
    book(&store, bare()).await.unwrap();
    let own = make(&store, full()).await.unwrap();
    let test = make(
        &store,
        NewInstrument {
            plant_id: None,
            mark: "G9".into(),
            accuracy: "0.6".into(),
            ..full()
        },
    )
    .await
    .unwrap();
    let (a, b) = (
        instruments::find(&store, own).await.unwrap(),
        instruments::find(&store, test).await.unwrap(),
    );
    let then = Gauges::of(&a, &b);
    let points = vec![
        ReadAt {
            test: "1.00".into(),
            up: "1.0".into(),
            down: String::new(),
        },
        ReadAt {
            test: "2.00".into(),
            up: "2.0".into(),
            down: "2.1".into(),
        },
    ];
    let new = NewComparison {
        on_day: Day::read("2026-11-05").unwrap(),
        points: points.clone(),
        note: "tapped".into(),
    };
    let gauges = then.clone();
    let id = store
        .write("Ada", move |w| {
            Box::pin(async move {
                let id = instruments::compare(w, (own, test), &gauges, &new).await?;
                instruments::change(
                    w,
                    test,
                    &NewInstrument {
                        accuracy: "4".into(),
                        ..full()
                    },
                )
                .await?;
                Ok(id)
            })
        })
        .await
        .unwrap();
    let kept = instruments::comparison(&store, id).await.unwrap();
    assert_eq!(
        (kept.as_they_were(), kept.read_at(), kept.by.as_str()),
        (then.clone(), points, "Ada")
    );
    assert_eq!(
        instruments::newest_comparison(&store, own).await.unwrap(),
        Some(kept)
    );
    let again = NewComparison {
        on_day: Day::read("2026-11-05").unwrap(),
        points: Vec::new(),
        note: String::new(),
    };
    let with_itself = store
        .write("Ada", move |w| {
            Box::pin(async move { instruments::compare(w, (own, own), &then, &again).await })
        })
        .await;
    assert!(
        matches!(&with_itself, Err(Error::Rule(rule)) if rule == "comparison_is_with_another"),
        "{with_itself:?}"
    );
}
