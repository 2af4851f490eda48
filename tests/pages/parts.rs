//! Parts over all jobs, and small stock.

use acceptance::App;

#[tokio::test]
async fn parts_of_all_jobs_stand_by_where_they_come_from_and_move_on_by_one_press() {
    let app = App::one_job().await;
    let second = [
        ("plant_name", "Turnstone"),
        ("customer_name", "E. Quill"),
        ("came_in_on", "2026-11-04"),
    ];
    app.post("/jobs", &second).await.leads_to("/jobs/26-002");
    app.get("/parts")
        .await
        .is(200)
        .shows("Nothing is to be made, ordered or waited for");
    for (job, name, state, supplier, price, more) in [
        (
            "26-001",
            "Ball 4 mm",
            "to order",
            "Bow Bearings",
            "0.90",
            ("count", "3"),
        ),
        (
            "26-002",
            "Gauge glass",
            "on order",
            "bow bearings",
            "4",
            ("promised_on", "2025-01-05"),
        ),
        (
            "26-002",
            "Crosshead pin",
            "to make",
            "",
            "",
            ("material", "silver steel 6 mm"),
        ),
        ("26-001", "Gasket", "to order", "", "", ("carriage", "1.50")),
    ] {
        let new = [
            ("name", name),
            ("state", state),
            ("supplier", supplier),
            ("price", price),
            more,
        ];
        app.post(&format!("/jobs/{job}/parts"), &new).await.is(303);
    }
    let page = app.get("/parts").await;
    page.is(200)
        .shows("To make here")
        .shows("of silver steel 6 mm")
        .shows("2 parts, £6.70 with carriage")
        .shows("3 × Ball 4 mm")
        .shows("was due 5 Jan")
        .shows("From nobody named yet");
    // Where nothing has a price, no sum is said.
    app.post(
        "/jobs/26-001/parts",
        &[
            ("name", "Nipple"),
            ("state", "to order"),
            ("supplier", "Upper Mill"),
        ],
    )
    .await
    .is(303);
    app.get("/parts").await.shows("1 part, no price yet");
    // One supplier, however it was written.
    assert_eq!(
        page.body.matches("ow Bearings").count() + page.body.matches("ow bearings").count(),
        1
    );
    app.post("/parts/1/moves", &[("state", "on order")])
        .await
        .leads_to("/parts");
    app.get("/jobs/26-001")
        .await
        .shows("<strong>on order</strong>")
        .shows("parts since");
    app.post("/parts/1/moves", &[("state", "in hand")])
        .await
        .leads_to("/parts");
    app.get("/parts")
        .await
        .shows("In hand, to be fitted <span class=\"said\">1</span>");
    app.post("/parts/1/moves", &[("state", "mislaid")])
        .await
        .is(422);
    app.post("/parts/99/moves", &[("state", "fitted")])
        .await
        .is(404);
    app.stop().await;
}

#[tokio::test]
async fn a_part_is_made_or_bought_as_its_state_says() {
    let app = App::one_job().await;
    let wrong = [
        ("name", "Pin"),
        ("state", "to make"),
        ("way", "buy"),
        ("count", "none"),
        ("ordered_on", "2026-11-05"),
        ("arrived_on", "2026-11-04"),
    ];
    app.post("/jobs/26-001/parts", &wrong)
        .await
        .is(422)
        .shows("3 entries are at fault")
        .shows("What is to make is no part to buy")
        .shows("It was ordered on 5 Nov 2026");
    app.post(
        "/jobs/26-001/parts",
        &[("name", "Pin"), ("state", "in hand"), ("way", "make")],
    )
    .await
    .is(303);
    app.get("/parts/1")
        .await
        .is(200)
        .shows("<option value=\"make\" selected>");
    app.stop().await;
}

