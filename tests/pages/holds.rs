//! Hold points are enforced on the server, for every route: void when what they cover changes, looked at again after a
//! break, and facts are taken however they stand.

use acceptance::App;

use crate::phones::{behind_a_phrase, comes_in, posts, sees};
use crate::trials_hand::{Hand, SIGNED};

async fn sign_all(hand: &Hand) {
    for (name, value) in SIGNED {
        hand.enter(&[("what", "check"), ("check", name), ("value", value)])
            .await
            .is(303);
    }
}

#[tokio::test]
async fn changing_the_gauge_after_it_was_signed_makes_the_signature_void() {
    let hand = Hand::at_work().await;
    sign_all(&hand).await;
    hand.get("/trials/1")
        .await
        .shows("Preparation complete, 9 of 9");
    let changed = [
        ("what", "event"),
        ("event", "adjusted"),
        ("which", "the pressure gauge"),
        ("what_was", "another one fitted"),
    ];
    hand.enter(&changed).await.is(303);
    hand.get("/trials/1")
        .await
        .shows("8 of 9 signed")
        .shows("void: adjusted the pressure gauge: another one fitted")
        .lacks("Preparation complete");
    hand.enter(&[("what", "complete")])
        .await
        .is(409)
        .shows("not complete");
    hand.enter(&[("what", "check"), ("check", "gauge-in-date"), ("value", "")])
        .await
        .is(303);
    hand.enter(&[("what", "complete")]).await.is(303);
    hand.get("/trials/1")
        .await
        .lacks("Preparation complete, 9 of 9</button>");
    hand.enter(&[("what", "complete")])
        .await
        .is(409)
        .shows("already");
}

#[tokio::test]
async fn a_new_bar_against_steam_makes_what_was_signed_void() {
    let hand = Hand::at_work().await;
    sign_all(&hand).await;
    hand.get("/trials/1").await.lacks("<strong>Void:</strong>");
    let number = hand.job().await;
    let defect = [
        ("what", "A stay weeps"),
        ("bar", "no steam"),
        ("origin", "examination"),
    ];
    hand.post(&format!("/jobs/{number}/defects"), &defect)
        .await
        .is(303);
    hand.get("/trials/1")
        .await
        .shows("<strong>Void:</strong>")
        .shows("A stay weeps");
}

#[tokio::test]
async fn a_list_that_another_person_goes_on_with_is_looked_at_again_first() {
    let hand = Hand::at_work().await;
    for (name, value) in SIGNED.into_iter().take(7) {
        hand.enter(&[("what", "check"), ("check", name), ("value", value)])
            .await
            .is(303);
    }
    let (app, _folder) = behind_a_phrase(hand).await;
    let piet = comes_in(&app, "Piet").await;
    let next = [
        ("what", "check"),
        ("check", "glass-blown-through"),
        ("value", "Both ways clear, water back at once"),
    ];
    let entries = "/trials/1/entries";
    posts(&app, entries, &piet, &next)
        .await
        .is(409)
        .shows("broken off");
    // A reading goes on all the same.
    posts(
        &app,
        entries,
        &piet,
        &[("what", "reading"), ("level_mm", "40")],
    )
    .await
    .is(303);
    sees(&app, "/trials/1", &piet)
        .await
        .shows("The list was broken off")
        .shows("It lifted freely and dropped back");
    posts(&app, "/trials/1/renew", &piet, &[])
        .await
        .is(422)
        .shows("say what you see now");
    let again = [
        ("again-co-alarm-on", "It shouted; it stands beside me"),
        ("again-gas-joints-soaped", "No bubbles"),
        ("again-safety-valve-tried", "It did not lift"),
    ];
    posts(&app, "/trials/1/renew", &piet, &again).await.is(303);
    // What is not good now is open again, so the next item has to wait for it.
    posts(&app, entries, &piet, &next)
        .await
        .is(409)
        .shows("Safety valve tried");
    let valve = [
        ("what", "check"),
        ("check", "safety-valve-tried"),
        ("value", "It lifted freely and dropped back"),
    ];
    posts(&app, entries, &piet, &valve).await.is(303);
    posts(&app, entries, &piet, &next).await.is(303);
}

#[tokio::test]
async fn two_hands_that_read_differently_stand_until_one_is_picked() {
    let (app, _folder) = behind_a_phrase(Hand::at_work().await).await;
    let (one, two) = (
        comes_in(&app, "I. Fenwright").await,
        comes_in(&app, "Piet").await,
    );
    let entries = "/trials/1/entries";
    posts(
        &app,
        entries,
        &one,
        &[("what", "reading"), ("level_mm", "40")],
    )
    .await
    .is(303);
    posts(
        &app,
        entries,
        &two,
        &[("what", "reading"), ("level_mm", "34")],
    )
    .await
    .is(303);
    let page = sees(&app, "/trials/1/readings", &one).await;
    page.shows("2 readings, differ by 6 mm");
    posts(
        &app,
        "/trials/1/pick",
        &one,
        &[("figure", "level_mm"), ("keep", "a2")],
    )
    .await
    .is(303);
    sees(&app, "/trials/1/readings", &one)
        .await
        .lacks("2 readings, differ by");
    let all = records::log::entries(app.store(), records::TrialId::new(1), 0)
        .await
        .expect("entries");
    let last = &all[all.len() - 1].text;
    assert!(
        last.contains("\"keeps\": \"pick\"") && last.contains("34 mm of Piet"),
        "{last}"
    );
    assert!(
        all[all.len() - 2].text.contains("\"corrects\": \"a1\""),
        "{}",
        all[all.len() - 2].text
    );
}

#[tokio::test]
async fn a_hold_of_the_water_test_is_a_minute_at_least() {
    let app = App::one_job().await;
    let with = |hold: &'static str| {
        [
            ("kind", "hydraulic"),
            ("question", "Is the shell sound <at 8 bar>?"),
            ("plant-working_pressure_bar", "4"),
            ("limits-hydraulic_hold_s", hold),
        ]
    };
    for short in ["2", "59,9", "59.9"] {
        app.post("/jobs/26-001/trials/new", &with(short))
            .await
            .is(422)
            .shows("Ask for 60 s at least (trade practice)")
            .shows("Is the shell sound &#60;at 8 bar&#62;?")
            .shows(&format!("value=\"{short}\""));
    }
    app.get("/trials").await.lacks("Is the shell sound");
    for enough in ["60", "600", ""] {
        app.post("/jobs/26-001/trials/new", &with(enough))
            .await
            .is(303);
    }
    app.stop().await;
}
