//! The example workshop: furnished through the same functions, and its logs hold.

use super::fresh;
use crate::{barred, defects, example, jobs, log};

#[tokio::test]
async fn the_example_has_jobs_standing_everywhere_and_logs_that_hold() {
    let (_folder, store) = fresh().await;
    store
        .write("Ada", |w| {
            Box::pin(async move { example::furnish(w).await })
        })
        .await
        .unwrap();
    let mut all = jobs::open(&store).await.unwrap();
    all.extend(jobs::gone(&store, None, 100).await.unwrap());
    let mut stands: Vec<&str> = all.iter().map(jobs::Job::stands).collect();
    stands.sort_unstable();
    assert_eq!(
        stands,
        [
            "gone home",
            "in",
            "on the bench",
            "on the bench",
            "opened up",
            "ready"
        ]
    );
    let waits: Vec<&str> = all
        .iter()
        .flat_map(|j| j.waits())
        .map(|(w, _)| w.words())
        .collect();
    for what in ["me", "customer's word", "parts", "inspector"] {
        assert!(waits.contains(&what), "nothing waits for {what}");
    }
    let report = log::verify::verify(&store, None).await.unwrap();
    assert!(
        report.faults.is_empty() && report.trials == 4 && report.entries > 80,
        "{report:?}"
    );
    let here = barred::here(&store).await.unwrap();
    assert!(here.iter().filter(|b| !b.for_now).count() >= 3);
    assert!(here.iter().any(|b| b.for_now));
    let mut from_a_flag = false;
    for job in &all {
        let of_plant = defects::no_steam(&store, job.plant_id).await.unwrap();
        from_a_flag |= of_plant
            .iter()
            .any(|d| d.rule.as_deref() == Some("feed-not-gaining"));
    }
    assert!(from_a_flag, "no defect came from a flag");
    for trial in log::before(&store, None, 10).await.unwrap() {
        assert_eq!(trial.state, "closed");
    }
}

#[tokio::test]
async fn in_the_example_one_water_test_passes_and_one_fails_at_a_stay() {
    let (_folder, store) = fresh().await;
    store
        .write("Ada", |w| {
            Box::pin(async move { example::furnish(w).await })
        })
        .await
        .unwrap();
    let trials = log::before(&store, None, 10).await.unwrap();
    let water: Vec<_> = trials.iter().filter(|t| t.kind == "hydraulic").collect();
    let of = |question: &str| {
        let found = water.iter().find(|t| t.question.contains(question));
        let trial = found.unwrap_or_else(|| panic!("no water test asks {question}"));
        let because = trial.because.clone().unwrap_or_default();
        (trial.verdict.clone().unwrap_or_default(), because)
    };
    let (verdict, because) = of("8.0 bar");
    assert_eq!(verdict, "pass", "{because}");
    assert!(because.contains("was reached"), "{because}");
    let (verdict, because) = of("5.0 bar");
    assert_eq!(verdict, "fail", "{because}");
    assert!(
        because.contains("leak-seen") && because.contains("was not reached"),
        "{because}"
    );
}

#[tokio::test]
async fn in_the_example_the_water_falls_with_the_feed_on_and_a_flag_says_so() {
    let (_folder, store) = fresh().await;
    store
        .write("Ada", |w| {
            Box::pin(async move { example::furnish(w).await })
        })
        .await
        .unwrap();
    let trials = log::before(&store, None, 10).await.unwrap();
    let trial = trials
        .iter()
        .find(|t| t.question.contains("lagged"))
        .unwrap();
    let entries = log::entries(&store, trial.id, 0).await.unwrap();
    let file =
        triallog::assemble(&trial.head, entries.iter().map(|e| e.text.as_str()), None).unwrap();
    let judged = calc::trial::assess(file.trial(), None);
    assert!(
        judged
            .flags
            .iter()
            .any(|f| f.rule.name() == "feed-not-gaining")
    );
}
