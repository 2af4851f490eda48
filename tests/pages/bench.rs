//! The bench: what comes back, what is owed, and forty jobs at once.

use acceptance::App;

/// Books a job in and gives its number.
async fn job(app: &App, plant: &str, customer: &str, came_in_on: &str) -> String {
    let new = [
        ("plant_name", plant),
        ("customer_name", customer),
        ("came_in_on", came_in_on),
        ("next_time", "Ream the crosshead pin, fit the new bush"),
    ];
    let page = app.post("/jobs", &new).await;
    page.is(303);
    page.header("location")
        .trim_start_matches("/jobs/")
        .to_owned()
}

fn today() -> String {
    records::Stamp::now().day().iso().to_owned()
}

#[tokio::test]
async fn a_defect_put_off_to_the_next_sitting_comes_back_with_it() {
    let app = App::workshop().await;
    let number = job(&app, "Sandmartin", "T. Penrow", &today()).await;
    app.get("/").await.lacks("Come back");
    let new = [("what", "Lower cock stiff"), ("bar", "watch")];
    app.post(&format!("/jobs/{number}/defects"), &new)
        .await
        .is(303);
    let settle = [
        ("stands", "deferred"),
        ("deferred_until", "never"),
        ("deferred_to", "soon"),
        ("deferred_why", ""),
    ];
    app.post("/defects/1/settle", &settle)
        .await
        .is(422)
        .shows("3 entries are at fault");
    let settle = [
        ("stands", "deferred"),
        ("deferred_until", "sitting"),
        ("deferred_why", "no rings here"),
    ];
    app.post("/defects/1/settle", &settle).await.is(303);
    let bench = app.get("/").await;
    bench
        .shows("Promised for the next sitting")
        .shows("put off to the next sitting, at the latest")
        .shows("because no rings here");
    app.get(&format!("/jobs/{number}/sittings/new"))
        .await
        .shows("put off to this sitting: 1, Lower cock stiff");
    app.get(&format!("/jobs/{number}"))
        .await
        .shows("<strong>deferred</strong> to the next sitting");
    let sitting = [
        ("on_day", today()),
        ("minutes", "30".into()),
        ("done", "oiled it".into()),
    ];
    let sitting: Vec<(&str, &str)> = sitting.iter().map(|(n, v)| (*n, v.as_str())).collect();
    app.post(&format!("/jobs/{number}/sittings"), &sitting)
        .await
        .is(303);
    app.get("/")
        .await
        .shows("Come back")
        .lacks("Promised for the next sitting");
    app.get(&format!("/jobs/{number}"))
        .await
        .shows("has come back");
    // Cleared, it is gone from the bench.
    app.post("/defects/1/settle", &[("stands", "sitting 1")])
        .await
        .is(303);
    app.get("/").await.lacks("Lower cock stiff");
    app.stop().await;
}

#[tokio::test]
async fn forty_open_jobs_are_all_on_the_bench_and_long_lists_are_folded() {
    let app = App::workshop().await;
    for n in 1..=40 {
        let number = job(
            &app,
            &format!("Plant {n:02}"),
            &format!("Customer {n:02}"),
            "2026-01-02",
        )
        .await;
        let at = |what: &str| format!("/jobs/{number}/{what}");
        if n % 3 == 0 {
            let part = [
                ("name", "Gauge glass"),
                ("state", "on order"),
                ("supplier", "Bow Bearings"),
            ];
            app.post(&at("parts"), &part).await.is(303);
            app.post(&at("waits"), &[]).await.is(303);
        }
        if n % 4 == 0 {
            let defect = [("what", "Valve does not shut"), ("bar", "no steam")];
            app.post(&at("defects"), &defect).await.is(303);
        }
        if n % 5 == 0 {
            let put_off = [
                ("stands", "deferred"),
                ("deferred_until", "day"),
                ("deferred_to", "2026-01-09"),
                ("deferred_why", "no time"),
            ];
            app.post(
                &at("defects"),
                &[("what", "Paint chipped"), ("bar", "watch")],
            )
            .await
            .is(303);
            let defects = app.get(&format!("/jobs/{number}")).await;
            let id = defects
                .body
                .rsplit("href=\"/defects/")
                .next()
                .expect("a defect");
            let id = id.split('"').next().expect("its number");
            app.post(&format!("/defects/{id}/settle"), &put_off)
                .await
                .is(303);
        }
    }
    let bench = app.get("/").await;
    bench
        .is(200)
        .shows("40, by what they wait for")
        .shows("Waits for me")
        .shows("Waits for parts")
        .shows("Come back")
        .shows("Owed to customers");
    for n in 1..=40 {
        bench
            .shows(&format!("26-{n:03}"))
            .shows(&format!("Plant {n:02}"));
    }
    // Eight have come back, forty have heard nothing for long: six of each stand open.
    assert_eq!(bench.body.matches("put off to 9 Jan").count(), 8);
    bench
        .shows("<summary>2 more</summary>")
        .shows("34 more who heard nothing for long");
    assert_eq!(bench.body.matches("has heard nothing for").count(), 40);
    assert!(
        bench.body.len() < 120_000,
        "the bench is {} bytes",
        bench.body.len()
    );
    // One piece of news, and one fewer waits for it.
    app.post("/jobs/26-007/news", &[("said", "It runs.")])
        .await
        .is(303);
    app.get("/")
        .await
        .shows("33 more who heard nothing for long");
    app.stop().await;
}

