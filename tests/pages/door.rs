//! The pass phrase: who comes in, under whose name things are kept, and what stays shut.

use acceptance::{App, Page, Request};

const PHRASE: &str = "three copper kettles";

/// A workshop with one job and a pass phrase, served behind it.
async fn behind_a_phrase() -> (App, tempfile::TempDir) {
    let app = App::one_job().await;
    let twice = [("phrase", PHRASE), ("again", PHRASE)];
    app.post("/workshop/pass-phrase", &twice)
        .await
        .leads_to("/workshop");
    let folder = app.stop().await.expect("the folder");
    (App::behind_its_door(folder.path()).await, folder)
}

async fn comes_in(app: &App, who: &str, phrase: &str) -> Page {
    app.post(
        "/login",
        &[("who", who), ("phrase", phrase), ("next", "/jobs/26-001")],
    )
    .await
}

/// The cookie that an answer sets, as a browser sends it back.
fn cookie(page: &Page) -> String {
    page.header("set-cookie")
        .split(';')
        .next()
        .unwrap_or_default()
        .to_owned()
}

async fn with_cookie(app: &App, path: &str, cookie: &str) -> Page {
    app.send(Request::new("GET", path).header("Cookie", cookie))
        .await
}

#[tokio::test]
async fn without_the_pass_phrase_every_page_shows_the_door_and_nothing_else() {
    let (app, _folder) = behind_a_phrase().await;
    for path in [
        "/",
        "/jobs",
        "/jobs/26-001",
        "/trials",
        "/plants",
        "/workshop",
        "/no-such-page",
    ] {
        app.get(path)
            .await
            .is(401)
            .shows("Come in")
            .lacks("Sandmartin");
    }
    app.post("/jobs", &[("plant_name", "x")]).await.is(401);
    app.get("/login").await.is(200);
}

#[tokio::test]
async fn with_it_one_is_in_under_ones_own_name_until_one_goes() {
    let (app, _folder) = behind_a_phrase().await;
    comes_in(&app, "Piet", "three copper kettle")
        .await
        .is(422)
        .shows("not the pass phrase");
    comes_in(&app, " ", PHRASE)
        .await
        .is(422)
        .shows("Type your name");
    let good = comes_in(&app, "Piet", PHRASE).await;
    good.leads_to("/jobs/26-001");
    let set = good.header("set-cookie");
    assert!(
        set.contains("HttpOnly") && set.contains("SameSite=Lax"),
        "{set}"
    );
    let mine = cookie(&good);
    with_cookie(&app, "/jobs/26-001", &mine)
        .await
        .is(200)
        .shows("Sandmartin");
    let key = records::fresh_key();
    let origin = format!("http://{}", app.host());
    let sitting = [
        ("key", key.as_str()),
        ("on_day", "2026-11-20"),
        ("minutes", "30"),
        ("done", "Looked"),
    ];
    let post = |origin: &str| {
        Request::new("POST", "/jobs/26-001/sittings")
            .header("Cookie", &mine)
            .header("Origin", origin)
            .form(&sitting)
    };
    app.send(post("http://evil.test")).await.is(403);
    app.send(post(&origin)).await.is(303);
    with_cookie(&app, "/jobs/26-001", &mine).await.shows("Piet");
    let out = Request::new("POST", "/logout")
        .header("Cookie", &mine)
        .header("Origin", &origin);
    app.send(out).await.leads_to("/login");
    with_cookie(&app, "/jobs/26-001", &mine).await.is(401);
}

#[tokio::test]
async fn a_session_that_the_owner_ends_is_over_at_the_next_request() {
    let (app, _folder) = behind_a_phrase().await;
    let (lost, owner) = (
        comes_in(&app, "Lost phone", PHRASE).await,
        comes_in(&app, "Wren", PHRASE).await,
    );
    let (lost, owner) = (cookie(&lost), cookie(&owner));
    let sheet = with_cookie(&app, "/workshop", &owner).await;
    sheet.shows("Lost phone");
    let key = records::fresh_key();
    let end = Request::new("POST", "/workshop/sessions/1/end")
        .header("Cookie", &owner)
        .header("Origin", &format!("http://{}", app.host()))
        .form(&[("key", &key)]);
    app.send(end).await.leads_to("/workshop");
    with_cookie(&app, "/", &lost).await.is(401);
    with_cookie(&app, "/", &owner).await.is(200);
}

#[tokio::test]
async fn guessing_is_slowed_and_never_locks_out_who_is_in() {
    let (app, _folder) = behind_a_phrase().await;
    let mine = cookie(&comes_in(&app, "Wren", PHRASE).await);
    let mut refused = 0;
    for n in 0..8 {
        let page = comes_in(&app, "Guest", &format!("wrong words {n}")).await;
        refused += u32::from(page.status == 429);
    }
    assert!(refused >= 2, "{refused} of 8 tries were told to wait");
    with_cookie(&app, "/", &mine).await.is(200);
}

