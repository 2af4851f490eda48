//! A boiler of unknown history: no steam stands until a working pressure is agreed on a water test, whatever else is done.

use super::book::{bare, book};
use super::fresh;
use crate::change::{self, Subject};
use crate::defects::{self, NewDefect, Settled};
use crate::log::{self, Made, NewTrial, Place, Sealed, Sent};
use crate::sittings::{self, NewSitting};
use crate::unknown_boilers::{self, Decision, Findings};
use crate::{Day, Error, JobId, Store, TrialId, jobs};

async fn begun() -> (tempfile::TempDir, Store, JobId) {
    let (folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    store
        .write("Ada", move |w| {
            Box::pin(async move { unknown_boilers::begin(w, job).await })
        })
        .await
        .unwrap();
    (folder, store, job)
}

/// A sealed water test for a working pressure, with its verdict.
async fn tested(
    store: &Store,
    job_id: JobId,
    working: &'static str,
    verdict: &'static str,
) -> TrialId {
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                let head = format!(
                    r#"{{"format":"gaugeglass-trial/1","kind":"hydraulic","plant":{{"working_pressure_bar":{working}}}}}"#
                );
                let new = NewTrial {
                    job_id,
                    kind: "hydraulic".into(),
                    question: "is it sound?".into(),
                    head,
                };
                let id = log::prepare(w, &new).await?;
                let sent = Sent {
                    trial: id,
                    key: crate::fresh_key(),
                    content: b"0".to_vec(),
                    written_at: None,
                    from: None,
                };
                log::append_in(w, &sent, |place: &Place| {
                    let text = format!(r#"{{"t_s":0,"note":"filled","id":"{}"}}"#, place.id);
                    Ok(Made { text, t_s: 0.0 })
                })
                .await?;
                let sealed = Sealed {
                    verdict: verdict.into(),
                    because: vec!["shown".into()],
                    answer: None,
                };
                log::seal(w, id, &sealed).await?;
                Ok(id)
            })
        })
        .await
        .unwrap()
}

async fn decide(store: &Store, job: JobId, decision: Decision) -> Result<(), Error> {
    store
        .write("Ada", move |w| {
            Box::pin(async move { unknown_boilers::decide(w, job, &decision).await })
        })
        .await
}

async fn found(store: &Store, job: JobId, new: Findings) -> Result<(), Error> {
    store
        .write("Ada", move |w| {
            Box::pin(async move { unknown_boilers::write(w, job, &new).await })
        })
        .await
}

fn proposed() -> Findings {
    Findings {
        material: "copper".into(),
        seams: "silver solder".into(),
        plate: "sound".into(),
        tubes: "13".into(),
        stays: "4".into(),
        scale: "little".into(),
        lagging: "none".into(),
        measured: "2.5 mm".into(),
        reckoning_id: None,
        proposed_bar: "3.0".into(),
        proposed_by: "Ada".into(),
    }
}

fn agreed(trial: TrialId) -> Decision {
    Decision::Agreed {
        by: "the inspector".into(),
        trial,
        why: String::new(),
    }
}

async fn bars(store: &Store, job: JobId) -> i64 {
    jobs::by_id(store, job).await.unwrap().no_steam
}

#[tokio::test]
async fn no_steam_stands_and_nothing_else_takes_it_away() {
    let (_folder, store, job) = begun().await;
    assert_eq!(bars(&store, job).await, 1);
    let route = unknown_boilers::of_job(&store, job).await.unwrap().unwrap();
    let trial = tested(&store, job, "3.0", "pass").await;
    let sitting = store
        .write("Ada", move |w| {
            Box::pin(async move {
                let new = NewSitting {
                    on_day: Day::read("2026-11-05").unwrap(),
                    minutes: 1,
                    done: "looked".into(),
                    next_time: String::new(),
                    clip: String::new(),
                    component_id: None,
                };
                sittings::make(w, job, &new).await
            })
        })
        .await
        .unwrap();
    let defect = route.defect_id;
    for settled in [Settled::BySitting(sitting), Settled::ByTrial(trial)] {
        let refused = store
            .write("Ada", move |w| {
                Box::pin(async move { defects::settle(w, defect, &settled).await })
            })
            .await;
        assert!(
            matches!(&refused, Err(Error::Refused(says)) if says.contains("unknown")),
            "{refused:?}"
        );
    }
    let withdrawn = store
        .write("Ada", move |w| {
            Box::pin(async move { change::withdraw(w, Subject::Defect, defect.get(), true).await })
        })
        .await;
    assert!(matches!(withdrawn, Err(Error::Refused(_))), "{withdrawn:?}");
    let known = defects::find(&store, defect).await.unwrap();
    let lesser = NewDefect {
        component_id: None,
        what: known.what,
        bar: "watch".into(),
        to_do: String::new(),
        origin: defects::Origin::Examination,
    };
    let changed = store
        .write("Ada", move |w| {
            Box::pin(async move { defects::change(w, defect, &lesser).await })
        })
        .await;
    assert!(matches!(changed, Err(Error::Refused(_))), "{changed:?}");
    assert_eq!(bars(&store, job).await, 1);
    let again = store
        .write("Ada", move |w| {
            Box::pin(async move { unknown_boilers::begin(w, job).await })
        })
        .await;
    assert!(matches!(again, Err(Error::Taken(_))), "{again:?}");
    assert_eq!(
        bars(&store, job).await,
        1,
        "a second beginning leaves nothing behind"
    );
}

