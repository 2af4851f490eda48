//! The job book, as stories.

use acceptance::App;

#[tokio::test]
async fn a_new_folder_offers_an_empty_workshop_or_the_example() {
    let app = App::spawn().await;
    app.get("/")
        .await
        .is(200)
        .shows("Begin with an empty workshop")
        .shows("Look round in the example workshop");
    app.post("/start/empty", &[("name", " "), ("owner", "")])
        .await
        .is(422)
        .shows("2 entries are at fault")
        .shows("Give the owner");
    app.post(
        "/start/empty",
        &[("name", "Hazel <Row>"), ("owner", "Wren")],
    )
    .await
    .leads_to("/");
    app.get("/")
        .await
        .is(200)
        .shows("Hazel &#60;Row&#62;")
        .shows("No job is open");
    app.post("/start/example", &[])
        .await
        .is(409)
        .shows("holds a workshop already");
}

#[tokio::test]
async fn the_example_workshop_is_looked_round_page_by_page() {
    let app = App::spawn().await;
    app.post("/start/example", &[]).await.leads_to("/");
    let bench = app.get("/").await;
    bench
        .is(200)
        .shows("all invented")
        .shows("Waits for me")
        .shows("Waits for parts")
        .shows("Waits for inspector")
        .shows("for now");
    app.get("/jobs")
        .await
        .is(200)
        .shows("gone home")
        .shows("ready");
    app.get("/plants").await.is(200).shows("Marigold");
    for n in 1..=6 {
        app.get(&format!("/jobs/26-{n:03}"))
            .await
            .is(200)
            .shows("may it be steamed?")
            .shows("certifies nothing");
        app.get(&format!("/plants/{n}")).await.is(200);
        app.get(&format!("/customers/{n}")).await.is(200);
    }
    let launch = app.get("/jobs/26-003").await;
    launch
        .shows("Check valve passes back")
        .shows("not proven")
        .shows("A second water glass")
        .shows("tin 14, shelf B");
}

#[tokio::test]
async fn a_job_is_booked_in_with_its_plant_and_customer_and_gets_its_number() {
    let app = App::one_job().await;
    app.get("/jobs/26-001")
        .await
        .is(200)
        .shows("Sandmartin")
        .shows("T. Penrow")
        .shows("It dies under load")
        .shows("3 Nov 2026");
    let again = [
        ("plant", "1"),
        ("came_in_on", "2026-12-01"),
        ("estimate", "310.00"),
    ];
    app.post("/jobs", &again).await.leads_to("/jobs/26-002");
    app.get("/jobs/26-002").await.shows("£310.00");
    app.get("/plants/1").await.shows("26-001").shows("26-002");
    app.get("/").await.shows("26-001").shows("26-002");
}

