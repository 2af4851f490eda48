//! House rules as tests: what a reader of the code may rely on.

#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};

/// Longest Rust file, lines.
const LONGEST: usize = 400;
/// Longest template, lines.
const LONGEST_TEMPLATE: usize = 150;

fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .unwrap()
        .to_owned()
}

/// Every file below a folder of the repository whose name ends so.
fn files(under: &str, ending: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut folders = vec![top().join(under)];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if path.is_dir() && !matches!(name.as_str(), "target" | "node_modules" | ".tools") {
                folders.push(path);
            } else if name.ends_with(ending) {
                let text = std::fs::read_to_string(&path).unwrap();
                let place = path
                    .strip_prefix(top())
                    .unwrap()
                    .to_string_lossy()
                    .into_owned();
                found.push((place, text));
            }
        }
    }
    found.sort();
    found
}

fn rust() -> Vec<(String, String)> {
    [files("crates", ".rs"), files("tests", ".rs")].concat()
}

/// Lines of a file that a rule speaks against, as `place:line: text`.
fn lines(files: &[(String, String)], against: impl Fn(&str) -> bool) -> Vec<String> {
    let mut found = Vec::new();
    for (place, text) in files {
        for (n, line) in text.lines().enumerate().filter(|(_, line)| against(line)) {
            found.push(format!("{place}:{}: {}", n + 1, line.trim()));
        }
    }
    found
}

#[test]
fn no_file_is_too_long_to_be_read() {
    let long = |all: Vec<(String, String)>, most: usize| -> Vec<String> {
        let over = all
            .into_iter()
            .map(|(place, text)| (place, text.lines().count()));
        over.filter(|(_, n)| *n > most)
            .map(|(place, n)| format!("{place}: {n} lines"))
            .collect()
    };
    assert_eq!(long(rust(), LONGEST), [""; 0]);
    assert_eq!(long(files("templates", ".html"), LONGEST_TEMPLATE), [""; 0]);
    assert_eq!(long(files("static", ".css"), LONGEST), [""; 0]);
    assert_eq!(long(files("static", ".js"), LONGEST), [""; 0]);
}

#[test]
fn no_page_asks_anything_off_this_machine() {
    let pages = [
        files("templates", ".html"),
        files("static", ".css"),
        files("static", ".js"),
    ]
    .concat();
    let far = lines(&pages, |line| {
        (line.contains("http://") || line.contains("https://"))
            && !line.contains("www.w3.org/2000/svg")
    });
    assert_eq!(far, [""; 0]);
}

#[test]
fn no_template_carries_script_or_style_in_its_marks() {
    let inline = lines(&files("templates", ".html"), |line| {
        let handler = line.split(" on").skip(1).any(|rest| {
            let name: String = rest.chars().take_while(char::is_ascii_lowercase).collect();
            !name.is_empty() && rest[name.len()..].starts_with("=\"")
        });
        handler
            || line.contains(" style=")
            || line.contains("<style")
            || line.contains("javascript:")
    });
    assert_eq!(inline, [""; 0]);
    let scripts = lines(&files("templates", ".html"), |line| {
        line.contains("<script")
            && !line.contains("src=")
            && !line.contains("type=\"application/json\"")
    });
    assert_eq!(scripts, [""; 0]);
}

#[test]
fn only_the_writer_begins_a_transaction() {
    let with_data = [
        files("crates/records", ".rs"),
        files("crates/web", ".rs"),
        files("crates/app", ".rs"),
    ]
    .concat();
    let begins = lines(&with_data, |line| {
        line.contains(".begin(") || line.contains("begin_with(")
    });
    assert_eq!(
        begins, [""; 0],
        "the writer sends its own `begin immediate`"
    );
    let word = lines(&files("crates", ".rs"), |line| {
        line.to_ascii_lowercase().contains("\"begin immediate")
    });
    assert!(
        word.iter()
            .all(|l| l.starts_with("crates/records/src/writer.rs")),
        "{word:?}"
    );
}

#[test]
fn each_library_stays_in_its_house() {
    let uses = |crate_name: &str, library: &str| {
        let all = files(&format!("crates/{crate_name}"), ".rs");
        lines(&all, |line| line.contains(&format!("{library}::")))
    };
    for (library, home) in [
        ("sqlx", "records"),
        ("axum", "web"),
        ("askama", "web"),
        ("seuif97", "calc"),
    ] {
        for crate_name in ["calc", "triallog", "papers", "records", "web"] {
            if crate_name != home {
                assert_eq!(
                    uses(crate_name, library),
                    [""; 0],
                    "{library} in {crate_name}"
                );
            }
        }
    }
    assert_eq!(uses("calc", "serde"), [""; 0]);
    let clock = lines(&files("crates/calc", ".rs"), |l| {
        l.contains("SystemTime") || l.contains("Instant::now")
    });
    assert_eq!(clock, [""; 0], "calc has no clock");
}

#[test]
fn countdowns_are_reckoned_from_stamps_and_never_counted_down() {
    let counted = lines(&files("static", ".js"), |line| {
        line.contains("-= 1") || line.contains("--;") || line.contains("+= 1000")
    });
    assert_eq!(counted, [""; 0]);
}

#[test]
fn nothing_is_left_open_and_no_test_is_switched_off() {
    let this = "tests/tidy/main.rs";
    let open = lines(&rust(), |line| {
        ["todo!(", "unimplemented!(", "FIXME", "#[ignore"]
            .iter()
            .any(|mark| line.contains(mark))
    });
    let elsewhere: Vec<_> = open.into_iter().filter(|l| !l.starts_with(this)).collect();
    assert_eq!(elsewhere, [""; 0]);
}

#[test]
fn every_module_is_on_the_code_map() {
    let map = std::fs::read_to_string(top().join("DEVELOPERS.md")).unwrap();
    let mut missing = Vec::new();
    for (place, _) in files("crates", ".rs") {
        let Some((krate, rest)) = place
            .strip_prefix("crates/")
            .and_then(|p| p.split_once("/src/"))
        else {
            continue;
        };
        let module = rest.split('/').next().unwrap().trim_end_matches(".rs");
        let on_map = map.contains(&format!("`{krate}::{module}`"));
        if !matches!(module, "lib" | "main" | "tests") && !on_map {
            missing.push(format!("{krate}::{module}"));
        }
    }
    missing.dedup();
    assert_eq!(missing, [""; 0]);
}

#[test]
fn every_public_reckoning_names_its_source() {
    let mut bare = Vec::new();
    for (place, text) in files("crates/calc", ".rs") {
        let mut docs = String::new();
        for line in text.lines() {
            let line = line.trim_start();
            if let Some(doc) = line.strip_prefix("///") {
                docs.push_str(doc);
                docs.push('\n');
            } else if !line.starts_with("#[") {
                if docs.contains("# Formula") && !docs.contains("# Source") {
                    bare.push(format!("{place}: {line}"));
                }
                docs.clear();
            }
        }
    }
    assert_eq!(bare, [""; 0]);
}
