//! Putting back what a change changed: in one press, through the form's own rules, over a later change only when it was seen.

use acceptance::{App, Page};
use records::change::{self, Subject};

const PUT_BACK: &str = "Put it back as it was";

/// The address that puts a change back: of a page the key with this number, the newest first.
fn key(page: &Page, number: usize) -> String {
    let keys = page.body.split("action=\"/put-back/").skip(1);
    let at = keys.filter_map(|rest| rest.split('"').next()).nth(number);
    format!("/put-back/{}", at.expect("a key to put something back"))
}

/// Presses the newest key of a page that puts a change back, and answers with what came of it.
pub(crate) async fn press(app: &App, page: &str) -> Page {
    let shown = app.get(page).await;
    let back = format!("{page}#what-changed");
    shown.shows(&format!("name=\"back\" value=\"{back}\""));
    app.post(&key(&shown, 0), &[("back", &back)]).await
}

/// How many changes are kept of the first record of a kind.
async fn kept(app: &App, subject: Subject) -> usize {
    let kept = change::of(app.store(), subject, 1, None, 99).await;
    kept.expect("the changes").len()
}

pub(crate) async fn with_a_defect() -> App {
    let app = App::one_job().await;
    let defect = [("what", "It weeps"), ("bar", "no steam")];
    app.post("/jobs/26-001/defects", &defect).await.is(303);
    app
}

#[tokio::test]
async fn what_was_changed_is_put_back_in_one_press_and_that_too() {
    let app = with_a_defect().await;
    // What was made is withdrawn, not put back.
    app.get("/defects/1")
        .await
        .shows("defect entered")
        .lacks(PUT_BACK);
    let slip = [("what", "It leaks"), ("bar", "watch"), ("to_do", "look")];
    app.post("/defects/1", &slip).await.is(303);
    press(&app, "/defects/1")
        .await
        .leads_to("/defects/1#what-changed");
    let page = app.get("/defects/1").await;
    page.shows("It weeps</textarea>")
        .shows("what: <s>It leaks</s> <strong>It weeps</strong>")
        .shows("bar: <s>watch</s> <strong>no steam</strong>");
    app.get("/").await.shows("It weeps");
    press(&app, "/defects/1").await.is(303);
    app.get("/defects/1").await.shows("It leaks</textarea>");
    // Kept as changes of their own: made, the slip, back, and back again.
    assert_eq!(kept(&app, Subject::Defect).await, 4);
}

#[tokio::test]
async fn a_press_sent_twice_is_one_change_and_what_stands_by_now_is_left() {
    let app = with_a_defect().await;
    app.post("/defects/1", &[("what", "It leaks"), ("bar", "no steam")])
        .await
        .is(303);
    let twice = [("key", "the-same-press-of-it"), ("back", "/defects/1")];
    let at = key(&app.get("/defects/1").await, 0);
    for _ in 0..2 {
        app.post(&at, &twice).await.leads_to("/defects/1");
    }
    assert_eq!(kept(&app, Subject::Defect).await, 3);
    // It leads to pages of ours alone.
    for elsewhere in ["//elsewhere.test/", "/\\elsewhere.test/", "/\r\nA: b"] {
        app.post(&at, &[("back", elsewhere)]).await.leads_to("/");
    }
}

#[tokio::test]
async fn over_a_later_change_it_shows_both_first() {
    let app = App::one_job().await;
    let part = |name, price| [("name", name), ("state", "to order"), ("price", price)];
    app.post("/jobs/26-001/parts", &part("Ball", "1.00"))
        .await
        .is(303);
    app.post("/parts/1", &part("Ball", "2.00")).await.is(303);
    app.post("/parts/1", &part("Ball", "3.00")).await.is(303);
    let shown = app.get("/parts/1").await;
    let older = key(&shown, 1);
    let asked = app.post(&older, &[("back", "/parts/1")]).await;
    asked
        .is(409)
        .shows("It was changed again since")
        .shows("<strong>1.00</strong>")
        .shows(">2.00<")
        .shows(">3.00<");
    let seen = asked
        .between("name=\"seen\" value=\"", "\"")
        .expect("what was seen")
        .to_owned();
    app.get("/parts/1").await.shows("value=\"3.00\"");
    // Somebody changes it between the look and the press: it is asked anew.
    app.post("/parts/1", &part("Ball", "4.00")).await.is(303);
    let all_the_same = [("back", "/parts/1"), ("seen", seen.as_str())];
    let anew = app.post(&older, &all_the_same).await;
    anew.is(409).shows(">4.00<");
    let seen = anew
        .between("name=\"seen\" value=\"", "\"")
        .expect("what was seen")
        .to_owned();
    app.post(&older, &[("back", "/parts/1"), ("seen", seen.as_str())])
        .await
        .leads_to("/parts/1");
    app.get("/parts/1").await.shows("value=\"1.00\"");
}

