//! Who may come in, and what every answer carries.

use acceptance::{App, Request};

const ROUTES: &[&str] = &[
    "/",
    "/start",
    "/jobs",
    "/jobs/new",
    "/jobs/26-001",
    "/jobs/26-001/change",
    "/jobs/26-001/publish",
    "/jobs/26-001/defects/new",
    "/jobs/26-001/states/new",
    "/jobs/26-001/pieces/new",
    "/jobs/26-001/parts/new",
    "/jobs/26-001/sittings/new",
    "/jobs/26-001/variations/new",
    "/jobs/26-001/trials/new",
    "/plants",
    "/plants/new",
    "/plants/1",
    "/plants/1/change",
    "/plants/1/components/new?kind=boiler",
    "/customers",
    "/customers/new",
    "/customers/1",
    "/customers/1/change",
    "/trials",
    "/jobs/26-999",
    "/nothing-here",
    "/progress/unknown",
    "/assets/unknown.css",
];

#[tokio::test]
async fn every_answer_carries_the_policy_and_nothing_is_fetched_from_elsewhere() {
    let app = App::one_job().await;
    for route in ROUTES {
        let page = app.get(route).await;
        assert!(page.status < 500, "{route} answered {}", page.status);
        let policy = page.header("content-security-policy");
        assert!(
            policy.starts_with("default-src 'none'; script-src 'self'; style-src 'self';")
                && policy.contains("frame-ancestors 'none'"),
            "{route}: {policy}"
        );
        assert_eq!(page.header("x-content-type-options"), "nosniff", "{route}");
        assert!(!page.header("referrer-policy").is_empty(), "{route}");
        for outside in [
            "http://",
            "https://",
            " style=\"",
            "<style",
            "onclick",
            "javascript:",
        ] {
            page.lacks(outside);
        }
    }
    let missing = app.get("/jobs/26-999").await;
    missing
        .is(404)
        .shows("There is no job with that number")
        .shows("To the bench");
}

#[tokio::test]
async fn another_host_is_refused_on_every_route_without_a_body() {
    let app = App::one_job().await;
    for route in ROUTES {
        let page = app.send(Request::new("GET", route).host("evil.test")).await;
        assert_eq!((page.status, page.body.as_str()), (421, ""), "{route}");
    }
    let port = app.host().rsplit(':').next().expect("a port").to_owned();
    app.send(Request::new("GET", "/").host(&format!("localhost:{port}")))
        .await
        .is(200);
}

#[tokio::test]
async fn a_post_from_elsewhere_changes_nothing() {
    let app = App::workshop().await;
    let key = records::fresh_key();
    let fields = [("name", "Mallory"), ("key", key.as_str())];
    for (name, value) in [
        ("Origin", "http://evil.test"),
        ("Origin", "null"),
        ("Sec-Fetch-Site", "cross-site"),
        ("Sec-Fetch-Site", "same-site"),
        ("Cookie", "a=b"),
    ] {
        let request = Request::new("POST", "/customers")
            .header(name, value)
            .form(&fields);
        app.send(request)
            .await
            .is(403)
            .shows("not sent from a page of this workshop");
    }
    assert!(
        records::customers::list(app.store(), None, 100)
            .await
            .unwrap()
            .is_empty()
    );
    app.post("/customers", &fields).await.is(303);
}

#[tokio::test]
async fn scripts_are_told_in_json_and_too_much_is_refused() {
    let app = App::one_job().await;
    let page = app
        .send(Request::new("GET", "/jobs/26-999").header("Accept", "application/json"))
        .await;
    page.is(404)
        .shows("\"title\":\"Not in the book\"")
        .lacks("<");
    let long = "x".repeat(300_000);
    app.post("/customers", &[("name", &long)])
        .await
        .is(413)
        .shows("More was sent than this page takes");
    let origin = format!("http://{}", app.host());
    app.send(Request::new("POST", "/jobs/26-001/change").header("Origin", &origin))
        .await
        .is(405)
        .shows("Not that way");
}
