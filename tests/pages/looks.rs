//! A look: one line and one press from the job; notes, readings, pictures and defects with times; the first fire or a
//! pressure over the air cap makes it the trial it really is.

use acceptance::Request;

use crate::pictures::jpeg;
use crate::trials_hand::Hand;

fn reading<'a>(bar: &'a str, with: &'a str) -> [(&'a str, &'a str); 4] {
    [
        ("what", "reading"),
        ("reading", "pressure_bar"),
        ("value", bar),
        ("pressed_with", with),
    ]
}

/// A workshop with one job, one prepared trial, and a look that has begun.
async fn looking() -> Hand {
    let hand = Hand::at_work().await;
    let number = hand.job().await;
    let asks = [("asks", "Does the check valve hold?")];
    hand.post(&format!("/jobs/{number}/looks"), &asks)
        .await
        .leads_to("/looks/1");
    hand
}

async fn trials(hand: &Hand) -> Vec<records::log::Trial> {
    let all = records::log::of_job(hand.app.store(), records::JobId::new(1)).await;
    all.expect("trials")
}

#[tokio::test]
async fn a_look_keeps_what_was_seen_with_its_time_and_needs_no_list() {
    let hand = looking().await;
    hand.post("/looks/1/lines", &[("what", "note"), ("words", "it weeps")])
        .await
        .leads_to("/looks/1");
    hand.post("/looks/1/lines", &reading("0,35", "air"))
        .await
        .is(303);
    let wrong = [
        ("what", "defect"),
        ("wrong", "check valve passes back"),
        ("bar", "no steam"),
    ];
    hand.post("/looks/1/lines", &wrong).await.is(303);
    let seat = jpeg(40, 30, [90, 60, 30]);
    hand.app
        .send_files(
            "/pictures?of=job-1&look=1",
            &[("caption", "the seat")],
            &[("taken", "seat.jpg", &seat)],
        )
        .await
        .leads_to("/looks/1");
    hand.get("/looks/1")
        .await
        .shows("it weeps")
        .shows("pressure on the gauge 0.35 bar, air")
        .shows("a picture: the seat")
        .shows("defect, no steam: check valve passes back");
    // It goes on until it is put down, and the bench says so.
    hand.get("/").await.shows("Looks that go on");
    hand.post("/looks/1/end", &[("found", "the ball is worn")])
        .await
        .leads_to("/looks/1");
    hand.get("/").await.lacks("Looks that go on");
    let number = hand.job().await;
    hand.get(&format!("/jobs/{number}"))
        .await
        .shows("the ball is worn")
        .shows("<a href=\"/looks/1\">look 1</a>");
    assert_eq!(trials(&hand).await.len(), 1, "no trial came of it");
    hand.get("/look-back?words=weeps").await.shows("/looks/1");
    // A slip is withdrawn and stays in sight.
    hand.post("/withdraw/line-of-a-look/1", &[("back", "/looks/1")])
        .await
        .leads_to("/looks/1");
    hand.get("/looks/1").await.shows("class=\"ended\"");
    hand.get("/look-back?words=weeps").await.lacks("/looks/1");
}

#[tokio::test]
async fn the_first_fire_makes_it_a_steam_trial_whose_hold_points_were_missed() {
    let hand = looking().await;
    let steam = [("what", "note"), ("words", "cold, half a glass")];
    hand.post("/looks/1/lines", &steam).await.is(303);
    let level = [
        ("what", "reading"),
        ("reading", "level_mm"),
        ("value", "31"),
    ];
    hand.post("/looks/1/lines", &level).await.is(303);
    // A no-steam bar refuses a permission, never a fact.
    let wrong = [
        ("what", "defect"),
        ("wrong", "a seam weeps"),
        ("bar", "no steam"),
    ];
    hand.post("/looks/1/lines", &wrong).await.is(303);
    hand.post("/looks/1/lines", &[("what", "fire")])
        .await
        .leads_to("/trials/2");
    let trial = trials(&hand).await.remove(0);
    assert_eq!(
        (trial.kind.as_str(), trial.state.as_str()),
        ("steam", "running")
    );
    assert_eq!(trial.question, "Does the check valve hold?");
    let entries = records::log::entries(hand.app.store(), trial.id, 0)
        .await
        .expect("entries");
    let texts: Vec<&str> = entries.iter().map(|e| e.text.as_str()).collect();
    assert_eq!(texts.len(), 4, "{texts:?}");
    assert!(
        texts[0].contains("cold, half a glass") && texts[0].contains("late"),
        "{texts:?}"
    );
    assert!(texts[1].contains("level_mm\": 31"), "{texts:?}");
    assert!(texts[3].contains("fire-lit"), "{texts:?}");
    assert!(entries.windows(2).all(|two| two[0].t_s <= two[1].t_s));
    hand.get("/trials/2")
        .await
        .shows("Not done before fire or pressure")
        .shows("began as look 1");
    // The look leads there and takes no more.
    hand.get("/looks/1")
        .await
        .shows("It became a trial")
        .lacks("Keep the note");
    let late = [("what", "note"), ("words", "too late")];
    hand.post("/looks/1/lines", &late)
        .await
        .is(409)
        .shows("/trials/2");
    assert_eq!(trials(&hand).await.len(), 2);
}

#[tokio::test]
async fn a_pressure_over_the_air_cap_makes_it_the_trial_it_is_of() {
    // Working pressure 4 bar stands on the trial; the plant itself says nothing, so half a bar is the cap.
    for (with, bar, kind) in [
        ("water", "6", "hydraulic"),
        ("air", "0.51", "air"),
        ("steam", "0.1", "steam"),
    ] {
        let hand = looking().await;
        hand.post("/looks/1/lines", &reading(bar, with))
            .await
            .leads_to("/trials/2");
        let trial = trials(&hand).await.remove(0);
        assert_eq!(
            (trial.kind.as_str(), trial.state.as_str()),
            (kind, "running")
        );
        let entries = records::log::entries(hand.app.store(), trial.id, 0)
            .await
            .expect("entries");
        assert!(
            entries[0].text.contains(&format!("pressure_bar\": {bar}")),
            "{:?}",
            entries[0]
        );
    }
}

#[tokio::test]
async fn the_same_press_twice_is_one_trial() {
    let hand = looking().await;
    let key = records::fresh_key();
    let fire = [("key", key.as_str()), ("what", "fire")];
    let press = || Request::new("POST", "/looks/1/lines").form(&fire);
    hand.app.send(press()).await.leads_to("/trials/2");
    hand.app.send(press()).await.leads_to("/trials/2");
    assert_eq!(trials(&hand).await.len(), 2);
}

#[tokio::test]
async fn what_is_at_fault_is_named_and_what_was_typed_stays() {
    let hand = looking().await;
    hand.post("/looks/1/lines", &reading("1.0.0", "air"))
        .await
        .is(422)
        .shows("more than one point")
        .shows("value=\"1.0.0\"");
    hand.post("/looks/1/lines", &reading("0.2", ""))
        .await
        .is(422)
        .shows("say what it is pressed with");
    let number = hand.job().await;
    hand.post(&format!("/jobs/{number}/looks"), &[("asks", " ")])
        .await
        .is(422)
        .shows("what you want to know");
}