#[tokio::test]
async fn what_was_chosen_is_shown_by_its_name_there_too() {
    let app = with_a_defect().await;
    for name in ["boiler", "old pump", "new pump"] {
        app.post("/plants/1/components?kind=feed-pump", &[("name", name)])
            .await
            .is(303);
    }
    for component in ["1", "2", "3"] {
        let of = [
            ("what", "It weeps"),
            ("bar", "no steam"),
            ("component", component),
        ];
        app.post("/defects/1", &of).await.is(303);
    }
    let shown = app.get("/defects/1").await;
    app.post(&key(&shown, 1), &[("back", "/defects/1")])
        .await
        .is(409)
        .shows("<strong>boiler</strong>")
        .shows(">old pump<")
        .shows(">new pump<");
}

#[tokio::test]
async fn another_field_that_changed_since_stays_as_it_is() {
    let app = App::one_job().await;
    let part = |name, price| [("name", name), ("state", "to order"), ("price", price)];
    app.post("/jobs/26-001/parts", &part("Ball", "1.00"))
        .await
        .is(303);
    app.post("/parts/1", &part("Ball", "2.00")).await.is(303);
    app.post("/parts/1", &part("Ball 5 mm", "2.00"))
        .await
        .is(303);
    let shown = app.get("/parts/1").await;
    app.post(&key(&shown, 1), &[("back", "/parts/1")])
        .await
        .is(303);
    app.get("/parts/1")
        .await
        .shows("value=\"1.00\"")
        .shows("value=\"Ball 5 mm\"");
}

#[tokio::test]
async fn the_forms_own_rules_hold_for_what_is_put_back() {
    let app = App::one_job().await;
    let days = |ordered, arrived| {
        [
            ("name", "Ball"),
            ("state", "in hand"),
            ("ordered_on", ordered),
            ("arrived_on", arrived),
        ]
    };
    app.post("/jobs/26-001/parts", &days("2026-11-01", "2026-11-20"))
        .await
        .is(303);
    app.post("/parts/1", &days("2026-11-01", "2026-11-25"))
        .await
        .is(303);
    app.post("/parts/1", &days("2026-11-22", "2026-11-25"))
        .await
        .is(303);
    let shown = app.get("/parts/1").await;
    app.post(&key(&shown, 1), &[("back", "/parts/1")])
        .await
        .is(409)
        .shows("It cannot be put back")
        .shows("It was ordered on 22 Nov 2026: give a later day.");
    app.get("/parts/1").await.shows("value=\"2026-11-25\"");
}

#[tokio::test]
async fn the_stores_rules_hold_too() {
    let app = with_a_defect().await;
    // Gone home while it was only watched; with the bar back on it does not go home again by a press.
    let bar = |bar| [("what", "It weeps"), ("bar", bar)];
    app.post("/defects/1", &bar("watch")).await.is(303);
    let stands = |place| [("stands", place)];
    app.post("/jobs/26-001/stands", &stands("gone home"))
        .await
        .is(303);
    app.post("/jobs/26-001/stands", &stands("ready"))
        .await
        .is(303);
    app.post("/defects/1", &bar("no steam")).await.is(303);
    let shown = app.get("/jobs/26-001").await;
    app.post(&key(&shown, 1), &[("back", "/")])
        .await
        .is(409)
        .shows("1 bars forbid handover");
}

#[tokio::test]
async fn what_a_customer_said_has_no_key() {
    let app = App::one_job().await;
    let variation = [("what", "New lagging"), ("price", "40.00")];
    app.post("/jobs/26-001/variations", &variation)
        .await
        .is(303);
    let dearer = [("what", "New lagging"), ("price", "45.00")];
    app.post("/variations/1", &dearer).await.is(303);
    app.get("/variations/1").await.shows(PUT_BACK);
    let answer = [("answer", "agreed"), ("by", "T. Penrow"), ("how", "letter")];
    app.post("/variations/1/answer", &answer).await.is(303);
    app.get("/variations/1")
        .await
        .shows("answer: <strong>agreed</strong>")
        .lacks(PUT_BACK);
    // Nor does an address that was made up do it.
    let newest = change::of(app.store(), Subject::Variation, 1, None, 1).await;
    let answered = &newest.expect("the changes")[0];
    app.post(&format!("/put-back/{}", answered.id), &[("back", "/")])
        .await
        .is(409)
        .shows("cannot be put back");
    app.post("/put-back/9999", &[("back", "/")]).await.is(404);
}

#[tokio::test]
async fn how_a_defect_stands_and_what_was_withdrawn_are_put_back() {
    let app = with_a_defect().await;
    let sitting = [
        ("on_day", "2026-11-05"),
        ("minutes", "5"),
        ("done", "Caulked it"),
    ];
    app.post("/jobs/26-001/sittings", &sitting).await.is(303);
    app.post("/defects/1/settle", &[("stands", "sitting 1")])
        .await
        .is(303);
    app.get("/").await.lacks("It weeps");
    press(&app, "/defects/1").await.is(303);
    app.get("/").await.shows("It weeps");
    app.post("/withdraw/defect/1", &[("back", "/")])
        .await
        .is(303);
    app.get("/").await.lacks("It weeps");
    press(&app, "/defects/1").await.is(303);
    app.get("/").await.shows("It weeps");
}
