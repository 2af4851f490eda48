//! Trials of one plant laid over each other.

use acceptance::App;

async fn example() -> App {
    let app = App::spawn().await;
    app.post("/start/example", &[]).await.leads_to("/");
    app
}

/// The number in the box of a trial, by its label.
async fn number(app: &App, label: &str) -> String {
    let page = app.get("/plants/3/compare").await;
    let before = page.body.split(label).next().expect("the page");
    let value = before.rsplit("name=\"trial\" value=\"").next();
    let value = value.expect("a box").split('"').next();
    value.expect("a number").to_owned()
}

#[tokio::test]
async fn two_trials_are_laid_over_each_other_and_their_figures_held_against_each_other() {
    let app = example().await;
    let (a, b) = (
        number(&app, "26-003/2").await,
        number(&app, "26-003/3").await,
    );
    let both = format!("/plants/3/compare?trial={b}&trial={a}");
    let page = app.get(&both).await;
    // The oldest is A, whichever was named first; B raised steam faster by more than both ±.
    page.is(200)
        .shows("B against A")
        .shows("A 26-003/2, B 26-003/3")
        .shows("less by 150 ±143 s")
        .shows("<strong>proven</strong>")
        .shows("apart by 0.00 ±0.11 bar")
        .shows("not proven, ± not known")
        .shows("in one of them only")
        .shows("water in the boiler, ml, hot as it was")
        .shows("A, 26-003/2: highest pressure 4.05 bar, lowest water 817 ml.")
        .shows("valve gear reset, boiler lagged")
        .shows("Everything that was written down was the same.");
    // A trial of another kind differs in what it was prepared with, in the words of the form.
    let water = number(&app, "26-003/1").await;
    app.get(&format!("/plants/3/compare?trial={water}&trial={a}"))
        .await
        .is(200)
        .shows("Pressure gauge: Class")
        .shows("“fire lit” is not in its log");
    // By time from an event that both have, and from one that none has.
    app.get(&format!("{both}&from=engine-running"))
        .await
        .is(200)
        .shows("Time runs from engine running.")
        .lacks("is not in its log");
    app.get(&format!("{both}&from=blow-down"))
        .await
        .is(200)
        .shows("“blow down” is not in its log, so it is not drawn here.");
    app.stop().await;
}

#[tokio::test]
async fn a_record_leads_to_it_and_brings_the_trial_before_it() {
    let app = example().await;
    let b = number(&app, "26-003/3").await;
    let way = format!("/plants/3/compare?trial={b}");
    app.get(&format!("/trials/{b}/record"))
        .await
        .is(200)
        .shows(&format!("href=\"{way}\""));
    app.get(&way)
        .await
        .is(200)
        .shows("26-003/2 is laid under it")
        .shows("B against A");
    // A trial of a kind of which there is no other is not laid over anything.
    let water = number(&app, "26-003/1").await;
    app.get(&format!("/plants/3/compare?trial={water}"))
        .await
        .is(200)
        .shows("One trial is chosen")
        .lacks("against A");
    app.get("/plants/3/compare")
        .await
        .is(200)
        .shows("Choose two trials or more");
    app.get("/plants/3/compare?trial=three").await.is(422);
    app.get("/plants/99/compare").await.is(404);
    app.stop().await;
}

#[tokio::test]
async fn a_trial_of_another_plant_is_never_laid_over_this_one() {
    let app = example().await;
    let a = number(&app, "26-003/2").await;
    app.get(&format!("/plants/2/compare?trial={a}"))
        .await
        .is(200)
        .lacks("26-003/2");
    app.stop().await;
}