#[tokio::test]
async fn a_promised_day_is_shown_when_it_is_near_or_gone() {
    let app = App::workshop().await;
    let number = job(&app, "Sandmartin", "T. Penrow", "2026-01-02").await;
    let change = |day: String| {
        vec![
            ("came_in_on", "2026-01-02".to_owned()),
            ("promised_on", day),
        ]
    };
    let now = records::Stamp::now();
    for (days, says) in [
        (30, None),
        (7, Some("in 7 d")),
        (0, Some("today")),
        (-3, Some("3 d over")),
    ] {
        let fields = change(now.plus_days(days).day().iso().to_owned());
        let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (*n, v.as_str())).collect();
        app.post(&format!("/jobs/{number}"), &fields).await.is(303);
        let bench = app.get("/").await;
        match says {
            Some(words) => bench.shows("promised for").shows(words),
            None => bench.lacks("promised for"),
        };
    }
    app.stop().await;
}

#[tokio::test]
async fn a_sitting_that_has_begun_stands_on_the_bench_until_it_is_put_down() {
    let app = App::one_job().await;
    app.get("/").await.lacks("At the bench");
    app.post("/jobs/26-001/sittings/begin", &[])
        .await
        .leads_to("/jobs/26-001#sittings");
    app.post("/jobs/26-001/sittings/begin", &[])
        .await
        .leads_to("/jobs/26-001#sittings");
    let bench = app.get("/").await;
    bench.shows("At the bench").shows("0 min, Wren Tarbet");
    assert_eq!(bench.body.matches("Put it down").count(), 1);
    app.get("/jobs/26-001")
        .await
        .shows("At the bench since")
        .lacks("Begin a sitting");
    // The minutes since then stand in the form, and what was typed stays when it is refused.
    app.get("/jobs/26-001/sittings/new")
        .await
        .shows("name=\"minutes\" value=\"0\"")
        .shows("this is the sitting that has begun");
    app.post(
        "/jobs/26-001/sittings",
        &[
            ("on_day", "2026-11-05"),
            ("minutes", "45"),
            ("done", ""),
            ("begun", "yes"),
        ],
    )
    .await
    .is(422)
    .shows("value=\"45\"")
    .shows("value=\"yes\" checked");
    // Another day's sitting leaves it running.
    let other = [
        ("on_day", "2026-11-04"),
        ("minutes", "20"),
        ("done", "soaked the glands"),
    ];
    app.post("/jobs/26-001/sittings", &other).await.is(303);
    app.get("/").await.shows("At the bench");
    let this = [
        ("on_day", "2026-11-05"),
        ("minutes", "45"),
        ("done", "packed them"),
        ("begun", "yes"),
    ];
    app.post("/jobs/26-001/sittings", &this).await.is(303);
    app.get("/").await.lacks("At the bench");
    app.get("/jobs/26-001")
        .await
        .shows("65 min")
        .shows("Begin a sitting");
    // One that was none is taken back.
    app.post("/jobs/26-001/sittings/begin", &[]).await.is(303);
    app.post("/withdraw/sitting-begun/2", &[("back", "/jobs/26-001")])
        .await
        .leads_to("/jobs/26-001");
    app.get("/").await.lacks("At the bench");
    app.stop().await;
}

