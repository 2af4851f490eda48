//! Each kind of record that a form changes is put back by that form.

use crate::put_back::{press, with_a_defect};

type Fields = &'static [(&'static str, &'static str)];

/// Where a kind of record is made, changed and read again; what is typed; and one field with a slip of the hand in it.
type Kind = (
    &'static str,
    &'static str,
    &'static str,
    Fields,
    (&'static str, &'static str),
);

#[tokio::test]
async fn every_kind_of_record_is_put_back() {
    let app = with_a_defect().await;
    let kinds: &[Kind] = &[
        (
            "/jobs/26-001",
            "/jobs/26-001",
            "/jobs/26-001/change",
            &[("came_in_on", "2026-11-03"), ("words", "It spits")],
            ("words", "It spits and hums"),
        ),
        (
            "",
            "/customers/1",
            "/customers/1/change",
            &[("name", "T. Penrow"), ("reach", "the green gate")],
            ("name", "T. Penrose"),
        ),
        (
            "",
            "/plants/1",
            "/plants/1/change",
            &[("name", "Sandmartin"), ("customer", "1")],
            ("name", "Sand martin"),
        ),
        (
            "/plants/1/components?kind=boiler",
            "/components/1",
            "/components/1",
            &[("name", "boiler"), ("volume_ml", "1200")],
            ("name", "the boiler"),
        ),
        (
            "/plants/1/papers",
            "/papers/1",
            "/papers/1",
            &[
                ("kind", "water test"),
                ("on_day", "2026-01-31"),
                ("number", "7"),
            ],
            ("number", "8"),
        ),
        (
            "/jobs/26-001/sittings",
            "/sittings/1",
            "/sittings/1",
            &[
                ("on_day", "2026-11-05"),
                ("minutes", "5"),
                ("done", "Looked"),
            ],
            ("minutes", "50"),
        ),
        (
            "/jobs/26-001/states",
            "/states/1",
            "/states/1",
            &[
                ("what", "valve"),
                ("how", "left off"),
                ("bar", "no steam"),
                ("ends_it", "back on"),
            ],
            ("bar", "watch"),
        ),
        (
            "/jobs/26-001/variations",
            "/variations/1",
            "/variations/1",
            &[("what", "New lagging"), ("price", "40.00")],
            ("price", "400.00"),
        ),
        (
            "/jobs/26-001/payments",
            "/payments/1",
            "/payments/1",
            &[
                ("on_day", "2026-11-05"),
                ("what", "deposit"),
                ("sum", "10.00"),
            ],
            ("sum", "100.00"),
        ),
        (
            "/jobs/26-001/estimate",
            "/jobs/26-001/estimate",
            "/jobs/26-001/estimate",
            &[("least_hours", "7"), ("hourly", "32.50")],
            ("hourly", "23.50"),
        ),
        (
            "/stock",
            "/stock/1",
            "/stock/1/change",
            &[("name", "Graphite yarn"), ("unit", "cm")],
            ("unit", "m"),
        ),
        (
            "/instruments",
            "/instruments/1",
            "/instruments/1/change",
            &[("kind", "pressure gauge"), ("mark", "G2")],
            ("mark", "G3"),
        ),
        (
            "/appointments",
            "/appointments/1",
            "/appointments/1/change",
            &[
                ("on_day", "2026-12-24"),
                ("who", "The inspector"),
                ("job-1", "to be looked at"),
            ],
            ("who", "Nobody"),
        ),
    ];
    for (make, at, form, fields, (name, slip)) in kinds {
        if !make.is_empty() {
            app.post(make, fields).await.is(303);
        } else {
            app.post(at, fields).await.is(303);
        }
        let slipped: Vec<(&str, &str)> = fields
            .iter()
            .map(|(n, value)| (*n, if n == name { *slip } else { *value }))
            .collect();
        app.post(at, &slipped).await.is(303);
        let changes = if ["/jobs/26-001", "/instruments/1"].contains(at) {
            at
        } else {
            form
        };
        press(&app, changes).await.is(303);
        let due = fields.iter().find(|(n, _)| n == name).expect("its field").1;
        let page = app.get(form).await;
        let typed = format!("value=\"{due}\"");
        let as_words = format!(">{due}</textarea>");
        let chosen = format!("value=\"{due}\" selected");
        assert!(
            [typed, as_words, chosen]
                .iter()
                .any(|v| page.body.contains(v.as_str())),
            "{form}: {name} is not {due} again"
        );
    }
    // The jobs that an appointment is about stay on it.
    app.get("/jobs/26-001").await.shows("The inspector");
}
