//! The program's own promises: its commands end with the status they should, and its licences are all told.

use std::path::Path;

use acceptance::App;
use clap::Parser;

async fn status(words: &[&str]) -> u8 {
    let arguments = app::Arguments::try_parse_from([&["gaugeglass"], words].concat())
        .expect("the words are known");
    app::run(arguments)
        .await
        .map_or_else(|refusal| refusal.status, |()| 0)
}

#[tokio::test]
async fn each_command_ends_with_its_status() {
    let app = App::spawn().await;
    app.post("/start/example", &[]).await.leads_to("/");
    let folder = app
        .store()
        .folder()
        .to_str()
        .expect("a plain path")
        .to_owned();
    assert_eq!(status(&["verify", "--data", &folder]).await, 0);
    assert_eq!(status(&["verify", "26-003/2", "--data", &folder]).await, 0);
    assert_eq!(status(&["verify", "26-999/1", "--data", &folder]).await, 2);
    assert_eq!(status(&["verify", "--data", "/nothing/here"]).await, 2);
    assert_eq!(status(&["backup", "--data", &folder]).await, 0);
    assert_eq!(
        status(&["serve", "--data", &folder, "--listen", "127.0.0.1:0"]).await,
        3
    );
    assert_eq!(status(&["--lan", "--data", &folder]).await, 3);
    let kept = app.stop().await.expect("the folder");
    assert_eq!(
        status(&["--lan", "--data", &folder]).await,
        2,
        "no pass phrase is set"
    );
    let newest = records::backup::newest(&kept.path().join("backups")).expect("a backup");
    let other = tempfile::tempdir().expect("a folder");
    let into = other
        .path()
        .join("new")
        .to_str()
        .expect("a plain path")
        .to_owned();
    assert_eq!(
        status(&[
            "restore",
            newest.to_str().expect("a plain path"),
            "--data",
            &into
        ])
        .await,
        0
    );
    assert_eq!(
        status(&[
            "restore",
            newest.to_str().expect("a plain path"),
            "--data",
            &into
        ])
        .await,
        2
    );
    let restored = App::on(Path::new(&into)).await;
    restored.get("/jobs/26-003").await.is(200).shows("Marigold");
    restored.stop().await;
    let file = records::file_of(Path::new(&into));
    let mut bytes = std::fs::read(&file).expect("the file");
    let at = bytes
        .windows(8)
        .position(|w| w == b"fire-lit")
        .expect("an entry in the file");
    bytes[at] = b'F';
    std::fs::write(&file, bytes).expect("the file is written");
    assert_eq!(status(&["verify", "--data", &into]).await, 5);
    assert_eq!(status(&["doctor", "--data", &into]).await, 5);
}

#[test]
fn unknown_words_are_refused() {
    for words in [["gaugeglass", "sreve"], ["gaugeglass", "--dtaa"]] {
        assert_eq!(
            app::Arguments::try_parse_from(words)
                .expect_err("unknown")
                .exit_code(),
            2
        );
    }
}

#[test]
fn every_package_that_is_locked_is_on_the_list_of_licences() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let lock = std::fs::read_to_string(root.join("Cargo.lock")).expect("Cargo.lock");
    let list = std::fs::read_to_string(root.join("crates/app/licences.txt")).expect("the list");
    let mut count = 0;
    for package in lock
        .split("[[package]]")
        .skip(1)
        .filter(|p| p.contains("source = "))
    {
        let value = |key: &str| {
            package
                .lines()
                .find_map(|l| {
                    l.strip_prefix(key)?
                        .trim()
                        .strip_prefix("= \"")?
                        .strip_suffix('"')
                })
                .expect("a value")
        };
        let line = format!("{} {}: ", value("name"), value("version"));
        let licence = list
            .lines()
            .find_map(|l| l.strip_prefix(&line))
            .unwrap_or_else(|| panic!("{line} is not on the list"));
        assert!(
            !licence.trim().is_empty() && !licence.contains("None"),
            "{line} has no licence"
        );
        count += 1;
    }
    assert!(
        count > 100,
        "only {count} packages were found in Cargo.lock"
    );
}
