//! Estimates, payments, the statement, and the customer's own answer.

use acceptance::{App, Page, Request};

fn link(page: &Page) -> String {
    page.between("<a href=\"/progress/", "\"")
        .map(|token| format!("/progress/{token}"))
        .expect("a link is shown")
}

#[tokio::test]
async fn an_estimate_has_a_range_and_what_it_takes_for_granted() {
    let app = App::one_job().await;
    app.post(
        "/workshop/money",
        &[("currency", "£"), ("hourly", "30"), ("tax", "")],
    )
    .await
    .leads_to("/workshop");
    // The workshop's hour stands in a fresh estimate.
    app.get("/jobs/26-001/estimate")
        .await
        .is(200)
        .shows("value=\"30.00\"");
    let wrong = [
        ("least_hours", "7.33"),
        ("most_hours", "5"),
        ("hourly", "thirty"),
        ("least_parts", "40"),
        ("most_parts", "10.00"),
        ("assumes", "the shell is sound"),
    ];
    app.post("/jobs/26-001/estimate", &wrong)
        .await
        .is(422)
        .shows("3 entries are at fault")
        .shows("“7.33” is no whole number of minutes")
        .shows("the shell is sound");
    let right = [
        ("least_hours", "7:20"),
        ("most_hours", "10.5"),
        ("hourly", "30"),
        ("least_parts", "10"),
        ("most_parts", "40"),
        ("assumes", "the shell is sound"),
        ("named", "300"),
    ];
    app.post("/jobs/26-001/estimate", &right)
        .await
        .leads_to("/jobs/26-001#money");
    // 7 h 20 min at 30.00 is 220.00, 10 h 30 min is 315.00.
    app.get("/jobs/26-001")
        .await
        .shows("7 h 20 min to 10 h 30 min at £30.00 an hour, parts £10.00 to £40.00")
        .shows("£230.00")
        .shows("£355.00")
        .shows("It takes for granted: the shell is sound")
        .shows("£300.00")
        .shows("under the least of the estimate by £230.00");
    app.post(
        "/jobs/26-001/sittings",
        &[
            ("on_day", "2026-11-05"),
            ("minutes", "700"),
            ("done", "lifted the lid"),
        ],
    )
    .await
    .is(303);
    app.post(
        "/jobs/26-001/parts",
        &[("name", "gasket"), ("state", "fitted"), ("price", "12.50")],
    )
    .await
    .is(303);
    // 11 h 40 min is 350.00, and 12.50 of parts.
    app.get("/jobs/26-001")
        .await
        .shows("11 h 40 min at the bench, £350.00; parts £12.50")
        .shows("over the most of the estimate by £7.50");
    app.stop().await;
}

#[tokio::test]
async fn a_statement_holds_what_was_named_agreed_and_paid() {
    let app = App::one_job().await;
    app.get("/jobs/26-001/statement")
        .await
        .is(200)
        .shows("No sum has been named yet.");
    app.post("/jobs/26-001/estimate", &[("named", "300.00")])
        .await
        .is(303);
    for (what, price) in [("a second glass", "48"), ("new lagging", "90")] {
        let new = [("what", what), ("price", price), ("asked", "yes")];
        app.post("/jobs/26-001/variations", &new).await.is(303);
    }
    app.post(
        "/variations/1/answer",
        &[
            ("answer", "agreed"),
            ("by", "T. Penrow"),
            ("how", "by telephone"),
        ],
    )
    .await
    .is(303);
    app.post("/variations/2/answer", &[("answer", "declined")])
        .await
        .is(303);
    app.post(
        "/jobs/26-001/payments",
        &[("on_day", ""), ("what", "gift"), ("sum", "0")],
    )
    .await
    .is(422)
    .shows("3 entries are at fault");
    for (day, what, sum) in [
        ("2026-11-04", "deposit", "100"),
        ("2026-11-20", "payment", "60.50"),
        ("2026-11-21", "paid back", "10.00"),
    ] {
        let new = [
            ("on_day", day),
            ("what", what),
            ("sum", sum),
            ("how", "in notes"),
        ];
        app.post("/jobs/26-001/payments", &new)
            .await
            .leads_to("/jobs/26-001#money");
    }
    let page = app.get("/jobs/26-001/statement").await;
    page.is(200)
        .shows("a second glass")
        .shows("by T. Penrow, by telephone")
        .lacks("new lagging")
        .shows("£348.00")
        .shows("4 Nov 2026")
        .shows("−£10.00")
        .shows("£150.50")
        .shows("Owed £197.50")
        .lacks("tax");
    // With a tax and another sign: 348.00 holds 58.00 at 20 %.
    app.post("/workshop/money", &[("currency", "kr"), ("tax", "20")])
        .await
        .is(303);
    app.get("/jobs/26-001/statement")
        .await
        .shows("of which tax at 20 %")
        .shows("kr\u{a0}58.00")
        .shows("Owed kr\u{a0}197.50")
        .lacks("£");
    app.get("/").await.shows("kr\u{a0}197.50").lacks("£");
    app.post(
        "/workshop/money",
        &[("currency", "12345"), ("tax", "a fifth")],
    )
    .await
    .is(422)
    .shows("2 entries are at fault")
    .shows("a fifth");
    // More than was paid is not paid back.
    let back = [
        ("on_day", "2026-11-22"),
        ("what", "paid back"),
        ("sum", "150.51"),
    ];
    app.post("/jobs/26-001/payments", &back)
        .await
        .is(409)
        .shows("more would be paid back than was paid");
    app.stop().await;
}

