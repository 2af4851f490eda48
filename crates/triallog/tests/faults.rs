//! Files that cannot be used: every fault named with its place and its mend, never a panic.

#![allow(clippy::unwrap_used)]

use triallog::{TrialFile, read_entry, read_table};

/// The faults of a file with these entries, one a line.
fn faults_of(entries: &str) -> String {
    faults(&format!(
        r#"{{"format": "gaugeglass-trial/1", "kind": "steam",
            "plant": {{"glass": {{"visible_mm": 40}}}},
            "instruments": {{"level": {{"resolution_mm": 1}}}}, "entries": [{entries}]}}"#
    ))
}

fn faults(text: &str) -> String {
    TrialFile::read(text)
        .map(|_| "none".to_owned())
        .unwrap_or_else(|f| f.to_string())
}

#[test]
fn each_fault_of_an_entry_names_its_place() {
    for (entry, says) in [
        (
            r#"{"t_s": -1, "event": "note"}"#,
            "entries[0].t_s: -1 is outside 0 to 2592000",
        ),
        (r#"{"event": "note"}"#, "entries[0].t_s: this is missing"),
        (r#"{"t_s": 1}"#, "entries[0]: this entry says nothing"),
        (
            r#"{"t_s": 1, "event": "fire-lti"}"#,
            "entries[0].event: \"fire-lti\" is none of",
        ),
        (
            r#"{"t_s": 1, "reading": {"presure_bar": 2}}"#,
            "entries[0].reading.presure_bar: no such key; pressure_bar?",
        ),
        (
            r#"{"t_s": 1, "reading": {"level_mm": 48}}"#,
            "entries[0].reading.level_mm: 48 is above the glass (40); use level_seen \"above\"",
        ),
        (
            r#"{"t_s": 1, "reading": {"level_mm": -2}}"#,
            "entries[0].reading.level_mm: -2 is outside",
        ),
        (
            r#"{"t_s": 1, "reading": {"level_mm": 2}, "event": "note"}"#,
            "entries[0]: this entry is 2 things at once: reading and event",
        ),
        (
            r#"{"t_s": 1, "t_s": 1, "event": "note"}"#,
            "entries[0].t_s: this key stands twice",
        ),
        (
            r#"{"t_s": 1e999, "event": "note"}"#,
            "entries[0].t_s: 1e999 is not a finite number",
        ),
        (
            r#"{"t_s": 1e-99, "event": "note"}"#,
            "entries[0].t_s: 1e-99 has more digits than are kept",
        ),
        (
            r#"{"t_s": "1", "event": "note"}"#,
            "entries[0].t_s: this is text, a number is needed",
        ),
        (
            r#"{"t_s": null, "event": "note"}"#,
            "entries[0].t_s: null says nothing",
        ),
        (
            r#"{"t_s": 1, "reading": {"co_ppm": null}}"#,
            "entries[0].reading.co_ppm: null withdraws",
        ),
        (
            r#"{"t_s": 1, "reading": {}}"#,
            "entries[0].reading: nothing was read",
        ),
        (
            r#"{"t_s": 1, "event": "note", "done": true}"#,
            "entries[0].done: this belongs to an entry",
        ),
        (
            r#"{"t_s": 1, "check": "vented"}"#,
            "entries[0].done: this is missing",
        ),
        (
            r#"{"t_s": 1, "check": "vnted", "done": true}"#,
            "entries[0].check: \"vnted\" is no hold point",
        ),
        (
            r#"{"t_s": 1, "check": "vented", "override": true}"#,
            "entries[0].reason: going on against a hold point needs a reason",
        ),
        (
            r#"{"t_s": 1, "corrects": "zz", "withdrawn": true}"#,
            "entries[0].corrects: there is no",
        ),
        (
            r#"{"t_s": 1, "corrects": 7, "withdrawn": true}"#,
            "entries[0].corrects: no entry stands",
        ),
        (
            r#"{"t_s": 1, "reading": {"pressure_bar": 25}}"#,
            "entries[0].reading.pressure_bar: 25 is over",
        ),
        ("7", "entries[0]: this is a number, an object is needed"),
    ] {
        let found = faults_of(entry);
        assert!(
            found.starts_with(says),
            "{entry}\n  found: {found}\n  wants: {says}"
        );
    }
}

#[test]
fn faults_of_the_file_as_a_whole() {
    for (text, says) in [
        ("", "this is not JSON"),
        ("[1]", "this is a list, an object is needed"),
        ("{}", "format: this is missing\nkind: this is missing"),
        (
            r#"{"format": "gaugeglass-trial/2", "kind": "steam"}"#,
            "format: \"gaugeglass-trial/2\" is",
        ),
        (
            r#"{"format": "gaugeglass-trial/1", "kind": "steam", "ended_at_s": 5,
                "entries": [{"t_s": 6, "event": "note"}]}"#,
            "ended_at_s: 5 is before the last entry (6)",
        ),
        (
            r#"{"format": "gaugeglass-trial/1", "kind": "steam", "plant": {"water_space":
                {"horizontal": {"bore_mm": 50, "length_mm": 100,
                 "tubes": [{"od_mm": 44, "centre_mm": 10}]}}}}"#,
            "plant.water_space.horizontal: tubes.centre_mm: 10 is outside 22 to 28",
        ),
        (
            r#"{"format": "gaugeglass-trial/1", "kind": "steam", "started_at": "24 Nov"}"#,
            "started_at: \"24 Nov\" is not a moment",
        ),
    ] {
        let found = faults(text);
        assert!(
            found.starts_with(says),
            "{text}\n  found: {found}\n  wants: {says}"
        );
    }
}

