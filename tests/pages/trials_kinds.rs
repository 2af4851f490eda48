//! A trial of every kind on its pages: prepared, its hold points gone through, taken, closed, all without script.

use acceptance::{App, Page};

struct Kind {
    word: &'static str,
    /// What is filled in beside the question.
    fields: &'static [(&'static str, &'static str)],
    before: &'static str,
    /// The boxes that stand open, in their order.
    first: &'static [&'static str],
    /// A list of its own, and what is seen at its must-see items.
    list: (&'static str, &'static [(&'static str, &'static str)]),
    /// Forms sent in turn.
    log: &'static [&'static [(&'static str, &'static str)]],
    /// Words on its page and on its record afterwards.
    shows: &'static [&'static str],
}

const GAUGE: [(&str, &str); 4] = [
    ("instruments-pressure-full_scale_bar", "16"),
    ("instruments-pressure-accuracy_class", "0.6"),
    ("instruments-pressure-resolution_bar", "0.05"),
    ("instruments-pressure-calibration_due", "2099-01-01"),
];

const KINDS: &[Kind] = &[
    Kind {
        word: "hydraulic",
        fields: &[
            ("plant-working_pressure_bar", "4"),
            ("plant-volume_ml", "2000"),
            ("plant-shell_material", "copper"),
            ("plant-shell-bore_mm", "100"),
            ("plant-shell-wall_mm", "2,5"),
            ("limits-test", "first"),
        ],
        before: "Before the water",
        first: &["pressure_bar", "pumped_ml", "water_c"],
        list: (
            "hold-and-let-down",
            &[
                ("saw-hold-and-let-down-2", "dry everywhere"),
                ("saw-hold-and-let-down-5", "0"),
            ],
        ),
        log: &[
            &[
                ("what", "reading"),
                ("pressure_bar", "0"),
                ("pumped_ml", "0"),
                ("water_c", "18,0"),
            ],
            &[
                ("what", "reading"),
                ("pressure_bar", "4"),
                ("pumped_ml", "0,8"),
                ("water_c", "18,0"),
            ],
            &[
                ("what", "reading"),
                ("pressure_bar", "8,2"),
                ("pumped_ml", "1,5"),
                ("water_c", "18,0"),
            ],
            &[("what", "event"), ("event", "hold-started")],
            &[("what", "event"), ("event", "hold-ended")],
            &[("what", "event"), ("event", "pressure-released")],
            &[
                ("what", "event"),
                ("event", "set-measured"),
                ("growth_pct", "0,01"),
            ],
        ],
        shows: &[
            "8.00<span class=\"unit\">bar",
            "at most 8.48 bar",
            "held for",
            "grown by 0.01 %",
            "pressure attained",
        ],
    },
    Kind {
        word: "air",
        fields: &[
            ("plant-working_pressure_bar", "4"),
            ("plant-volume_ml", "500"),
        ],
        before: "Before the air",
        first: &["pressure_bar", "shell_c", "ambient_c"],
        list: (
            "air-hold-and-soap",
            &[("saw-air-hold-and-soap-4", "no bubble")],
        ),
        log: &[
            &[
                ("what", "reading"),
                ("pressure_bar", "0,35"),
                ("shell_c", "20"),
            ],
            &[("what", "event"), ("event", "pressure-released")],
        ],
        shows: &[
            "0.40<span class=\"unit\">bar",
            "cap;",
            "AIR OFF",
            "The pressure is gone: record it",
        ],
    },
    Kind {
        word: "safety-valve",
        fields: &[
            ("plant-working_pressure_bar", "4"),
            ("plant-safety_valve-bore_mm", "5"),
        ],
        before: "Before the fire",
        first: &["pressure_bar", "level_mm", "co_ppm"],
        list: (
            "whole-fire-everything-shut",
            &[("saw-whole-fire-everything-shut-6", "it stands level")],
        ),
        log: &[
            &[("what", "event"), ("event", "fire-lit")],
            &[
                ("what", "reading"),
                ("pressure_bar", "4,0"),
                ("level_mm", "22"),
            ],
            &[("what", "event"), ("event", "safety-valve-lifted")],
            &[("what", "event"), ("event", "fire-out")],
            &[("what", "event"), ("event", "safety-valve-reseated")],
            &[("what", "event"), ("event", "pressure-released")],
        ],
        shows: &["Put the fire out", "set pressure", "It lifted at 4.00 bar"],
    },
    Kind {
        word: "feed-pump",
        fields: &[
            ("plant-working_pressure_bar", "4"),
            ("plant-feed_pump-bore_mm", "6"),
            ("plant-feed_pump-stroke_mm", "15"),
            ("plant-feed_pump-acting", "single"),
            ("plant-past_evaporation_kg_h-value", "1,2"),
        ],
        before: "Before it pumps",
        first: &["pressure_bar", "feed_strokes", "catch_ml", "catch_s"],
        list: (
            "catch-against-pressure",
            &[("saw-catch-against-pressure-4", "36")],
        ),
        log: &[
            &[
                ("what", "reading"),
                ("pressure_bar", "4"),
                ("feed_strokes", "100"),
                ("catch_ml", "36"),
                ("catch_s", "60"),
            ],
            &[("what", "event"), ("event", "pressure-released")],
        ],
        shows: &["pump delivery", "36.00", "pump slip"],
    },
    Kind {
        word: "burner",
        fields: &[
            ("plant-burner-fuel", "butane"),
            ("plant-burner-jet_mm", "0,2"),
            ("plant-burner-supply_bar", "1"),
        ],
        before: "Before the fire",
        first: &["co_ppm", "co2_pct", "gas_g"],
        list: (
            "burning-a-quarter-of-an-hour",
            &[
                ("saw-burning-a-quarter-of-an-hour-3", "20"),
                ("saw-burning-a-quarter-of-an-hour-4", "blue and steady"),
            ],
        ),
        log: &[
            &[("what", "event"), ("event", "fire-lit")],
            &[
                ("what", "reading"),
                ("co_ppm", "12"),
                ("co2_pct", "9"),
                ("gas_g", "310"),
            ],
            &[("what", "event"), ("event", "flame-unsteady")],
            &[("what", "event"), ("event", "fire-out")],
            &[("what", "event"), ("event", "pressure-released")],
        ],
        shows: &[
            "carbon monoxide, highest",
            "The flame was unsteady",
            "should pass 0.93 g a minute",
        ],
    },
    Kind {
        word: "engine-run",
        fields: &[("supply", "air-direct")],
        before: "Before it runs",
        first: &["rpm", "pressure_bar", "bearing_c"],
        list: (
            "running-in",
            &[
                ("saw-running-in-4", "41"),
                ("saw-running-in-5", "glands dry"),
            ],
        ),
        log: &[
            &[("what", "event"), ("event", "engine-running")],
            &[
                ("what", "reading"),
                ("rpm", "600"),
                ("pressure_bar", "1,5"),
                ("bearing_c", "38"),
            ],
            &[("what", "event"), ("event", "engine-stopped")],
            &[("what", "event"), ("event", "pressure-released")],
        ],
        shows: &["turns 600 rpm", "10 min is asked", "Bearings 38 °C"],
    },
];

