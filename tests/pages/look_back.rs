//! Looking back, and what is fitted, on the pages.

use acceptance::App;

/// A job with a pump, a sitting on it, and a defect.
async fn with_a_pump() -> App {
    let app = App::one_job().await;
    app.post(
        "/plants/1/components?kind=feed-pump",
        &[("name", "hand pump <1>")],
    )
    .await
    .leads_to("/plants/1");
    let sitting = [
        ("on_day", "2026-11-05"),
        ("minutes", "40"),
        ("done", "Packed the gland"),
    ];
    app.post("/jobs/26-001/sittings", &sitting).await.is(303);
    let defect = [
        ("what", "Gland blows"),
        ("bar", "watch"),
        ("found", "examination"),
        ("component", "1"),
    ];
    app.post("/jobs/26-001/defects", &defect).await.is(303);
    app.post(
        "/jobs/26-001/parts",
        &[("name", "Yarn, 2 m"), ("state", "fitted")],
    )
    .await
    .is(303);
    app
}

#[tokio::test]
async fn what_was_fitted_to_a_component_is_one_step_from_its_plant() {
    let app = with_a_pump().await;
    app.get("/sittings/1")
        .await
        .shows("/fitted/new?of=sitting-1");
    app.get("/fitted/new?of=sitting-1")
        .await
        .is(200)
        .shows("value=\"2026-11-05\"")
        .shows("hand pump &#60;1&#62;");
    let yarn = [
        ("component", "1"),
        ("kind", "packing"),
        ("what", "graphite yarn <3 mm>"),
        ("on_day", "2026-11-05"),
    ];
    app.post("/fitted?of=sitting-1", &yarn)
        .await
        .leads_to("/sittings/1#fitted");
    let lead = [
        ("component", "1"),
        ("kind", "adjustment"),
        ("what", "stroke"),
        ("was", "20 mm"),
        ("now", "22 mm"),
        ("on_day", "2026-11-06"),
    ];
    app.post("/fitted?of=part-1", &lead)
        .await
        .leads_to("/parts/1#fitted");
    let old = [
        ("component", "1"),
        ("kind", "oil"),
        ("what", "steam oil 460"),
        ("on_day", "2019-05-01"),
    ];
    app.post("/fitted?of=component-1", &old)
        .await
        .leads_to("/components/1#fitted");
    let plant = app.get("/plants/1").await;
    plant
        .shows("href=\"/components/1#fitted\">packing: graphite yarn &#60;3 mm&#62;</a>")
        .shows("26-001");
    let page = app.get("/components/1").await;
    let place = |words: &str| {
        page.body
            .find(words)
            .unwrap_or_else(|| panic!("no {words} on it"))
    };
    let order = [
        place("adjustment: stroke, from 20 mm to 22 mm"),
        place("packing: graphite yarn"),
        place("oil: steam oil 460"),
    ];
    assert!(order.is_sorted(), "the newest on top: {order:?}");
    page.shows("defect, watch: Gland blows, standing");
    app.get("/sittings/1").await.shows("packing: graphite yarn");
    app.post(
        "/fitted/1",
        &[
            ("component", "1"),
            ("kind", "packing"),
            ("what", "yarn, other"),
            ("on_day", ""),
        ],
    )
    .await
    .leads_to("/components/1#fitted");
    app.get("/fitted/1")
        .await
        .shows("yarn, other")
        .shows("value=\"2026-11-05\"");
    app.post("/withdraw/thing-fitted/1", &[("back", "/components/1")])
        .await
        .is(303);
    app.get("/components/1").await.lacks("yarn, other");
}

#[tokio::test]
async fn an_adjustment_without_before_and_after_is_refused_and_what_was_typed_stays() {
    let app = with_a_pump().await;
    let half = [
        ("component", ""),
        ("kind", "adjustment"),
        ("what", "stroke <2>"),
        ("was", ""),
        ("now", ""),
        ("on_day", "soon"),
    ];
    let refused = app.post("/fitted?of=sitting-1", &half).await;
    refused
        .is(422)
        .shows("stroke &#60;2&#62;")
        .shows("Choose the component")
        .shows("says what it was before")
        .shows("“soon” is no day");
    for nowhere in ["sitting-9", "part-9", "component-9", "job-1", ""] {
        app.get(&format!("/fitted/new?of={nowhere}")).await.is(404);
    }
    app.get("/fitted/9").await.is(404);
}

