//! The data folder seen from outside: one process, no newer data, stopped and started again.

use acceptance::App;

fn config(folder: &std::path::Path) -> app::Config {
    app::Config {
        data: folder.to_owned(),
        listen: ([127, 0, 0, 1], 0).into(),
        lan: false,
        https: false,
    }
}

#[tokio::test]
async fn a_second_process_is_refused_and_a_stopped_workshop_opens_again() {
    let app = App::one_job().await;
    let refused = app::build(config(app.store().folder()))
        .await
        .expect_err("two at once");
    assert_eq!(refused.status, 3);
    let folder = app.stop().await.expect("the folder");
    for left in ["gaugeglass.sqlite-wal", "gaugeglass.sqlite-shm"] {
        assert!(!folder.path().join(left).exists(), "{left} is left behind");
    }
    let again = App::on(folder.path()).await;
    again.get("/jobs/26-001").await.is(200).shows("Sandmartin");
    again.stop().await;
}

#[tokio::test]
async fn an_address_that_others_reach_is_refused_while_there_is_no_pass_phrase() {
    let folder = tempfile::tempdir().expect("a folder");
    let open = app::Config {
        data: folder.path().to_owned(),
        listen: ([0, 0, 0, 0], 0).into(),
        lan: false,
        https: false,
    };
    assert_eq!(
        app::build(open)
            .await
            .expect_err("open to the network")
            .status,
        2
    );
}

#[tokio::test]
async fn while_nothing_is_saved_every_page_says_so_and_saving_comes_back_only_when_it_is_good() {
    let app = App::one_job().await;
    let failing: Result<(), _> = app
        .store()
        .write("test", |_| {
            Box::pin(async { Err(records::Error::Damaged("a page of the disk".into())) })
        })
        .await;
    assert!(failing.is_err());
    for page in ["/", "/jobs", "/jobs/26-001", "/plants"] {
        app.get(page).await.is(200).shows("NOT SAVING");
    }
    tokio::time::sleep(std::time::Duration::from_millis(1200)).await;
    app.post("/try-saving", &[]).await.leads_to("/");
    app.get("/").await.lacks("NOT SAVING");
    app.post("/customers", &[("name", "After")]).await.is(303);
}