#[tokio::test]
async fn a_bar_stays_on_the_bench_while_its_plant_is_here_and_is_one_line_when_it_has_gone_home() {
    let app = App::one_job().await;
    for number in 1..=3 {
        let defect = [("what", format!("The shell weeps at stay {number}"))];
        let defect = [("what", defect[0].1.as_str()), ("bar", "no steam")];
        app.post("/jobs/26-001/defects", &defect).await.is(303);
    }
    let state = [
        ("what", "Valve off, bushing blanked"),
        ("how", "blanked"),
        ("bar", "no steam"),
        ("ends_it", "the valve back on"),
    ];
    app.post("/jobs/26-001/states", &state).await.is(303);
    app.get("/")
        .await
        .shows("The shell weeps at stay 1")
        .shows("The shell weeps at stay 3")
        .shows("ends with: the valve back on")
        .lacks("plants gone home with a no-steam bar");
    app.get("/no-steam").await.shows("None is written down");
    let home = [("stands", "gone home unrepaired")];
    app.post("/jobs/26-001/stands", &home).await.is(303);
    app.get("/")
        .await
        .shows("plants gone home with a no-steam bar</a>")
        .shows("href=\"/no-steam\"")
        .lacks("The shell weeps")
        .lacks("the valve back on");
    app.get("/no-steam")
        .await
        .shows("The shell weeps at stay 1")
        .shows("The shell weeps at stay 3")
        .shows("ends with: the valve back on");
    // Booked in again it is here, and so is every bar that it went home with.
    let again = [("plant", "1"), ("came_in_on", "2026-11-20")];
    app.post("/jobs", &again).await.leads_to("/jobs/26-002");
    app.get("/")
        .await
        .shows("The shell weeps at stay 1")
        .shows("The shell weeps at stay 3")
        .shows("ends with: the valve back on")
        .lacks("plants gone home with a no-steam bar");
    app.get("/no-steam").await.shows("None is written down");
    // Two open jobs of it show each bar once.
    app.post("/jobs", &again).await.leads_to("/jobs/26-003");
    let bench = app.get("/").await;
    let shown = bench.body.matches("The shell weeps at stay 2").count();
    assert_eq!(shown, 1);
    app.stop().await;
}

#[tokio::test]
async fn what_went_home_barred_goes_on_behind_a_hundred() {
    let app = App::one_job().await;
    let weeps = |n: usize| format!("weeps, place {n:03}.");
    for number in 1..=130 {
        let what = weeps(number);
        let defect = [("what", what.as_str()), ("bar", "no steam")];
        app.post("/jobs/26-001/defects", &defect).await.is(303);
    }
    // However many there are, none of a plant that is here is left off.
    let bench = app.get("/").await;
    for number in 1..=130 {
        bench.shows(&weeps(number));
    }
    let home = [("stands", "gone home unrepaired")];
    app.post("/jobs/26-001/stands", &home).await.is(303);
    let first = app.get("/no-steam").await;
    let on = first
        .between("<a class=\"key plain\" href=\"", "\">Older ones")
        .expect("it goes on")
        .replace("&#38;", "&");
    let second = app.get(&on).await;
    for number in 1..=130 {
        let what = weeps(number);
        let times = first.body.matches(&what).count() + second.body.matches(&what).count();
        assert_eq!(times, 1, "{what}");
    }
    second.shows("The newest").lacks("Older ones");
    app.stop().await;
}

#[tokio::test]
async fn what_bars_steam_leads_to_where_it_is_dealt_with_and_says_since_when() {
    let app = App::one_job().await;
    let defect = [("what", "Seam weeps"), ("bar", "no steam")];
    app.post("/jobs/26-001/defects", &defect).await.is(303);
    let state = [
        ("what", "Plug in a bush"),
        ("how", "blanked"),
        ("bar", "no steam"),
        ("ends_it", "valve back"),
    ];
    app.post("/jobs/26-001/states", &state).await.is(303);
    app.get("/")
        .await
        .shows("<a href=\"/defects/1\">Seam weeps</a> <span class=\"caption\">since ")
        .shows("<a href=\"/states/1\">Plug in a bush, since ");
}
