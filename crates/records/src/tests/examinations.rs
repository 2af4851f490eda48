//! Examinations: kept beside each other, with their defects and pictures; sound never clears a defect.

use super::book::{bare, book};
use super::fresh;
use crate::change::{self, Subject};
use crate::components::{self, NewComponent};
use crate::defects::{self, NewDefect, Origin, Settled};
use crate::examinations::{self, NewExamination, Outcome, Tally};
use crate::fitted;
use crate::jobs;
use crate::look_back::{Asked, look};
use crate::sittings::{self, NewSitting};
use crate::{ComponentId, Day, DefectId, Error, ExaminationId, JobId, PlantId, Store};

async fn component(store: &Store, plant: PlantId, kind: &'static str) -> ComponentId {
    let new = NewComponent {
        parent_id: None,
        kind: kind.into(),
        name: kind.replace('-', " "),
        particulars: "{}".into(),
        note: String::new(),
        joints: String::new(),
    };
    store
        .write("Ada", move |w| {
            Box::pin(async move { components::make(w, plant, &new).await })
        })
        .await
        .unwrap()
}

/// A job whose plant has a boiler and a safety valve.
async fn two_components(store: &Store) -> (JobId, ComponentId, ComponentId) {
    let job = book(store, bare()).await.unwrap();
    let plant = jobs::by_id(store, job).await.unwrap().plant_id;
    let boiler = component(store, plant, "boiler").await;
    (job, boiler, component(store, plant, "safety-valve").await)
}

async fn found(
    store: &Store,
    job: JobId,
    component_id: ComponentId,
    finding: &str,
    outcome: Outcome,
) -> Result<(ExaminationId, Option<DefectId>), Error> {
    let new = NewExamination {
        component_id,
        finding: finding.into(),
        outcome,
    };
    store
        .write("Piet", move |w| {
            Box::pin(async move { examinations::make(w, job, &new).await })
        })
        .await
}

fn sticks() -> Outcome {
    Outcome::Defect {
        what: "It sticks".into(),
        bar: "no steam".into(),
    }
}

fn tally(components: i64, examined: i64) -> Tally {
    Tally {
        components,
        examined,
    }
}

#[tokio::test]
async fn a_finding_is_kept_with_who_and_when_and_a_second_one_stands_beside_it() {
    let (_folder, store) = fresh().await;
    let (job, boiler, valve) = two_components(&store).await;
    let (first, none) = found(&store, job, boiler, "tubes sooted", Outcome::Sound)
        .await
        .unwrap();
    assert_eq!(none, None);
    let (second, _) = found(&store, job, boiler, "brushed, dry", Outcome::Sound)
        .await
        .unwrap();
    let (third, defect) = found(&store, job, valve, "lifted by hand", sticks())
        .await
        .unwrap();
    let plant = jobs::by_id(&store, job).await.unwrap().plant_id;
    let all = examinations::of_plant(&store, plant).await.unwrap();
    let of = |c: ComponentId| -> Vec<ExaminationId> {
        all.iter()
            .filter(|f| f.component_id == c)
            .map(|f| f.id)
            .collect()
    };
    assert_eq!((of(boiler), of(valve)), (vec![second, first], vec![third]));
    let one = examinations::find(&store, first).await.unwrap();
    assert_eq!(
        (one.by.as_str(), one.finding.as_str()),
        ("Piet", "tubes sooted")
    );
    assert_eq!(
        (one.component.as_str(), one.job_number().as_str()),
        ("boiler", "26-001")
    );
    assert!(one.made_at.millis() > 0);
    // Its defect says where it came from, and is on its component.
    let defect = defects::find(&store, defect.unwrap()).await.unwrap();
    assert_eq!(defect.examination_id, Some(third));
    assert_eq!(
        (defect.origin.as_str(), defect.bar.as_str()),
        ("examination", "no steam")
    );
    assert_eq!(defect.component_id, Some(valve));
    assert_eq!(
        examinations::defects(&store, third).await.unwrap(),
        [defect]
    );
    // All that happened to the valve.
    let history = fitted::history(&store, valve).await.unwrap();
    assert!(
        history.iter().any(
            |h| h.what == "examination" && h.says == "examined by Piet, defect: lifted by hand"
        ),
        "{history:?}"
    );
}

#[tokio::test]
async fn what_waits_to_be_examined_is_counted_and_a_withdrawn_finding_or_component_is_not() {
    let (_folder, store) = fresh().await;
    let (job, boiler, valve) = two_components(&store).await;
    assert_eq!(examinations::tally(&store, job).await.unwrap(), tally(2, 0));
    let (id, _) = found(&store, job, boiler, "clean", Outcome::Sound)
        .await
        .unwrap();
    found(&store, job, boiler, "still clean", Outcome::Sound)
        .await
        .unwrap();
    let so_far = examinations::tally(&store, job).await.unwrap();
    assert_eq!(
        so_far,
        tally(2, 1),
        "two findings of one component are one component"
    );
    assert_eq!(so_far.words(), "examined 1 of 2 components");
    assert_eq!(
        examinations::begun(&store).await.unwrap()[&job.get()],
        tally(2, 1)
    );
    let withdraw = async |subject, id, withdrawn| {
        store
            .write("Ada", move |w| {
                Box::pin(async move { change::withdraw(w, subject, id, withdrawn).await })
            })
            .await
            .unwrap();
        examinations::tally(&store, job).await.unwrap()
    };
    assert_eq!(
        withdraw(Subject::Examination, id.get(), true).await,
        tally(2, 1)
    );
    assert_eq!(
        withdraw(Subject::Examination, id.get() + 1, true).await,
        tally(2, 0)
    );
    assert_eq!(
        withdraw(Subject::Examination, id.get(), false).await,
        tally(2, 1)
    );
    assert_eq!(
        withdraw(Subject::Component, valve.get(), true).await,
        tally(1, 1)
    );
    let kept = change::of(&store, Subject::Examination, id.get(), None, 50)
        .await
        .unwrap();
    let what: Vec<&str> = kept.iter().map(|c| c.what.as_str()).collect();
    assert_eq!(what, ["put back", "withdrawn", "made"]);
    // On the bench it no longer waits to be examined.
    store
        .write("Ada", move |w| {
            Box::pin(async move { jobs::stand(w, job, "on the bench").await })
        })
        .await
        .unwrap();
    assert!(examinations::begun(&store).await.unwrap().is_empty());
}