#[tokio::test]
async fn everything_typed_is_found_with_what_it_is_and_where() {
    let app = with_a_pump().await;
    app.get("/look-back")
        .await
        .is(200)
        .lacks("Nothing is found");
    let found = app.get("/look-back?words=gland").await;
    found
        .shows("href=\"/defects/1\"")
        .shows("<mark>Gland</mark> blows")
        .shows("href=\"/sittings/1\"")
        .shows("Packed the <mark>gland</mark>")
        .shows("defect of 26-001, Sandmartin")
        .shows("2 lines");
    app.get("/look-back?words=26-001")
        .await
        .shows("href=\"/jobs/26-001\"")
        .shows("job, Sandmartin");
    app.get("/look-back?words=penr")
        .await
        .shows("href=\"/customers/1\"");
    app.get("/look-back?words=sandm")
        .await
        .shows("href=\"/plants/1\"");
    app.get("/look-back?words=gland&kind=feed-pump")
        .await
        .shows("1 line")
        .shows("/defects/1")
        .lacks("/sittings/1\"");
    app.get("/look-back?words=gland&kind=boiler")
        .await
        .shows("Nothing is found");
    app.get("/look-back?words=gland&plant=9")
        .await
        .shows("Nothing is found");
    let all = app.get("/look-back?plant=1&kind=feed-pump").await;
    all.shows("2 lines").shows("hand pump &#60;1&#62;");
    for strange in [
        "%22",
        "*",
        "a+OR+b",
        "NEAR(",
        "title:x",
        "%00",
        "%C2%B1",
        "%3Cscript%3E",
    ] {
        app.get(&format!("/look-back?words={strange}"))
            .await
            .is(200)
            .lacks("<script>");
    }
    let long = "x".repeat(5000);
    app.get(&format!("/look-back?words={long}"))
        .await
        .is(200)
        .shows("Nothing is found");
}

#[tokio::test]
async fn a_search_box_is_on_every_sheet() {
    let app = App::one_job().await;
    for sheet in [
        "/",
        "/jobs",
        "/jobs/26-001",
        "/plants/1",
        "/reckoner",
        "/nowhere",
    ] {
        app.get(sheet)
            .await
            .shows("action=\"/look-back\"")
            .shows("href=\"/look-back\"");
    }
}

#[tokio::test]
async fn a_sitting_on_a_component_is_found_with_it() {
    let app = with_a_pump().await;
    app.get("/jobs/26-001/sittings/new")
        .await
        .shows("<option value=\"1\">hand pump &#60;1&#62;</option>");
    let sitting = [
        ("on_day", "2026-11-06"),
        ("minutes", "30"),
        ("done", "Lapped both valves"),
        ("component", "1"),
    ];
    app.post("/jobs/26-001/sittings", &sitting).await.is(303);
    app.get("/components/1")
        .await
        .shows("<a href=\"/sittings/2\">sitting: Lapped both valves</a>")
        .lacks("sitting: Packed the gland");
    app.get("/jobs/26-001")
        .await
        .shows("<strong>hand pump &#60;1&#62;:</strong> Lapped both valves");
    app.get("/look-back?kind=feed-pump&plant=1")
        .await
        .shows("Lapped both valves")
        .lacks("Packed the gland");
    // A change of it is kept; a component of another plant is refused.
    let moved = [&sitting[..3], &[("component", "")]].concat();
    app.post("/sittings/2", &moved).await.is(303);
    app.get("/components/1").await.lacks("Lapped both valves");
    app.get("/sittings/2")
        .await
        .shows("component: <s>hand pump &#60;1&#62;</s>");
    let other = [("name", "Other plant"), ("customer", "1")];
    app.post("/plants", &other).await.is(303);
    app.post("/plants/2/components?kind=boiler", &[("name", "boiler")])
        .await
        .is(303);
    let elsewhere = [&sitting[..3], &[("component", "2")]].concat();
    app.post("/sittings/2", &elsewhere)
        .await
        .is(409)
        .shows("that component is not on this plant");
}
