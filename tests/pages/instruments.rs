//! Instruments on the pages: the register, gauges side by side, and what a trial takes from there.

use acceptance::App;

const G2: [(&str, &str); 8] = [
    ("kind", "pressure gauge"),
    ("mark", "G2"),
    ("full_scale", "6"),
    ("accuracy", "0.6"),
    ("resolution", "0,02"),
    ("calibrated_on", "2026-03-02"),
    ("calibrated_by", "a <bench>"),
    ("due_on", "2199-03-02"),
];

async fn with_two_gauges() -> App {
    let app = App::one_job().await;
    app.post("/instruments", &G2)
        .await
        .leads_to("/instruments/1");
    let own = [
        ("kind", "pressure gauge"),
        ("mark", "own"),
        ("plant", "1"),
        ("full_scale", "6"),
        ("accuracy", "2.5"),
        ("resolution", "0.1"),
        ("due_on", "2020-01-01"),
    ];
    app.post("/instruments", &own)
        .await
        .leads_to("/instruments/2");
    app
}

/// Five pressures, the last reading of the plant's gauge coming down as given.
fn readings(last: &str) -> Vec<(String, String)> {
    let mut all = Vec::new();
    for (n, bar) in [
        (1, "1.00"),
        (2, "2.00"),
        (3, "3.00"),
        (4, "4.00"),
        (5, "5.00"),
    ] {
        all.push((format!("test-{n}"), bar.to_owned()));
        all.push((format!("up-{n}"), bar.to_owned()));
        all.push((
            format!("down-{n}"),
            if n == 5 { last } else { bar }.to_owned(),
        ));
    }
    all
}

fn sent(all: &[(String, String)]) -> Vec<(&str, &str)> {
    all.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect()
}

#[tokio::test]
async fn the_register_shows_whose_what_and_when_due() {
    let app = with_two_gauges().await;
    let register = app.get("/instruments").await;
    register
        .shows("0 to 6 bar, class 0.6 (% of full scale), steps of 0.02 bar")
        .shows("a &#60;bench&#62;")
        .shows("Sandmartin")
        .shows("overdue by");
    app.get("/instruments/1")
        .await
        .shows("2 Mar 2026, a &#60;bench&#62;");
    app.post(
        "/instruments/1",
        &[("kind", "pressure gauge"), ("mark", "G2b")],
    )
    .await
    .leads_to("/instruments/1");
    app.get("/instruments/1")
        .await
        .shows("nothing yet")
        .shows("no day known");
    app.post("/withdraw/instrument/1", &[("back", "/instruments/1")])
        .await
        .is(303);
    app.get("/instruments/1").await.shows("withdrawn");
    app.get("/look-back?words=G2b")
        .await
        .shows("/instruments/1")
        .shows("withdrawn");
    app.get("/instruments/9").await.is(404);
}

#[tokio::test]
async fn a_faulty_instrument_is_refused_with_every_fault_and_what_was_typed() {
    let app = App::one_job().await;
    let bad = [
        ("kind", "ruler"),
        ("mark", ""),
        ("full_scale", "six <6>"),
        ("resolution", "-1"),
        ("calibrated_on", "2026-03-02"),
        ("due_on", "2026-03-01"),
    ];
    let refused = app.post("/instruments", &bad).await;
    refused
        .is(422)
        .shows("5 entries are at fault")
        .shows("six &#60;6&#62;")
        .shows("before it was calibrated");
    let gauge = [
        ("kind", "pressure gauge"),
        ("mark", "G"),
        ("accuracy", "60"),
    ];
    app.post("/instruments", &gauge)
        .await
        .is(422)
        .shows("From 0.01 to 20");
}