/// A job with one variation on the customer's page, and the link to it.
async fn asked() -> (App, String) {
    let app = App::one_job().await;
    let new = [
        ("what", "a second glass"),
        ("price", "48"),
        ("asked", "yes"),
    ];
    app.post("/jobs/26-001/variations", &new).await.is(303);
    app.post("/jobs/26-001/publish", &[("variation", "1")])
        .await
        .is(303);
    let link = link(app.post("/jobs/26-001/links", &[]).await.is(200));
    (app, link)
}

/// A form of the customer's page, sent as a browser does that was told to send no referrer.
async fn answer(app: &App, link: &str, fields: &[(&str, &str)]) -> Page {
    let key = records::fresh_key();
    let mut all = fields.to_vec();
    if !fields.iter().any(|f| f.0 == "key") {
        all.push(("key", &key));
    }
    let path = format!("{link}/variations/1/answer");
    app.send(
        Request::new("POST", &path)
            .header("Origin", "null")
            .header("Sec-Fetch-Site", "same-origin")
            .form(&all),
    )
    .await
}

#[tokio::test]
async fn the_customer_answers_once_and_the_workshop_sees_who_when_and_how() {
    let (app, link) = asked().await;
    app.get(&link)
        .await
        .is(200)
        .shows("One thing to decide")
        .shows("Yes, do it: £48.00");
    // The workshop's own look at the page has no keys to answer by.
    app.get("/jobs/26-001/as-the-customer-sees-it")
        .await
        .is(200)
        .lacks("<button");
    answer(&app, &link, &[("answer", "yes"), ("name", " ")])
        .await
        .is(422)
        .shows("Give your name");
    answer(&app, &link, &[("answer", "perhaps"), ("name", "T. Penrow")])
        .await
        .is(422);
    app.get("/jobs/26-001").await.shows("waits for T. Penrow");
    let key = records::fresh_key();
    let yes = [
        ("answer", "yes"),
        ("name", "Tam <Penrow>"),
        ("key", key.as_str()),
    ];
    answer(&app, &link, &yes).await.leads_to(&link);
    // A double press is one answer; another answer is none.
    answer(&app, &link, &yes).await.leads_to(&link);
    answer(&app, &link, &[("answer", "no"), ("name", "Tam")])
        .await
        .is(409)
        .shows("It has been answered");
    app.get(&link)
        .await
        .shows("What you decided")
        .shows("Tam &#60;Penrow&#62; said yes")
        .lacks("<button");
    app.get("/jobs/26-001")
        .await
        .shows("<strong>agreed</strong>")
        .shows("Tam &#60;Penrow&#62;, on the progress page")
        .shows("customer, by private link 1")
        .lacks("waits for T. Penrow");
    // Nor does the workshop write over it.
    app.get("/variations/1")
        .await
        .is(200)
        .lacks("Save the answer");
    app.post("/variations/1/answer", &[("answer", "declined")])
        .await
        .is(409);
    let token = link.trim_start_matches("/progress/").to_owned();
    let folder = app.stop().await.expect("the folder");
    for file in std::fs::read_dir(folder.path()).expect("the folder") {
        let path = file.expect("a file").path();
        let bytes = std::fs::read(path).unwrap_or_default();
        assert!(
            !String::from_utf8_lossy(&bytes).contains(&token),
            "the link itself is stored"
        );
    }
}

#[tokio::test]
async fn nobody_answers_what_is_not_theirs_to_answer() {
    let (app, link) = asked().await;
    let yes = [("answer", "yes"), ("name", "Tam")];
    // Another site's page, an unknown link, a variation that is not shown.
    let key = records::fresh_key();
    let forged = Request::new("POST", &format!("{link}/variations/1/answer"))
        .header("Sec-Fetch-Site", "cross-site")
        .form(&[("answer", "yes"), ("name", "Tam"), ("key", &key)]);
    app.send(forged).await.is(403);
    let unknown = format!("/progress/{}", "A".repeat(43));
    answer(&app, &unknown, &yes).await.is(404);
    app.post("/jobs/26-001/publish", &[]).await.is(303);
    answer(&app, &link, &yes).await.is(404);
    app.post("/jobs/26-001/publish", &[("variation", "1")])
        .await
        .is(303);
    app.post("/withdraw/variation/1", &[("back", "/")])
        .await
        .is(303);
    answer(&app, &link, &yes).await.is(404);
    app.post("/withdraw/variation/1", &[("back", "/"), ("undo", "yes")])
        .await
        .is(303);
    app.post("/jobs/26-001/links/1/revoke", &[]).await.is(303);
    answer(&app, &link, &yes).await.is(404);
    app.get("/jobs/26-001").await.shows("waits for T. Penrow");
    app.stop().await;
}