async fn prepared(kind: &Kind) -> App {
    let app = App::one_job().await;
    let address = format!("/jobs/26-001/trials/new?kind={}", kind.word);
    let page = app.get(&address).await;
    page.is(200).shows(kind.before.to_lowercase().as_str());
    let mut form = vec![
        ("kind", kind.word),
        ("question", "Is it so?"),
        ("place", "outdoors"),
    ];
    form.extend(kind.fields);
    form.extend(GAUGE);
    let holds: Vec<String> = page
        .body
        .split("name=\"hold\" value=\"")
        .skip(1)
        .filter(|rest| {
            rest.split('>')
                .next()
                .is_some_and(|tag| tag.contains("checked"))
        })
        .filter_map(|rest| rest.split('"').next().map(str::to_owned))
        .collect();
    assert!((2..=9).contains(&holds.len()), "{}: {holds:?}", kind.word);
    form.extend(holds.iter().map(|h| ("hold", h.as_str())));
    app.post("/jobs/26-001/trials/new", &form)
        .await
        .leads_to("/trials/1");
    app
}

/// Signs each hold point with the first answer that its page offers, or goes on against it with a reason.
async fn through_its_hold_points(app: &App, kind: &Kind) -> usize {
    let mut signed = 0;
    loop {
        let page = app.get("/trials/1").await;
        let Some(name) = page
            .between("name=\"check\" value=\"", "\"")
            .map(str::to_owned)
        else {
            return signed;
        };
        page.shows(kind.before);
        let item = page
            .between("<section class=\"now-item\">", "</section>")
            .expect("an item");
        let answer = item
            .split("name=\"value\" value=\"")
            .nth(1)
            .and_then(|rest| rest.split('"').next());
        let answer = answer.filter(|a| !a.is_empty()).unwrap_or("22").to_owned();
        let form = [
            ("what", "check"),
            ("check", name.as_str()),
            ("value", answer.as_str()),
        ];
        let against = [
            ("what", "check"),
            ("check", name.as_str()),
            ("way", "override"),
            ("reason", "looked at"),
        ];
        let refused = item.contains("It cannot be signed");
        let sent: &[(&str, &str)] = if refused { &against } else { &form };
        app.post("/trials/1/entries", sent).await.is(303);
        signed += 1;
        assert!(signed < 12, "{} never ends", kind.word);
    }
}