#[tokio::test]
async fn a_refused_form_keeps_what_was_typed_and_shows_every_fault_beside_its_field() {
    let app = App::workshop().await;
    let typed = [
        ("plant_name", ""),
        ("customer_name", ""),
        ("words", "It <hisses>"),
        ("came_in_on", "soon"),
        ("estimate", "3,200"),
    ];
    let page = app.post("/jobs", &typed).await;
    page.is(422)
        .shows("4 entries are at fault")
        .shows("It &#60;hisses&#62;")
        .shows("value=\"soon\"")
        .shows("value=\"3,200\"");
    for field in ["plant_name", "customer_name", "came_in_on", "estimate"] {
        page.shows(&format!("href=\"#{field}\""))
            .shows(&format!("id=\"{field}-says\""))
            .shows(&format!("aria-describedby=\"{field}-hint {field}-says\""));
    }
    assert!(records::jobs::open(app.store()).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_double_press_is_one_job_and_the_key_with_other_content_is_refused() {
    let app = App::workshop().await;
    let key = records::fresh_key();
    let job = |name| {
        [
            ("plant_name", name),
            ("customer_name", "T. Penrow"),
            ("came_in_on", "2026-11-03"),
            ("key", key.as_str()),
        ]
    };
    for _ in 0..3 {
        app.post("/jobs", &job("Sandmartin"))
            .await
            .leads_to("/jobs/26-001");
    }
    app.post("/jobs", &job("Other"))
        .await
        .is(422)
        .shows("nothing was overwritten");
    assert_eq!(records::jobs::open(app.store()).await.unwrap().len(), 1);
    app.post("/jobs", &[("key", "short")])
        .await
        .is(422)
        .shows("hidden key");
}

#[tokio::test]
async fn what_is_written_of_a_job_is_seen_changed_withdrawn_and_put_back() {
    let app = App::one_job().await;
    let sitting = [
        ("on_day", "2026-11-05"),
        ("minutes", "110"),
        ("done", "Stripped."),
        ("next_time", "lap the valve"),
    ];
    app.post("/jobs/26-001/sittings", &sitting)
        .await
        .leads_to("/jobs/26-001#sittings");
    let defect = [
        ("what", "Stop valve passes"),
        ("bar", "no steam"),
        ("sitting", "1"),
        ("to_do", "lap it"),
    ];
    app.post("/jobs/26-001/defects", &defect)
        .await
        .leads_to("/jobs/26-001#defects");
    let part = [
        ("name", "Yarn"),
        ("state", "on order"),
        ("defect", "1"),
        ("price", "1.10"),
    ];
    app.post("/jobs/26-001/parts", &part)
        .await
        .leads_to("/jobs/26-001#parts");
    let state = [
        ("what", "plug in the bush"),
        ("how", "blanked"),
        ("bar", "no steam"),
        ("ends_it", "valve back"),
    ];
    app.post("/jobs/26-001/states", &state)
        .await
        .leads_to("/jobs/26-001#for-now");
    let variation = [
        ("what", "second glass"),
        ("price", "74.00"),
        ("asked", "yes"),
    ];
    app.post("/jobs/26-001/variations", &variation)
        .await
        .leads_to("/jobs/26-001#money");
    app.post(
        "/jobs/26-001/pieces",
        &[("what", "own gauge"), ("lies", "tin 14")],
    )
    .await
    .leads_to("/jobs/26-001#for-now");
    let job = app.get("/jobs/26-001").await;
    for words in [
        "Stripped.",
        "lap the valve",
        "Stop valve passes",
        "Yarn",
        "plug in the bush",
        "second glass",
        "tin 14",
        "110 min",
        "£1.10",
        "customer&#39;s word since",
    ] {
        job.shows(words);
    }
    app.get("/")
        .await
        .shows("Stop valve passes")
        .shows("plug in the bush");
    for (form, change) in [
        (
            "/defects/1",
            [
                ("what", "Stop valve passes badly"),
                ("bar", "watch"),
                ("to_do", ""),
            ]
            .as_slice(),
        ),
        (
            "/sittings/1",
            &[
                ("on_day", "2026-11-06"),
                ("minutes", "90"),
                ("done", "Stripped again."),
            ],
        ),
        ("/parts/1", &[("name", "Yarn"), ("state", "in hand")]),
        (
            "/states/1",
            &[
                ("what", "plug"),
                ("how", "blanked"),
                ("bar", "no handover"),
                ("ends_it", "valve back"),
            ],
        ),
        (
            "/variations/1",
            &[("what", "a second glass"), ("price", "80.00")],
        ),
    ] {
        app.get(form).await.is(200);
        app.post(form, change).await.is(303);
        app.post(form, &[("price", "x"), ("minutes", "many")])
            .await
            .is(422)
            .shows("at fault");
    }
    app.get("/jobs/26-001")
        .await
        .shows("Stripped again.")
        .shows("passes badly")
        .shows("<s>no steam</s>")
        .shows("<strong>watch</strong>");
    app.post("/withdraw/defect/1", &[("back", "/jobs/26-001")])
        .await
        .leads_to("/jobs/26-001");
    app.get("/defects/1").await.shows("Put it back");
    app.post(
        "/withdraw/defect/1",
        &[("undo", "yes"), ("back", "//evil.test/")],
    )
    .await
    .leads_to("/");
    app.get("/defects/1").await.shows("Withdraw it");
}

#[tokio::test]
async fn a_defect_is_put_off_only_with_day_and_reason_and_cleared_only_by_something() {
    let app = App::one_job().await;
    app.post(
        "/jobs/26-001/defects",
        &[("what", "Ram weeps"), ("bar", "no handover")],
    )
    .await
    .is(303);
    app.post("/defects/1/settle", &[("stands", "deferred")])
        .await
        .is(422)
        .shows("Say why it is put off")
        .shows("Ram weeps");
    app.post("/defects/1/settle", &[("stands", "cleared")])
        .await
        .is(422);
    let put_off = [
        ("stands", "deferred"),
        ("deferred_to", "2026-12-12"),
        ("deferred_why", "no ring"),
    ];
    app.post("/defects/1/settle", &put_off)
        .await
        .leads_to("/jobs/26-001#defects");
    app.get("/jobs/26-001")
        .await
        .shows("to 12 Dec, because no ring");
    app.post("/jobs/26-001/stands", &[("stands", "gone home")])
        .await
        .is(409)
        .shows("forbid handover");
    app.post(
        "/jobs/26-001/sittings",
        &[
            ("on_day", "2026-11-05"),
            ("minutes", "5"),
            ("done", "Repacked."),
        ],
    )
    .await
    .is(303);
    app.post("/defects/1/settle", &[("stands", "sitting 1")])
        .await
        .is(303);
    app.post("/jobs/26-001/stands", &[("stands", "gone home")])
        .await
        .leads_to("/jobs/26-001");
    app.get("/jobs").await.shows("gone home");
}

#[tokio::test]
async fn a_boilers_particulars_are_kept_as_typed_and_copied_where_a_trial_is_prepared() {
    let app = App::one_job().await;
    let boiler = [
        ("name", "boiler"),
        ("working_pressure_bar", "4,00"),
        ("shell_material", "copper"),
        ("water_space.calibrated", "0 640\n10 742"),
    ];
    app.post("/plants/1/components?kind=boiler", &boiler)
        .await
        .leads_to("/plants/1");
    app.get("/plants/1")
        .await
        .shows("4.00 bar")
        .shows("at 0 mm: 640 ml; at 10 mm: 742 ml");
    app.get("/components/1").await.shows("value=\"4.00\"");
    let bad = [
        ("name", ""),
        ("working_pressure_bar", "4 bar"),
        ("shell_material", "tin"),
    ];
    app.post("/components/1", &bad)
        .await
        .is(422)
        .shows("3 entries are at fault")
        .shows("value=\"4 bar\"");
    app.get("/plants/1/components/new?kind=anvil").await.is(422);
    app.get("/jobs/26-001/trials/new")
        .await
        .is(200)
        .shows("value=\"4.00\"");
}

#[tokio::test]
async fn a_sitting_leads_to_its_clip_and_to_nothing_but_a_web_address() {
    let app = App::one_job().await;
    let sitting = |clip: &'static str| {
        [
            ("on_day", "2026-11-05"),
            ("minutes", "5"),
            ("done", "Ran it on air"),
            ("clip", clip),
        ]
    };
    for clip in ["javascript:alert(1)", "clips.example/7", "https://"] {
        app.post("/jobs/26-001/sittings", &sitting(clip))
            .await
            .is(422)
            .shows("begins with http:// or https://")
            .shows(&format!("value=\"{clip}\""));
    }
    app.post("/jobs/26-001/sittings", &sitting("https://clips.example/7"))
        .await
        .is(303);
    app.get("/jobs/26-001")
        .await
        .shows("href=\"https://clips.example/7\" rel=\"noreferrer\">a clip of it</a>");
    app.get("/sittings/1")
        .await
        .shows("value=\"https://clips.example/7\"");
}
