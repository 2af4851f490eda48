//! Hold points are enforced on the server, for every route: void when what they cover changes, looked at again after a
//! break, and facts are taken however they stand.

use acceptance::Page;

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

/// Names and values of a form.
type Fields = &'static [(&'static str, &'static str)];

/// How far a trial has come.
const STATES: [&str; 7] = [
    "new",
    "half signed",
    "void",
    "signed",
    "lit",
    "out and hot",
    "cold again",
];

/// A permission that is asked, and the states in which it is to be given.
const PERMISSIONS: [(&str, Fields, &[&str]); 5] = [
    // The first item may be signed anew in any state; those after an open one may not.
    (
        "sign the last hold point",
        &[
            ("what", "check"),
            ("check", "water-in-glass-seen"),
            ("value", "40"),
        ],
        &["signed", "lit", "out and hot", "cold again"],
    ),
    (
        "sign without seeing",
        &[
            ("what", "check"),
            ("check", "safety-valve-tried"),
            ("value", ""),
        ],
        &[],
    ),
    (
        "skip without a reason",
        &[
            ("what", "check"),
            ("check", "co-alarm-on"),
            ("way", "skip"),
            ("reason", ""),
        ],
        &[],
    ),
    ("complete the list", &[("what", "complete")], &["signed"]),
    (
        "tick a list without what was seen",
        &[("what", "list"), ("list", "lighting-up")],
        &[],
    ),
];

/// Facts, taken in every state.
const FACTS: [Fields; 12] = [
    &[
        ("what", "reading"),
        ("pressure_bar", "0.10"),
        ("level_mm", "38"),
    ],
    &[("what", "reading"), ("level_seen", "in-glass")],
    &[("what", "reading"), ("co_ppm", "3")],
    &[("what", "event"), ("event", "note"), ("note", "a thought")],
    &[("what", "event"), ("event", "feed-on")],
    &[
        ("what", "event"),
        ("event", "leak-seen"),
        ("where", "gland"),
    ],
    &[
        ("what", "event"),
        ("event", "leak-stopped"),
        ("where", "gland"),
    ],
    &[
        ("what", "correction"),
        ("corrects", "a1"),
        ("withdrawn", "true"),
        ("note", "not so"),
    ],
    &[("what", "takeover"), ("note", "Piet takes over")],
    &[
        ("what", "acknowledges"),
        ("rule", "check-missed"),
        ("raised_at_s", "0"),
    ],
    &[("what", "event"), ("event", "fire-out")],
    &[
        ("what", "check"),
        ("check", "co-alarm-on"),
        ("way", "skip"),
        ("reason", "outdoors"),
    ],
];

/// A trial brought to a state.
async fn brought_to(state: &str) -> Hand {
    let hand = Hand::at_work().await;
    let note = [("what", "event"), ("event", "note"), ("note", "begun")];
    hand.enter(&note).await.is(303);
    let some = match state {
        "new" => 0,
        "half signed" => 4,
        _ => SIGNED.len(),
    };
    for (name, value) in SIGNED.into_iter().take(some) {
        hand.enter(&[("what", "check"), ("check", name), ("value", value)])
            .await
            .is(303);
    }
    let event = |name: &'static str| [("what", "event"), ("event", name)];
    if state == "void" {
        let valve = [
            ("what", "event"),
            ("event", "adjusted"),
            ("which", "the safety valve"),
        ];
        hand.enter(&valve).await.is(303);
    }
    if matches!(state, "lit" | "out and hot" | "cold again") {
        hand.enter(&event("fire-lit")).await.is(303);
    }
    if matches!(state, "out and hot" | "cold again") {
        hand.enter(&event("fire-out")).await.is(303);
    }
    if state == "cold again" {
        hand.enter(&event("pressure-released")).await.is(303);
    }
    hand
}

fn given(page: &Page) -> bool {
    (200..400).contains(&page.status)
}

#[tokio::test]
async fn no_permission_is_wrongly_granted_and_no_fact_is_refused_in_any_state() {
    let (mut granted, mut withheld, mut refused, mut asked) =
        (Vec::new(), Vec::new(), Vec::new(), 0);
    for state in STATES {
        for (what, fields, states) in PERMISSIONS {
            let hand = brought_to(state).await;
            // By the page and out of a phone's outbox.
            for json in [false, true] {
                let page = if json {
                    as_a_phone(&hand, fields).await
                } else {
                    hand.enter(fields).await
                };
                asked += 1;
                match (given(&page), states.contains(&state)) {
                    (true, false) => granted.push(format!("{what} while {state}, json {json}")),
                    (false, true) if !json => {
                        withheld.push(format!("{what} while {state}: {}", page.status))
                    }
                    _ => {}
                }
            }
        }
        let hand = brought_to(state).await;
        let closes = hand
            .post(
                "/trials/1/close",
                &[("answer", "no"), ("note", "x"), ("sign", "yes")],
            )
            .await;
        asked += 1;
        if given(&closes) && matches!(state, "lit" | "out and hot") {
            granted.push(format!("close while {state}"));
        }
        let hand = brought_to(state).await;
        for fields in FACTS {
            for json in [false, true] {
                let page = if json {
                    as_a_phone(&hand, fields).await
                } else {
                    hand.enter(fields).await
                };
                asked += 1;
                if !given(&page) {
                    refused.push(format!(
                        "{fields:?} while {state}, json {json}: {}",
                        page.status
                    ));
                }
            }
        }
    }
    println!(
        "matrix: {asked} asked, permissions wrongly granted {}, withheld {}, facts refused {}",
        granted.len(),
        withheld.len(),
        refused.len()
    );
    assert!(granted.is_empty(), "granted: {granted:#?}");
    assert!(withheld.is_empty(), "withheld: {withheld:#?}");
    assert!(refused.is_empty(), "refused: {refused:#?}");
    assert!(asked >= 200, "{asked}");
}

async fn as_a_phone(hand: &Hand, fields: &[(&str, &str)]) -> Page {
    let (key, now) = (
        records::fresh_key(),
        records::Stamp::now().millis().to_string(),
    );
    let mut form = fields.to_vec();
    form.extend([
        ("key", key.as_str()),
        ("device", "fedcba9876543210"),
        ("n", "1"),
        ("wall_ms", &now),
        ("mono_ms", "1"),
        ("at_ms", &now),
        ("offset_ms", "0"),
        ("u_ms", "5"),
    ]);
    let request = acceptance::Request::new("POST", "/trials/1/entries")
        .header("Origin", &format!("http://{}", hand.app.host()))
        .header("Accept", "application/json")
        .form(&form);
    hand.app.send(request).await
}
