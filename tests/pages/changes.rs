//! What was changed, by whom, from what to what, shown with what was changed; and the workshop's own settings among it.

use acceptance::App;

#[tokio::test]
async fn the_workshops_settings_are_kept_from_what_to_what() {
    let app = App::workshop().await;
    let sums = [("currency", "€"), ("hourly", "32.50"), ("tax", "20")];
    app.post("/workshop/money", &sums).await.is(303);
    let days = [("news_days", "30"), ("promise_days", "3")];
    app.post("/workshop/bench", &days).await.is(303);
    let page = app.get("/workshop").await;
    page.shows("currency: <s>£</s> <strong>€</strong>")
        .shows("hourly: <strong>32.50</strong>")
        .shows("news days: <s>14</s> <strong>30</strong>")
        .lacks("pass phrase: ");
    app.get("/workshop/bench")
        .await
        .shows("value=\"30\"")
        .shows("promise days: <s>7</s> <strong>3</strong>");
    app.post(
        "/workshop/bench",
        &[("news_days", "0"), ("promise_days", "soon")],
    )
    .await
    .is(422)
    .shows("2 entries are at fault")
    .shows("value=\"soon\"");
    let rule = [
        ("copper_months", "36"),
        ("other_months", "24"),
        ("steam_months", "12"),
        ("ahead_days", "30"),
    ];
    app.post("/retests/rule", &rule).await.is(303);
    app.post(
        "/retests/rule",
        &[&rule[..3], &[("ahead_days", "40")]].concat(),
    )
    .await
    .is(303);
    app.get("/retests")
        .await
        .shows("ahead days: <s>30</s> <strong>40</strong>");
    // A setting is changed, never withdrawn.
    for setting in ["workshop", "rule-of-re-tests"] {
        app.post(&format!("/withdraw/{setting}/1"), &[("back", "/")])
            .await
            .is(404);
    }
}

#[tokio::test]
async fn news_is_owed_after_the_workshops_own_days() {
    let app = App::workshop().await;
    let job = [
        ("plant_name", "Sandmartin"),
        ("customer_name", "T. Penrow"),
        ("came_in_on", "2020-01-01"),
    ];
    app.post("/jobs", &job).await.is(303);
    let bench = app.get("/").await;
    bench.shows("news after 14 days of silence");
    let days = [("news_days", "365"), ("promise_days", "0")];
    app.post("/workshop/bench", &days).await.is(303);
    app.get("/").await.shows("news after 365 days of silence");
}

#[tokio::test]
async fn every_kind_of_record_shows_what_was_changed_of_it() {
    let app = App::one_job().await;
    app.post("/plants/1/components?kind=boiler", &[("name", "boiler")])
        .await
        .is(303);
    let defect = [("what", "It weeps"), ("bar", "watch")];
    app.post("/jobs/26-001/defects", &defect).await.is(303);
    let part = [("name", "Ball"), ("state", "to order")];
    app.post("/jobs/26-001/parts", &part).await.is(303);
    let sitting = [
        ("on_day", "2026-11-05"),
        ("minutes", "5"),
        ("done", "Looked"),
    ];
    app.post("/jobs/26-001/sittings", &sitting).await.is(303);
    let state = [
        ("what", "valve"),
        ("how", "left off"),
        ("bar", "no steam"),
        ("ends_it", "back on"),
    ];
    app.post("/jobs/26-001/states", &state).await.is(303);
    let variation = [("what", "New lagging"), ("price", "40.00")];
    app.post("/jobs/26-001/variations", &variation)
        .await
        .is(303);
    let payment = [
        ("on_day", "2026-11-05"),
        ("what", "deposit"),
        ("sum", "10.00"),
    ];
    app.post("/jobs/26-001/payments", &payment).await.is(303);
    let paper = [("kind", "water test"), ("on_day", "2026-01-31")];
    app.post("/plants/1/papers", &paper).await.is(303);
    for (page, words) in [
        ("/plants/1/change", "plant entered"),
        ("/customers/1/change", "customer entered"),
        ("/components/1", "component entered"),
        ("/defects/1", "defect entered"),
        ("/parts/1", "part entered"),
        ("/sittings/1", "sitting entered"),
        ("/states/1", "temporary state entered"),
        ("/variations/1", "variation entered"),
        ("/payments/1", "payment entered"),
        ("/papers/1", "paper entered"),
    ] {
        app.get(page).await.is(200).shows(words);
    }
    let moved = [("name", "Ball 5 mm"), ("state", "on order")];
    app.post("/parts/1", &moved).await.is(303);
    app.get("/parts/1")
        .await
        .shows("name: <s>Ball</s> <strong>Ball 5 mm</strong>")
        .shows("state: <s>to order</s> <strong>on order</strong>");
}