#[tokio::test]
async fn two_gauges_side_by_side_say_how_wrong_one_is() {
    let app = with_two_gauges().await;
    app.get("/instruments/2/compare?against=1")
        .await
        .is(200)
        .shows("own beside G2")
        .shows("down-10");
    let good = readings("5.1");
    let page = app
        .post("/instruments/2/compare?against=1", &sent(&good))
        .await;
    page.leads_to("/comparisons/1");
    let shown = app.get("/comparisons/1").await;
    // e = 0.05; u² = (0.036/√3)² + 0.02²/12 + 0.1²/12 + 0.1²/12, U = 2u = 0.092.
    shown
        .shows("+0.050 ± 0.092 bar at 5.00 bar")
        .shows("class=\"verdict pass\"")
        .shows("allows ± 0.150 bar");
    let wrong = readings("4.6");
    app.post("/instruments/2/compare?against=1", &sent(&wrong))
        .await
        .leads_to("/comparisons/2");
    app.get("/comparisons/2")
        .await
        .shows("−0.20 ± 0.24 bar")
        .shows("not proven");
    app.get("/instruments/2")
        .await
        .shows("href=\"/comparisons/2\"")
        .shows("+0.050 ± 0.092 bar at 5.00 bar, pass");
    app.post("/withdraw/comparison/2", &[("back", "/comparisons/2")])
        .await
        .is(303);
    app.get("/comparisons/2")
        .await
        .shows("comparison entered")
        .shows("comparison withdrawn");
    // A change of the gauge afterwards does not rewrite what was reckoned.
    app.post(
        "/instruments/1",
        &[
            ("kind", "pressure gauge"),
            ("mark", "G2"),
            ("accuracy", "4"),
        ],
    )
    .await
    .is(303);
    app.get("/comparisons/1").await.shows("+0.050 ± 0.092 bar");
}

#[tokio::test]
async fn readings_that_cannot_be_compared_are_refused_beside_their_box() {
    let app = with_two_gauges().await;
    let at = "/instruments/2/compare?against=1";
    let half = [
        ("test-1", "1.00"),
        ("up-1", ""),
        ("test-2", ""),
        ("up-2", "2.0"),
        ("test-3", "3 <bar>"),
        ("up-3", "3.0"),
        ("on_day", "soon"),
    ];
    let refused = app.post(at, &half).await;
    refused
        .is(422)
        .shows("Say what the gauge showed, going up.")
        .shows("Say what the test gauge showed.")
        .shows("3 &#60;bar&#62;")
        .shows("“soon” is no day");
    let falling = [
        ("test-1", "2.00"),
        ("up-1", "2.0"),
        ("test-2", "1.00"),
        ("up-2", "1.0"),
    ];
    app.post(at, &falling)
        .await
        .is(422)
        .shows("higher than the one before");
    app.post(at, &[])
        .await
        .is(422)
        .shows("at two pressures at least");
    app.get("/instruments/2/compare?against=2").await.is(422);
    app.get("/instruments/2/compare?against=").await.is(422);
    app.get("/instruments/2/compare?against=9").await.is(404);
    let bare = [("kind", "pressure gauge"), ("mark", "G3")];
    app.post("/instruments", &bare)
        .await
        .leads_to("/instruments/3");
    let good = readings("5.0");
    app.post("/instruments/2/compare?against=3", &sent(&good))
        .await
        .is(422)
        .shows("class is not known");
    app.get("/comparisons/1").await.is(404);
}

#[tokio::test]
async fn a_trial_is_prepared_with_instruments_from_the_register() {
    let app = with_two_gauges().await;
    let page = app.get("/jobs/26-001/trials/new").await;
    page.shows("name=\"register-pressure\"")
        .shows("G2 of the workshop: 0 to 6 bar")
        .shows("own of Sandmartin")
        .shows("overdue since 1 Jan 2020");
    let typed = [
        ("kind", "steam"),
        ("question", "Does it <hold>?"),
        ("register-pressure", "1"),
        ("instruments-pressure-id", "old"),
        ("fill", "yes"),
    ];
    let filled = app.post("/jobs/26-001/trials/new", &typed).await;
    filled
        .is(200)
        .shows("Does it &#60;hold&#62;?")
        .shows("id=\"instruments-pressure-id\" name=\"instruments-pressure-id\" value=\"G2\"")
        .shows("name=\"instruments-pressure-full_scale_bar\" value=\"6\"")
        .shows("name=\"instruments-pressure-resolution_bar\" value=\"0.02\"")
        .shows("name=\"instruments-pressure-calibration_due\" value=\"2199-03-02\"");
    app.get("/trials").await.lacks("Does it");
    let prepared = [
        ("kind", "steam"),
        ("question", "Does it hold?"),
        ("instruments-pressure-id", "G2"),
        ("instruments-pressure-accuracy_class", "1.6"),
    ];
    app.post("/jobs/26-001/trials/new", &prepared)
        .await
        .leads_to("/trials/1");
    // The next one of this plant: the same gauge by its mark, as the register knows it today.
    app.get("/jobs/26-001/trials/new")
        .await
        .shows("name=\"instruments-pressure-accuracy_class\" value=\"0.6\"");
}
