//! The receipt that is handed over when a plant comes in.

use acceptance::App;

#[tokio::test]
async fn the_receipt_says_what_came_in_which_state_and_what_was_agreed() {
    let app = App::workshop().await;
    let job = [
        ("plant_name", "Sandmartin"),
        ("customer_name", "T. <Penrow>"),
        ("agreed", "yes"),
        ("came_in_on", "2026-11-03"),
        ("promised_on", "2026-12-24"),
        ("words", "It dies under load"),
        ("condition", "brown water"),
        ("contents", "plant on its board\ntwo spanners\n\noil <can>"),
    ];
    app.post("/jobs", &job).await.leads_to("/jobs/26-001");
    let bare = app.get("/jobs/26-001/receipt").await;
    bare.is(200)
        .shows("T. &#60;Penrow&#62;")
        .shows("<li>two spanners</li><li>oil &#60;can&#62;</li>")
        .shows("brown water")
        .shows("<strong>24 Dec 2026</strong>")
        .shows("agreed 3 Nov 2026, said so when it was brought")
        .shows("<strong>not at all</strong>, until its working pressure is known")
        .lacks("/pictures/file/");
    let boiler = [("name", "boiler"), ("working_pressure_bar", "4.0")];
    app.post("/plants/1/components?kind=boiler", &boiler)
        .await
        .is(303);
    let paper = [
        ("kind", "water test"),
        ("number", "12"),
        ("on_day", "2024-03-02"),
    ];
    app.post("/plants/1/papers", &paper).await.is(303);
    let picture = crate::pictures::jpeg(40, 30, [9, 9, 9]);
    app.send_files(
        "/pictures?of=job-1",
        &[("caption", "the front")],
        &[("taken", "a.jpg", &picture)],
    )
    .await
    .is(303);
    app.get("/jobs/26-001/receipt")
        .await
        .shows("<strong>4.0 bar</strong>, its working pressure as written down")
        .shows("water test no. 12, of 2 Mar 2024")
        .shows("the front");
    app.get("/jobs/26-001")
        .await
        .shows("href=\"/jobs/26-001/receipt\"");
    app.get("/jobs/26-009/receipt").await.is(404);
}

#[tokio::test]
async fn a_mark_that_nobody_wrote_down_is_not_said_to_be_missing() {
    let app = App::one_job().await;
    app.get("/plants/1")
        .await
        .shows("none written down")
        .lacks("none found");
}