#[tokio::test]
async fn the_network_is_not_served_without_a_pass_phrase() {
    let app = App::one_job().await;
    let folder = app.stop().await.expect("the folder");
    let config = app::Config {
        data: folder.path().to_owned(),
        listen: ([0, 0, 0, 0], 0).into(),
        lan: true,
        https: false,
    };
    let refusal = app::build(config).await.expect_err("no pass phrase is set");
    assert_eq!(refusal.status, 2);
    assert!(refusal.says.contains("/workshop"), "{refusal}");
}

#[tokio::test]
async fn on_the_network_it_answers_to_its_addresses_and_to_no_other_name() {
    let (app, folder) = behind_a_phrase().await;
    app.stop().await;
    let config = app::Config {
        data: folder.path().to_owned(),
        listen: ([0, 0, 0, 0], 0).into(),
        lan: true,
        https: false,
    };
    let built = app::build(config).await.expect("it starts");
    let port = built.address().port();
    assert!(
        built.hosts().contains(&format!("127.0.0.1:{port}")),
        "{:?}",
        built.hosts()
    );
    let (stop, stopped) = tokio::sync::oneshot::channel::<()>();
    let running = tokio::spawn(built.run_until(async {
        let _ = stopped.await;
    }));
    let here = ([127, 0, 0, 1], port).into();
    Request::new("GET", "/login").send(here).await.is(200);
    Request::new("GET", "/login")
        .host(&format!("evil.test:{port}"))
        .send(here)
        .await
        .is(421);
    let _ = stop.send(());
    running.await.expect("it ends").expect("it ends well");
}

#[tokio::test]
async fn a_new_pass_phrase_is_long_enough_typed_twice_and_ends_every_session() {
    let (app, folder) = behind_a_phrase().await;
    let mine = cookie(&comes_in(&app, "Wren", PHRASE).await);
    let set = |fields: &[(&str, &str)]| {
        let key = records::fresh_key();
        let mut all = vec![("key", key.as_str())];
        all.extend_from_slice(fields);
        Request::new("POST", "/workshop/pass-phrase")
            .header("Cookie", &mine)
            .header("Origin", &format!("http://{}", app.host()))
            .form(&all)
    };
    app.send(set(&[
        ("now", PHRASE),
        ("phrase", "short"),
        ("again", "short"),
    ]))
    .await
    .is(422)
    .shows("too few");
    let other = "four brass lanterns";
    app.send(set(&[("now", PHRASE), ("phrase", other), ("again", "x")]))
        .await
        .is(422)
        .shows("not the same");
    app.send(set(&[
        ("now", "wrong"),
        ("phrase", other),
        ("again", other),
    ]))
    .await
    .is(422)
    .shows("set now");
    app.send(set(&[("now", PHRASE), ("phrase", other), ("again", other)]))
        .await
        .is(303);
    with_cookie(&app, "/", &mine).await.is(401);
    comes_in(&app, "Wren", PHRASE).await.is(422);
    comes_in(&app, "Wren", other).await.is(303);
    app.stop().await;
    let bytes = std::fs::read(records::file_of(folder.path())).expect("the file");
    let there = |words: &str| bytes.windows(words.len()).any(|w| w == words.as_bytes());
    assert!(!there(other), "the phrase itself is not kept");
    assert!(
        !there(mine.split('=').nth(1).expect("a token")),
        "nor is the cookie"
    );
}

#[tokio::test]
async fn the_certificate_is_explained_to_anybody_and_is_there_only_where_https_is_served() {
    let (app, _folder) = behind_a_phrase().await;
    app.get("/certificate").await.is(200).shows("--lan --https");
    app.get("/certificate/gaugeglass.pem").await.is(404);
}

#[tokio::test]
async fn an_older_hash_is_made_anew_as_somebody_comes_in_and_nobody_is_sent_out() {
    let (app, _folder) = behind_a_phrase().await;
    let mine = cookie(&comes_in(&app, "Wren", PHRASE).await);
    // The same phrase, hashed with less memory than is advised today.
    let older = argon2::Params::new(8 * 1024, 1, 1, None).expect("settings");
    let hasher = argon2::Argon2::new(argon2::Algorithm::Argon2id, argon2::Version::V0x13, older);
    let hash = argon2::PasswordHasher::hash_password(&hasher, PHRASE.as_bytes())
        .expect("a hash")
        .to_string();
    let kept = hash.clone();
    let write = app.store().write("a test", move |w| {
        Box::pin(async move { records::workshop::renew_pass_phrase(w, &kept).await })
    });
    write.await.expect("set");
    comes_in(&app, "Piet", PHRASE).await.is(303);
    let now = records::workshop::pass_phrase(app.store())
        .await
        .expect("read")
        .expect("set");
    assert!(now != hash && now.contains("m=19456,t=2,p=1"), "{now}");
    comes_in(&app, "Piet", PHRASE).await.is(303);
    with_cookie(&app, "/jobs/26-001", &mine).await.is(200);
}
