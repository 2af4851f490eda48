//! Every state of a trial beside everything that can be asked of it: what is a permission is withheld, what is a fact is
//! taken, by the page and out of a phone's outbox alike.

use acceptance::Page;

use crate::trials_hand::{Hand, SIGNED};

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
        &[("what", "list"), ("list", "lighting-up-gas")],
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