#[tokio::test]
async fn agreeing_needs_a_proposal_and_a_water_test_that_passed_for_it() {
    let (_folder, store, job) = begun().await;
    let good = tested(&store, job, "3.0", "pass").await;
    let refused = decide(&store, job, agreed(good)).await;
    assert!(
        matches!(&refused, Err(Error::Refused(says)) if says.contains("proposed")),
        "{refused:?}"
    );
    found(&store, job, proposed()).await.unwrap();
    let other_job = book(&store, bare()).await.unwrap();
    for wrong in [
        tested(&store, job, "3.0", "fail").await,
        tested(&store, job, "3.0", "not-proven").await,
        tested(&store, job, "2.9", "pass").await,
        tested(&store, other_job, "3.0", "pass").await,
        TrialId::new(99),
    ] {
        let refused = decide(&store, job, agreed(wrong)).await;
        assert!(
            matches!(&refused, Err(Error::Refused(says)) if says.contains("3.0 bar at least")),
            "{refused:?}"
        );
    }
    assert_eq!(bars(&store, job).await, 1);
    decide(&store, job, agreed(good)).await.unwrap();
    assert_eq!(bars(&store, job).await, 0);
    let route = unknown_boilers::of_job(&store, job).await.unwrap().unwrap();
    assert_eq!(
        (
            route.outcome.as_str(),
            route.trial_id,
            route.agreed_by.as_str()
        ),
        ("agreed", Some(good), "the inspector")
    );
    assert!(
        matches!(found(&store, job, proposed()).await, Err(Error::Refused(_))),
        "what was agreed is not rewritten"
    );
    decide(&store, job, Decision::Unknown).await.unwrap();
    assert_eq!(bars(&store, job).await, 1, "the bar comes back");
}

#[tokio::test]
async fn what_was_found_comes_back_and_a_refusal_says_why() {
    let (_folder, store, job) = begun().await;
    found(&store, job, proposed()).await.unwrap();
    let back = |r: unknown_boilers::UnknownBoiler| Findings {
        material: r.material,
        seams: r.seams,
        plate: r.plate,
        tubes: r.tubes,
        stays: r.stays,
        scale: r.scale,
        lagging: r.lagging,
        measured: r.measured,
        reckoning_id: r.reckoning_id,
        proposed_bar: r.proposed_bar,
        proposed_by: r.proposed_by,
    };
    let route = unknown_boilers::of_job(&store, job).await.unwrap().unwrap();
    assert_eq!(back(route), proposed());
    found(&store, job, Findings::default()).await.unwrap();
    let route = unknown_boilers::of_job(&store, job).await.unwrap().unwrap();
    assert_eq!(back(route), Findings::default());
    let refused = |why: &str| Decision::Refused {
        by: "the inspector".into(),
        why: why.into(),
    };
    let silent = decide(&store, job, refused(" ")).await;
    assert!(
        matches!(&silent, Err(Error::Rule(rule)) if rule == "unknown_boiler_refused_says_why"),
        "{silent:?}"
    );
    decide(&store, job, refused("the crown is bulged"))
        .await
        .unwrap();
    assert_eq!(bars(&store, job).await, 1);
    let route = unknown_boilers::of_job(&store, job).await.unwrap().unwrap();
    assert_eq!(
        (route.outcome.as_str(), route.why.as_str()),
        ("refused", "the crown is bulged")
    );
    assert!(route.decided_at.is_some());
}