#[test]
fn twenty_faults_are_named_and_the_rest_counted() {
    let entries: Vec<&str> = std::iter::repeat_n(r#"{"t_s": -1, "event": "note"}"#, 25).collect();
    let found = faults_of(&entries.join(","));
    assert_eq!(found.lines().count(), 21);
    assert_eq!(found.lines().last(), Some("and 5 more"));
}

#[test]
fn what_is_no_fault_is_read() {
    for text in [
        r#"{"format": "gaugeglass-trial/1", "kind": "steam"}"#,
        r#"{"format": "gaugeglass-trial/1", "kind": "steam", "entries": []}"#,
        r#"{"format": "gaugeglass-trial/1", "kind": "steam", "entries": [
            {"t_s": 9, "event": "fire-out"}, {"t_s": 3, "event": "fire-lit"}]}"#,
    ] {
        assert_eq!(faults(text), "none", "{text}");
    }
}

#[test]
fn the_canonical_text_is_stable_and_keeps_digits() {
    let typed =
        r#"{ "note":"Gr\u00fcn", "reading":{"level_mm":31.50,"pressure_bar":2.80},"t_s":615 }"#;
    let entry = read_entry(typed).unwrap();
    let canonical =
        r#"{"t_s": 615, "reading": {"pressure_bar": 2.80, "level_mm": 31.50}, "note": "Grün"}"#;
    assert_eq!(entry.canonical(), canonical);
    assert_eq!(read_entry(canonical).unwrap().canonical(), canonical);
    let decomposed =
        read_entry("{\"t_s\": 1, \"event\": \"note\", \"note\": \"u\u{308}\"}").unwrap();
    assert!(
        decomposed.canonical().contains('ü'),
        "text is kept composed"
    );
}

#[test]
fn a_file_written_out_reads_back_the_same() {
    let text = r#"{"kind": "steam", "format": "gaugeglass-trial/1", "entries": [
        {"t_s": 0.0, "event": "fire-lit"}, {"t_s": 30, "reading": {"level_mm": 20}}]}"#;
    let once = TrialFile::read(text).unwrap();
    let twice = TrialFile::read(&once.canonical()).unwrap();
    assert_eq!(once.canonical(), twice.canonical());
    assert_eq!(once.trial(), twice.trial());
    assert_eq!(once.canonical().lines().count(), 4, "one entry a line");
}

#[test]
fn a_head_and_its_entries_go_together_again() {
    let head = triallog::read_head(
        r#"{"format": "gaugeglass-trial/1", "kind": "steam", "plant": {"working_pressure_bar": 4}}"#,
    )
    .unwrap();
    let entries = [
        r#"{"t_s": 0, "event": "fire-lit"}"#,
        r#"{"t_s": 5, "event": "fire-out"}"#,
    ];
    let file = triallog::assemble(head.canonical(), entries.into_iter(), Some("60")).unwrap();
    assert_eq!(file.trial().entries.len(), 2);
    assert_eq!(file.trial().ended_at_s, Some(60.0));
    let none = triallog::assemble(head.canonical(), [].into_iter(), None).unwrap();
    assert!(none.trial().entries.is_empty());
}

#[test]
fn a_table_is_read_by_the_clock_and_names_row_and_column() {
    let plant = r#"{"format": "gaugeglass-trial/1", "kind": "steam"}"#;
    let good = "time,pressure_bar,level_mm,event,note\n\
                23:59,0,20,,\n00:00:30,0.50,21,fire-lit,\n00:02,,,feed-on,by hand\n";
    let file = read_table(good, plant, Some("steam")).unwrap();
    let times: Vec<f64> = file.trial().entries.iter().map(|e| e.t_s).collect();
    assert_eq!(times, [0.0, 90.0, 90.0, 180.0]);
    for (table, says) in [
        (
            "t_s,level_mm\n5,x\n",
            "row 2, level_mm: this is text, a number is needed",
        ),
        ("t_s,levl_mm\n5,2\n", "header: \"levl_mm\" is no column"),
        ("level_mm\n5\n", "header: a column t_s or time is needed"),
        (
            "time,level_mm\n25:00,2\n",
            "row 2, time: \"25:00\" is not a time",
        ),
        ("t_s,level_mm\n,2\n", "row 2: this row has no time"),
    ] {
        let found = read_table(table, plant, None)
            .map(|_| String::new())
            .unwrap_or_else(|f| f.to_string());
        assert!(found.starts_with(says), "{table}\n  found: {found}");
    }
}
