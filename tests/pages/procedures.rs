//! Procedures: read, edited by the owner, versioned; a trial that was prepared keeps its own.

use acceptance::App;

use crate::trials_hand::Hand;

const STEAM: &str = "/workshop/procedures/steam";

/// A text with a blow-down of its own.
const OURS: &str = "#  Blow-down, our way |do, then confirm\n- Point the pipe at the drain. | Nobody there.\n! Read the glass. | Over the low mark. | in mm\n";

async fn write(app: &App, text: &str, from: &str) -> acceptance::Page {
    app.post(STEAM, &[("text", text), ("from", from)]).await
}

/// The head of a trial, as it is stored.
async fn head(app: &App, id: i64) -> String {
    let trial = records::log::find(app.store(), records::TrialId::new(id)).await;
    trial.expect("the trial").head
}

/// What stands after a key in a head, up to the next quote.
fn sha256(head: &str) -> &str {
    let after = head.split("\"sha256\": \"").nth(1).expect("a sha256");
    after.split('"').next().unwrap_or_default()
}

#[tokio::test]
async fn editing_a_procedure_never_changes_a_trial_that_was_prepared() {
    let hand = Hand::at_work().await;
    hand.light().await;
    let app = &hand.app;
    let before = head(app, 1).await;
    let listed = hand.get("/trials/1").await;
    listed
        .shows("Lighting up, gas")
        .shows("Point the pipe where nobody stands.");
    write(app, OURS, "1").await.is(303);
    // The running trial: the same head, and the same lists on its page.
    let after = head(app, 1).await;
    assert_eq!(sha256(&before), sha256(&after));
    hand.get("/trials/1")
        .await
        .shows("Lighting up, gas")
        .shows("Point the pipe where nobody stands.")
        .lacks("our way");
    // The shown text is the one that its SHA-256 is of.
    let kept = records::procedures::by_content(app.store(), "steam", sha256(&after)).await;
    let kept = kept.expect("read").expect("the version of the trial");
    assert_eq!(records::sha256(kept.text.as_bytes()), sha256(&after));
    assert_eq!(kept.version, 1);
    // The next one is prepared with the new version.
    let number = hand.job().await;
    let form = [("question", "And now?"), ("kind", "steam")];
    let path = format!("/jobs/{number}/trials/new");
    hand.post(&path, &form).await.leads_to("/trials/2");
    let second = head(app, 2).await;
    assert_ne!(sha256(&second), sha256(&after));
    assert!(second.contains("\"version\": 2"), "{second}");
    hand.get("/trials/2/readings")
        .await
        .shows("Blow-down, our way")
        .lacks("Lighting up, gas");
}

#[tokio::test]
async fn a_procedure_with_faults_is_refused_line_by_line_and_what_was_typed_stays() {
    let app = App::one_job().await;
    let typed = "# Blow-down | read and do\n- Look\n! See it. | There. | yes\nopen the cock\n";
    write(&app, typed, "1")
        .await
        .is(422)
        .shows("Line 2: say after a | what is seen")
        .shows("Line 3: a must-see item takes an observation")
        .shows("Line 4: begin it with")
        .shows("open the cock");
    let ten = format!("# Long | read and do\n{}", "- Look. | There.\n".repeat(10));
    write(&app, &ten, "1")
        .await
        .is(422)
        .shows("Line 11: “Long” has more than 9 items");
    let none = records::procedures::of_kind(app.store(), "steam").await;
    assert_eq!(none.expect("read"), []);
}

#[tokio::test]
async fn each_version_stays_readable_and_says_what_changed() {
    let app = App::one_job().await;
    app.get("/workshop").await.shows("/workshop/procedures");
    app.get("/workshop/procedures")
        .await
        .is(200)
        .shows("engine run")
        .shows("as shipped");
    app.get(STEAM)
        .await
        .is(200)
        .shows("# Blow-down | read and do")
        .shows("version 1");
    write(&app, OURS, "1").await.leads_to(STEAM);
    let shorter = OURS.replace("at the drain", "away");
    write(&app, &shorter, "2").await.leads_to(STEAM);
    app.get(STEAM)
        .await
        .shows("version 3")
        // As it is written canonically.
        .shows("# Blow-down, our way | do, then confirm")
        .shows("Wren Tarbet");
    app.get(&format!("{STEAM}/3"))
        .await
        .is(200)
        .shows("<del>- Point the pipe at the drain. | Nobody there.</del>")
        .shows("<ins>- Point the pipe away. | Nobody there.</ins>");
    app.get(&format!("{STEAM}/1"))
        .await
        .is(200)
        .shows("Lighting up, spirit");
    app.get(&format!("{STEAM}/4")).await.is(404);
    app.get("/workshop/procedures/balloon").await.is(404);
}

#[tokio::test]
async fn two_who_change_the_same_version_do_not_lose_one_of_the_two() {
    let app = App::one_job().await;
    write(&app, OURS, "1").await.is(303);
    let other = OURS.replace("our way", "another way");
    write(&app, &other, "1")
        .await
        .is(422)
        .shows("Version 2 was written meanwhile")
        .shows("another way");
    write(&app, OURS, "2")
        .await
        .is(422)
        .shows("Nothing was changed");
    let all = records::procedures::of_kind(app.store(), "steam").await;
    assert_eq!(all.expect("read").len(), 2);
}

#[tokio::test]
async fn the_record_names_the_procedure_and_its_version() {
    let hand = Hand::at_work().await;
    hand.enter(&[("what", "event"), ("event", "note"), ("note", "cold")])
        .await
        .is(303);
    let form = [
        ("answer", "not-settled"),
        ("note", "not tried"),
        ("sign", "yes"),
    ];
    hand.post("/trials/1/close", &form).await.is(303);
    let stored = head(&hand.app, 1).await;
    let first = sha256(&stored).get(..12).expect("long enough").to_owned();
    hand.get("/trials/1/record")
        .await
        .shows(&format!("steam, version 1, SHA-256 {first}…"));
}
