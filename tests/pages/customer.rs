//! The customer's page: what was chosen, and nothing else.

use acceptance::App;

/// The link that the answer shows this once.
fn link(page: &acceptance::Page) -> String {
    page.between("<a href=\"/progress/", "\"")
        .map(|token| format!("/progress/{token}"))
        .expect("a link is shown")
}

async fn secretive() -> App {
    let app = App::one_job().await;
    let job = [
        ("came_in_on", "2026-11-03"),
        ("words", "SECRET words"),
        ("condition", "SECRET condition"),
        ("contents", "SECRET contents"),
        ("next_time", "SECRET next"),
        ("estimate", "987.65"),
        ("private_note", "SECRET note"),
        ("promised_on", "2026-12-24"),
    ];
    app.post("/jobs/26-001", &job).await.is(303);
    app.post(
        "/customers/1",
        &[
            ("name", "T. Penrow"),
            ("reach", "SECRET telephone"),
            ("note", "SECRET deaf"),
        ],
    )
    .await
    .is(303);
    app.post(
        "/plants/1",
        &[
            ("name", "Sandmartin"),
            ("customer", "1"),
            ("boiler_mark", "SECRET mark"),
            ("note", "SECRET history"),
        ],
    )
    .await
    .is(303);
    app.post(
        "/jobs/26-001/sittings",
        &[
            ("on_day", "2026-11-05"),
            ("minutes", "5"),
            ("done", "SECRET sitting"),
        ],
    )
    .await
    .is(303);
    app.post(
        "/jobs/26-001/defects",
        &[
            ("what", "SECRET defect"),
            ("bar", "watch"),
            ("to_do", "SECRET to do"),
        ],
    )
    .await
    .is(303);
    app.post(
        "/jobs/26-001/defects",
        &[("what", "SECRET other defect"), ("bar", "watch")],
    )
    .await
    .is(303);
    app.post(
        "/jobs/26-001/parts",
        &[
            ("name", "SECRET part"),
            ("state", "to make"),
            ("supplier", "SECRET supplier"),
            ("price", "77.77"),
        ],
    )
    .await
    .is(303);
    app.post(
        "/jobs/26-001/variations",
        &[
            ("what", "SECRET variation"),
            ("reason", "SECRET reason"),
            ("price", "55.55"),
            ("asked", "yes"),
        ],
    )
    .await
    .is(303);
    app.post(
        "/jobs/26-001/payments",
        &[
            ("on_day", "2026-11-06"),
            ("what", "deposit"),
            ("sum", "12.34"),
            ("how", "SECRET way"),
        ],
    )
    .await
    .is(303);
    app.post("/jobs/26-001/news", &[("said", "It runs again.")])
        .await
        .is(303);
    app.post("/jobs/26-001/news", &[("said", "SECRET news")])
        .await
        .is(303);
    app
}

#[tokio::test]
async fn the_customer_sees_only_what_was_ticked() {
    let app = secretive().await;
    let ticked = [
        ("news", "1"),
        ("defect", "1"),
        ("words-1", "A valve weeps a little."),
    ];
    app.post("/jobs/26-001/publish", &ticked)
        .await
        .leads_to("/jobs/26-001/publish");
    let link = link(app.post("/jobs/26-001/links", &[]).await.is(200));
    let page = app.get(&link).await;
    page.is(200)
        .shows("Sandmartin")
        .shows("It runs again.")
        .shows("A valve weeps a little.")
        .shows("It has come in")
        .shows("not a certificate");
    for hidden in [
        "SECRET",
        "987",
        "12.34",
        "77.77",
        "55.55",
        "24 Dec",
        "Penrow",
        "Do not steam",
    ] {
        page.lacks(hidden);
    }
    assert_eq!(page.header("referrer-policy"), "no-referrer");
    assert_eq!(page.header("cache-control"), "no-store");
    assert!(page.header("x-robots-tag").contains("noindex"));
    page.lacks("<script").lacks("http://").lacks("https://");
    app.get("/jobs/26-001/as-the-customer-sees-it")
        .await
        .is(200)
        .lacks("SECRET");
}

#[tokio::test]
async fn do_not_steam_shows_while_a_no_steam_bar_stands() {
    let app = App::one_job().await;
    let link = link(&app.post("/jobs/26-001/links", &[]).await);
    app.get(&link).await.is(200).lacks("Do not steam it");
    app.post(
        "/jobs/26-001/states",
        &[
            ("what", "valve off"),
            ("how", "left off"),
            ("bar", "no steam"),
            ("ends_it", "valve back"),
        ],
    )
    .await
    .is(303);
    app.get(&link)
        .await
        .shows("Do not steam it")
        .lacks("valve off");
    app.post("/states/1/end", &[("ended", "yes")]).await.is(303);
    app.get(&link).await.lacks("Do not steam it");
}

#[tokio::test]
async fn a_shown_defect_needs_words_for_the_customer() {
    let app = secretive().await;
    let page = app
        .post(
            "/jobs/26-001/publish",
            &[
                ("defect", "1"),
                ("words-1", " "),
                ("steam_words", "kept as typed"),
            ],
        )
        .await;
    page.is(422)
        .shows("in words meant for the customer")
        .shows("kept as typed");
}

#[tokio::test]
async fn unknown_and_revoked_links_look_alike() {
    let app = App::one_job().await;
    let key = records::fresh_key();
    let first = app.post("/jobs/26-001/links", &[("key", &key)]).await;
    let link = link(first.is(200));
    app.post("/jobs/26-001/links", &[("key", &key)])
        .await
        .leads_to("/jobs/26-001/publish#links");
    app.get(&link).await.is(200);
    app.get("/jobs/26-001/publish").await.lacks(&link);
    let unknown = app.get(&format!("/progress/{}", "A".repeat(43))).await;
    app.post("/jobs/26-001/links/1/revoke", &[]).await.is(303);
    let revoked = app.get(&link).await;
    assert_eq!(
        (revoked.is(404).status, &revoked.body),
        (unknown.status, &unknown.body)
    );
    let token = link.trim_start_matches("/progress/").to_owned();
    let folder = app.stop().await.expect("the folder");
    let bytes = std::fs::read(records::file_of(folder.path())).expect("the file");
    assert!(
        !String::from_utf8_lossy(&bytes).contains(&token),
        "the link itself is stored"
    );
}
