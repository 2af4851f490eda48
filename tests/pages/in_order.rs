//! Lists that are read and done one item at a time: in their order, by every route, never ticked as a whole.

use acceptance::Page;

use crate::phones::{behind_a_phrase, comes_in, posts, sees};
use crate::trials_hand::Hand;

const GAS: &str = "lighting-up-gas";

async fn item(hand: &Hand, n: &str, more: &[(&str, &str)]) -> Page {
    let fields = [("what", "item"), ("list", GAS), ("n", n)];
    hand.enter(&[&fields, more].concat()).await
}

/// One item as a script says that it was done.
fn by_script(n: usize, more: &str) -> String {
    let key = format!("{:032x}", 0x0abc + n);
    format!(r#"{{"key":"{key}","entry":{{"check":"own-item-{GAS}-{n}","done":true{more}}}}}"#)
}

#[tokio::test]
async fn a_list_is_done_item_by_item_and_then_kept_as_done() {
    let hand = Hand::at_work().await;
    hand.light().await;
    hand.get("/trials/1")
        .await
        .shows("1 is done")
        .lacks("2 is done");
    item(&hand, "1", &[])
        .await
        .leads_to("/trials/1#list-lighting-up-gas");
    hand.get("/trials/1")
        .await
        .shows("2 is done")
        .shows("1 of 6");
    for n in ["2", "3"] {
        item(&hand, n, &[]).await.is(303);
    }
    // A must-see item takes what was seen.
    item(&hand, "4", &[])
        .await
        .is(422)
        .shows("say what you saw");
    item(&hand, "4", &[("saw", "green")]).await.is(422);
    item(&hand, "4", &[("saw", "blue and steady")])
        .await
        .is(303);
    // Skipping wants a reason, and shows as skipped.
    item(&hand, "5", &[("way", "skip")])
        .await
        .is(422)
        .shows("give the reason");
    hand.enter(&[("what", "list"), ("list", GAS)])
        .await
        .is(409)
        .shows("item 5 is next");
    item(&hand, "5", &[("way", "skip"), ("reason", "entered before")])
        .await
        .is(303);
    hand.get("/trials/1")
        .await
        .shows("skipped, because: entered before");
    item(&hand, "6", &[]).await.is(303);
    let call = "Lighting up, gas: read and done, 5 of 6; 4: blue and steady; 5 skipped, because: entered before";
    hand.get("/trials/1")
        .await
        .shows(&format!("{call}</button>"));
    hand.enter(&[("what", "list"), ("list", GAS)]).await.is(303);
    // The next round begins at the first item.
    hand.get("/trials/1")
        .await
        .shows("1 is done")
        .lacks("Lighting up, gas: read and done, 5 of 6</button>");
    item(&hand, "2", &[]).await.is(409).shows("item 1 is next");
    let log = records::log::entries(hand.app.store(), records::TrialId::new(1), 0).await;
    let texts: Vec<String> = log.expect("entries").into_iter().map(|e| e.text).collect();
    let kept = texts
        .iter()
        .filter(|t| t.contains("list-complete") && t.contains("5 of 6"));
    assert_eq!(kept.count(), 1);
}

#[tokio::test]
async fn a_list_is_never_ticked_as_a_whole_and_no_item_is_done_before_its_turn() {
    let hand = Hand::at_work().await;
    hand.light().await;
    let before = hand.entries().await;
    // The whole list, with everything that could be seen.
    let whole = [
        ("what", "list"),
        ("list", GAS),
        ("saw-lighting-up-gas-4", "blue and steady"),
    ];
    hand.enter(&whole).await.is(409).shows("one item at a time");
    // A later item, by a form and by a script.
    item(&hand, "3", &[]).await.is(409).shows("item 1 is next");
    hand.script(&by_script(3, "")).await.is(409);
    // Several in one form: only the first is read, and it is not next.
    item(&hand, "2", &[("n", "1"), ("n", "3")]).await.is(409);
    hand.script(&by_script(99, "")).await.is(409);
    item(&hand, "99", &[]).await.is(422);
    assert_eq!(hand.entries().await, before);
    for n in 1..=3 {
        hand.script(&by_script(n, "")).await.is(201);
    }
    // A must-see item wants its observation from a script too.
    hand.script(&by_script(4, "")).await.is(409);
    let saw = r#","value":"blue and steady""#;
    hand.script(&by_script(5, saw)).await.is(409);
    hand.script(&by_script(4, saw)).await.is(201);
    assert_eq!(hand.entries().await, before + 4);
}

#[tokio::test]
async fn no_list_begins_before_what_comes_before_the_fire_is_signed() {
    let hand = Hand::at_work().await;
    item(&hand, "1", &[])
        .await
        .is(409)
        .shows("the list cannot begin");
    assert_eq!(hand.entries().await, 0);
    // Lit all the same: a fact, and the lists go on from there.
    hand.enter(&[("what", "event"), ("event", "fire-lit")])
        .await
        .is(303);
    item(&hand, "1", &[]).await.is(303);
}

#[tokio::test]
async fn a_list_that_is_done_and_then_confirmed_stays_whole() {
    let hand = Hand::at_work().await;
    let number = hand.job().await;
    let form = [("question", "Does it run?"), ("kind", "engine-run")];
    hand.post(&format!("/jobs/{number}/trials/new"), &form)
        .await
        .is(303);
    hand.get("/trials/2/readings")
        .await
        .shows("Running in: do, then confirm")
        .shows("Done and confirmed: running in");
}

#[tokio::test]
async fn what_was_kept_is_answered_again_though_its_turn_is_over() {
    let hand = Hand::at_work().await;
    hand.light().await;
    let key = records::fresh_key();
    for _ in 0..2 {
        item(&hand, "1", &[("key", &key)])
            .await
            .leads_to("/trials/1#list-lighting-up-gas");
    }
    item(&hand, "1", &[]).await.is(409).shows("item 2 is next");
}

#[tokio::test]
async fn another_hand_looks_at_the_must_see_items_again_before_it_goes_on() {
    let hand = Hand::at_work().await;
    hand.light().await;
    let (app, _folder) = behind_a_phrase(hand).await;
    let (one, other) = (
        comes_in(&app, "I. Fenwright").await,
        comes_in(&app, "Piet").await,
    );
    let done = async |who: &str, n: &str, saw: &str| {
        let fields = [("what", "item"), ("list", GAS), ("n", n), ("saw", saw)];
        posts(&app, "/trials/1/entries", who, &fields).await
    };
    for n in ["1", "2", "3"] {
        done(&one, n, "").await.is(303);
    }
    done(&one, "4", "blue and steady").await.is(303);
    sees(&app, "/trials/1", &one).await.shows("5 is done");
    // Nothing before it was a must-see item but the fourth: that one is looked at again.
    sees(&app, "/trials/1", &other)
        .await
        .shows("look again, the list was broken off: I. Fenwright signed so far, Piet goes on")
        .lacks("5 is done");
    done(&other, "5", "").await.is(409).shows("item 4 is next");
    done(&other, "4", "blue and steady").await.is(303);
    done(&other, "5", "").await.is(303);
    sees(&app, "/trials/1", &other).await.shows("6 is done");
    // Readings and events go on meanwhile, whoever enters them.
    let reads = [("what", "reading"), ("level_mm", "30")];
    posts(&app, "/trials/1/entries", &one, &reads).await.is(303);
}