#[tokio::test]
async fn sound_is_not_said_over_a_standing_defect_and_clears_none() {
    let (_folder, store) = fresh().await;
    let (job, _, valve) = two_components(&store).await;
    let (_, defect) = found(&store, job, valve, "lifted by hand", sticks())
        .await
        .unwrap();
    let defect = defect.unwrap();
    let refused = found(&store, job, valve, "fine", Outcome::Sound)
        .await
        .unwrap_err();
    assert!(
        refused.to_string().contains("sound in other respects"),
        "{refused}"
    );
    found(&store, job, valve, "spring good", Outcome::SoundOtherwise)
        .await
        .unwrap();
    assert_eq!(
        defects::find(&store, defect).await.unwrap().state,
        "standing"
    );
    // Cleared, it may be called sound.
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                let new = NewSitting {
                    on_day: Day::read("2026-11-05").unwrap(),
                    minutes: 60,
                    done: "lapped".into(),
                    next_time: String::new(),
                    clip: String::new(),
                    component_id: None,
                };
                let sitting = sittings::make(w, job, &new).await?;
                defects::settle(w, defect, &Settled::BySitting(sitting)).await
            })
        })
        .await
        .unwrap();
    found(&store, job, valve, "lifts freely", Outcome::Sound)
        .await
        .unwrap();
    // A defect of an earlier visit that nobody cleared stands as well.
    let next = store
        .write("Ada", move |w| {
            Box::pin(async move {
                let old = NewDefect {
                    component_id: Some(valve),
                    what: "seat worn".into(),
                    bar: "watch".into(),
                    to_do: String::new(),
                    origin: Origin::Examination,
                };
                defects::make(w, job, &old).await?;
                let plant = jobs::by_id_in(w, job).await?.plant_id;
                jobs::book(w, plant, &bare()).await
            })
        })
        .await
        .unwrap();
    assert!(
        found(&store, next, valve, "fine", Outcome::Sound)
            .await
            .is_err()
    );
}

#[tokio::test]
async fn a_component_of_another_plant_is_refused_and_an_outcome_stays() {
    let (_folder, store) = fresh().await;
    let (job, boiler, _) = two_components(&store).await;
    let (_, others, _) = two_components(&store).await;
    let refused = found(&store, job, others, "fine", Outcome::Sound)
        .await
        .unwrap_err();
    assert!(
        refused.to_string().contains("not on this plant"),
        "{refused}"
    );
    let (id, _) = found(&store, job, boiler, "fine", Outcome::Sound)
        .await
        .unwrap();
    let known = examinations::find(&store, id).await.unwrap();
    let more = store.write("Ada", move |w| {
        Box::pin(async move { examinations::add_defect(w, &known, "leaks", "watch").await })
    });
    assert!(
        matches!(more.await, Err(Error::Refused(_))),
        "a sound finding has no defect"
    );
    let turned = store.write("Ada", move |w| {
        Box::pin(async move {
            sqlx::query("update examination set outcome = 'defect' where id = ?1")
                .bind(id)
                .execute(w.conn())
                .await?;
            Ok(())
        })
    });
    assert!(turned.await.unwrap_err().to_string().contains("stays"));
}

#[tokio::test]
async fn the_words_are_put_right_found_by_the_search_and_both_are_kept() {
    let (_folder, store) = fresh().await;
    let (job, boiler, _) = two_components(&store).await;
    let (id, _) = found(&store, job, boiler, "scale like eggshell", Outcome::Sound)
        .await
        .unwrap();
    let search = async |words: &str| {
        let asked = Asked {
            words: words.into(),
            ..Asked::default()
        };
        look(&store, &asked).await.unwrap()
    };
    let lines = search("eggshell").await;
    assert_eq!(lines.len(), 1, "{lines:?}");
    assert_eq!(
        (lines[0].subject.as_str(), lines[0].job.as_str()),
        ("examination", "26-001")
    );
    store
        .write("Ada", move |w| {
            Box::pin(async move { examinations::change(w, id, "scale like paper").await })
        })
        .await
        .unwrap();
    assert!(search("eggshell").await.is_empty());
    assert_eq!(search("paper").await.len(), 1);
    let kept = change::of(&store, Subject::Examination, id.get(), None, 50)
        .await
        .unwrap();
    let (key, was, is) = kept[0].differences().remove(0);
    assert_eq!(
        (key.as_str(), was.as_str(), is.as_str()),
        ("finding", "scale like eggshell", "scale like paper")
    );
    assert_eq!(kept[0].by, "Ada");
}
