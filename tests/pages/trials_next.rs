//! What to look at next on a trial's pages: listed, made a defect or a next time line, never beside water out of sight.

use crate::trials_hand::Hand;

async fn leaking() -> Hand {
    let hand = Hand::at_work().await;
    hand.light().await;
    hand.enter(&[
        ("what", "event"),
        ("event", "leak-seen"),
        ("where", "gland"),
    ])
    .await
    .is(303);
    hand
}

#[tokio::test]
async fn a_trouble_becomes_one_defect_with_its_link_and_a_next_time_line() {
    let hand = leaking().await;
    let page = hand.get("/trials/1").await;
    page.shows("What to look at next")
        .shows("A gland weeps")
        .shows("Count drops for a minute")
        .shows("trade practice");
    for _ in 0..2 {
        hand.post(
            "/trials/1/next",
            &[("name", "gland-weeps"), ("as", "defect")],
        )
        .await
        .leads_to("/trials/1#look-next");
    }
    hand.get("/trials/1").await.shows("defect 1</a>");
    let number = hand.job().await;
    let job = records::jobs::find(hand.app.store(), &number)
        .await
        .expect("the job");
    let defects = records::defects::of_job(hand.app.store(), job.id)
        .await
        .expect("defects");
    assert_eq!(defects.len(), 1);
    assert_eq!(defects[0].rule.as_deref(), Some("gland-weeps"));
    assert_eq!(defects[0].bar, "watch");
    let job_page = format!("/jobs/{number}");
    for _ in 0..2 {
        hand.post(
            "/trials/1/next",
            &[("name", "gland-weeps"), ("as", "next-time")],
        )
        .await
        .leads_to(&job_page);
    }
    let after = records::jobs::find(hand.app.store(), &number)
        .await
        .expect("the job");
    assert_eq!(
        after.next_time.matches("Count drops for a minute").count(),
        1
    );
    hand.get(&job_page).await.shows("Count drops for a minute");
}

#[tokio::test]
async fn what_the_log_does_not_show_is_refused() {
    let hand = leaking().await;
    for form in [
        [("name", "valve-stuck"), ("as", "defect")],
        [("name", "gland-weeps"), ("as", "ticket")],
    ] {
        hand.post("/trials/1/next", &form).await.is(422);
    }
}

#[tokio::test]
async fn with_the_water_out_of_sight_no_list_stands_beside_the_stop() {
    let hand = leaking().await;
    hand.enter(&[("what", "reading"), ("level_seen", "below")])
        .await
        .is(303);
    hand.get("/trials/1")
        .await
        .shows("DO NOT FEED")
        .lacks("What to look at next");
}