#[tokio::test]
async fn a_sitting_draws_from_stock_and_the_job_bears_it() {
    let app = App::one_job().await;
    app.get("/stock")
        .await
        .is(200)
        .shows("Nothing is kept in stock yet")
        .shows("/reckoner/thread-ba");
    app.post(
        "/stock",
        &[("name", ""), ("count", "a few"), ("least", "-1")],
    )
    .await
    .is(422)
    .shows("3 entries are at fault");
    let yarn = [
        ("name", "Graphited yarn 3 mm"),
        ("unit", "cm"),
        ("count", "60"),
        ("least", "50"),
        ("price", "0.04"),
        ("lies", "drawer 2"),
    ];
    app.post("/stock", &yarn).await.leads_to("/stock");
    app.get("/stock").await.shows("60 cm").lacks("to be bought");
    app.get("/look-back?words=graphited")
        .await
        .shows("href=\"/stock/1\"");
    let sitting = [
        ("on_day", "2026-11-05"),
        ("minutes", "60"),
        ("done", "packed the pump"),
    ];
    app.post("/jobs/26-001/sittings", &sitting).await.is(303);
    app.get("/sittings/1")
        .await
        .is(200)
        .shows("From stock")
        .shows("Graphited yarn 3 mm, 60 cm left");
    app.post("/sittings/1/draws", &[("stock", ""), ("drawn", "some")])
        .await
        .is(422)
        .shows("2 entries are at fault")
        .shows("packed the pump");
    app.post("/sittings/1/draws", &[("stock", "1"), ("drawn", "61")])
        .await
        .is(409)
        .shows("the book holds only 60 cm");
    app.post("/sittings/1/draws", &[("stock", "1"), ("drawn", "12")])
        .await
        .leads_to("/jobs/26-001#sittings");
    app.get("/jobs/26-001")
        .await
        .shows("12 cm</a></span> Graphited yarn 3 mm")
        .shows("parts £0.48");
    app.get("/stock")
        .await
        .shows("48 cm")
        .shows("1 to be bought");
    app.get("/stock/1")
        .await
        .is(200)
        .shows("−12 cm")
        .shows("26-001");
    app.post("/stock/1/moves", &[("what", "come in"), ("count", "0")])
        .await
        .is(422);
    app.post("/stock/1/moves", &[("what", "come in"), ("count", "200")])
        .await
        .leads_to("/stock/1");
    app.post("/stock/1/moves", &[("what", "counted"), ("count", "240")])
        .await
        .leads_to("/stock/1");
    app.get("/stock")
        .await
        .shows("240 cm")
        .lacks("to be bought");
    // A draw by a slip of the hand is withdrawn.
    app.post("/withdraw/move-of-stock/2", &[("back", "/stock/1")])
        .await
        .leads_to("/stock/1");
    app.get("/stock").await.shows("252 cm");
    app.get("/jobs/26-001").await.shows("parts £0.00");
    app.post(
        "/stock/1",
        &[
            ("name", "Graphited yarn 3 mm"),
            ("unit", "cm"),
            ("lies", "tin 4"),
        ],
    )
    .await
    .leads_to("/stock/1");
    app.get("/stock").await.shows("tin 4").shows("252 cm");
    app.stop().await;
}

#[tokio::test]
async fn a_part_is_for_a_component_and_is_found_on_its_page() {
    let app = App::one_job().await;
    for (name, kind) in [("Crosshead pump", "feed-pump"), ("Burner", "burner")] {
        let at = format!("/plants/1/components?kind={kind}");
        app.post(&at, &[("name", name)]).await.is(303);
    }
    let defect = [
        ("what", "Its check valve passes back"),
        ("bar", "watch"),
        ("component", "1"),
    ];
    app.post("/jobs/26-001/defects", &defect).await.is(303);
    let by_defect = [("name", "Ball 5 mm"), ("state", "in hand"), ("defect", "1")];
    app.post("/jobs/26-001/parts", &by_defect).await.is(303);
    let chosen = [
        ("name", "Jet no. 5"),
        ("state", "in hand"),
        ("component", "2"),
    ];
    app.post("/jobs/26-001/parts", &chosen).await.is(303);
    app.get("/components/1")
        .await
        .shows("Ball 5 mm")
        .lacks("Jet no. 5");
    app.get("/components/2").await.shows("Jet no. 5");
    // What was chosen stays chosen when the part moves on.
    app.get("/parts/2")
        .await
        .shows("<option value=\"2\" selected>Burner");
    let fitted = [
        ("name", "Jet no. 5"),
        ("state", "fitted"),
        ("component", "2"),
    ];
    app.post("/parts/2", &fitted).await.is(303);
    app.get("/components/2").await.shows("Jet no. 5, fitted");
}