fn before(page: &Page, earlier: &str, later: &str) -> bool {
    let at = |what: &str| {
        page.body
            .find(what)
            .unwrap_or_else(|| panic!("{what} is not on the page"))
    };
    at(earlier) < at(later)
}

#[tokio::test]
async fn a_trial_of_every_kind_is_prepared_taken_and_closed_without_script() {
    for kind in KINDS {
        let app = prepared(kind).await;
        assert!(
            through_its_hold_points(&app, kind).await >= 2,
            "{}",
            kind.word
        );
        let page = app.get("/trials/1").await;
        for pair in kind.first.windows(2) {
            let (a, b) = (
                format!("<input id=\"{}\"", pair[0]),
                format!("<input id=\"{}\"", pair[1]),
            );
            assert!(before(&page, &a, &b), "{}: {pair:?}", kind.word);
        }
        let last = format!("<input id=\"{}\"", kind.first[kind.first.len() - 1]);
        assert!(
            before(&page, &last, "<summary>More figures"),
            "{}",
            kind.word
        );
        let (list, saw) = kind.list;
        let named = [("what", "list"), ("list", list)];
        let bare = app.post("/trials/1/entries", &named).await;
        bare.is(422).shows("say what you saw");
        let done: Vec<_> = named.into_iter().chain(saw.iter().copied()).collect();
        app.post("/trials/1/entries", &done).await.is(303);
        for form in kind.log {
            app.post("/trials/1/entries", form)
                .await
                .leads_to("/trials/1");
        }
        let running = app.get("/trials/1").await;
        let close = app.get("/trials/1/close").await;
        close.is(200);
        let whole = [
            ("answer", "not-settled"),
            ("note", "a short one"),
            ("sign", "yes"),
        ];
        app.post("/trials/1/close", &whole)
            .await
            .leads_to("/trials/1/record");
        let record = app.get("/trials/1/record").await;
        record
            .is(200)
            .shows("not a certificate")
            .shows("done and confirmed");
        for words in kind.shows {
            let found = running.body.contains(words) || record.body.contains(words);
            assert!(
                found,
                "{} does not show “{words}”:\n{}\n{}",
                kind.word,
                running.words(),
                record.words()
            );
        }
        let report = records::log::verify::verify(app.store(), None)
            .await
            .expect("read again");
        assert!(report.faults.is_empty(), "{:?}", report.faults);
    }
}

#[tokio::test]
async fn a_wrong_figure_at_a_must_see_item_is_refused_and_what_was_chosen_stays() {
    let app = prepared(&KINDS[5]).await;
    let form = [
        ("what", "list"),
        ("list", "running-in"),
        ("saw-running-in-4", "warm"),
        ("saw-running-in-5", "a gland drips"),
    ];
    let page = app.post("/trials/1/entries", &form).await;
    page.is(422)
        .shows("value=\"warm\"")
        .shows("<option value=\"a gland drips\" selected>")
        .shows("is not a plain figure");
}

#[tokio::test]
async fn an_unknown_kind_is_a_steam_trial_and_a_water_test_asks_nothing_of_a_glass() {
    let app = App::one_job().await;
    app.get("/jobs/26-001/trials/new?kind=balloon")
        .await
        .is(200)
        .shows("Prepare a steam trial");
    app.get("/jobs/26-001/trials/new?kind=hydraulic")
        .await
        .shows("Prepare a hydraulic trial")
        .lacks("plant-glass-visible_mm")
        .shows("Pressure test with water.");
}