#[tokio::test]
async fn lines_pieces_news_and_moves_show_what_was_changed_of_them() {
    let app = App::one_job().await;
    // A line of a look.
    app.post("/jobs/26-001/looks", &[("asks", "Does it knock?")])
        .await
        .is(303);
    let note = [("what", "note"), ("words", "Knocks when cold")];
    app.post("/looks/1/lines", &note).await.is(303);
    app.get("/looks/1").await.lacks("Knocks when cold”");
    app.post("/withdraw/line-of-a-look/1", &[("back", "/looks/1")])
        .await
        .is(303);
    app.get("/looks/1")
        .await
        .shows("line of a look “Knocks when cold” withdrawn")
        .shows("look entered");
    app.get("/jobs/26-001")
        .await
        .shows("line of a look “Knocks when cold” withdrawn");
    // A piece off the plant.
    let piece = [("what", "Own gauge"), ("lies", "tin 14")];
    app.post("/jobs/26-001/pieces", &piece).await.is(303);
    app.get("/jobs/26-001").await.shows("href=\"/pieces/1\"");
    app.get("/pieces/1").await.shows("value=\"tin 14\"");
    app.post("/pieces/1", &[("what", "Own gauge"), ("lies", "")])
        .await
        .is(422)
        .shows("Say where it lies");
    app.post("/pieces/1", &[("what", "Own gauge"), ("lies", "shelf B")])
        .await
        .leads_to("/jobs/26-001#for-now");
    app.get("/pieces/1")
        .await
        .shows("lies: <s>tin 14</s> <strong>shelf B</strong>")
        .shows("Put it back as it was");
    app.get("/look-back?words=shelf").await.shows("Own gauge");
    // News, shown and hidden.
    app.post("/jobs/26-001/news", &[("said", "The shell is sound")])
        .await
        .is(303);
    app.post("/jobs/26-001/publish", &[]).await.is(303);
    let page = app.get("/jobs/26-001/publish").await;
    page.shows("line of news “The shell is sound” changed; shown: <s>1</s> <strong>0</strong>");
    let at = page.between("action=\"/put-back/", "\"").expect("a key");
    app.post(&format!("/put-back/{at}"), &[("back", "/")])
        .await
        .is(303);
    app.get("/jobs/26-001/as-the-customer-sees-it")
        .await
        .shows("The shell is sound");
    // A move of stock.
    app.post(
        "/stock",
        &[("name", "Graphite yarn"), ("unit", "cm"), ("count", "90")],
    )
    .await
    .is(303);
    app.get("/stock/1").await.shows("stock entered");
    app.post("/withdraw/move-of-stock/1", &[("back", "/stock/1")])
        .await
        .is(303);
    let page = app.get("/stock/1").await;
    page.shows("move of stock “counted, 90” withdrawn");
    let at = page.between("action=\"/put-back/", "\"").expect("a key");
    app.post(&format!("/put-back/{at}"), &[("back", "/stock/1")])
        .await
        .is(303);
    app.get("/stock/1").await.shows(">90<");
    app.stop().await;
}

#[tokio::test]
async fn a_jobs_changes_say_which_record_they_are_of_and_name_what_it_speaks_of() {
    let app = App::one_job().await;
    app.post("/plants/1/components?kind=boiler", &[("name", "boiler")])
        .await
        .is(303);
    for what in ["It weeps", "Cock is stiff"] {
        let defect = [("what", what), ("bar", "watch")];
        app.post("/jobs/26-001/defects", &defect).await.is(303);
    }
    let sitting = [
        ("on_day", "2026-11-05"),
        ("minutes", "5"),
        ("done", "Freed the cock"),
    ];
    app.post("/jobs/26-001/sittings", &sitting).await.is(303);
    let on = [
        ("what", "Cock is stiff"),
        ("bar", "watch"),
        ("component", "1"),
    ];
    app.post("/defects/2", &on).await.is(303);
    app.post("/defects/2/settle", &[("stands", "sitting 1")])
        .await
        .is(303);
    let part = [
        ("name", "Ring"),
        ("state", "on order"),
        ("promised_on", "2026-12-03"),
    ];
    app.post("/jobs/26-001/parts", &part[..2]).await.is(303);
    app.post("/parts/1", &part).await.is(303);
    app.get("/jobs/26-001/changes")
        .await
        .shows("defect “1, It weeps” entered")
        .shows("sitting “1” entered")
        .shows("defect “2, Cock is stiff” changed; component: <strong>boiler</strong>")
        .shows("cleared by sitting: <strong>sitting 1</strong>")
        .shows("part “Ring” changed; ordered on: ")
        .shows("promised on: <strong>3 Dec 2026</strong>");
    app.get("/jobs/26-001")
        .await
        .shows("by <a href=\"/sittings/1\">a sitting</a>");
}
