//! A hand that takes trials over plain HTTP: forms as a browser without scripts sends them.

use acceptance::{App, Page, Request};

/// The app with one job and one steam trial in a small workshop.
pub(crate) struct Hand {
    pub(crate) app: App,
}

/// Hold points of a prepared trial, with an answer that signs each.
pub(crate) const SIGNED: [(&str, &str); 9] = [
    ("temporary-states-ended", ""),
    ("no-steam-clear", ""),
    ("hydraulic-in-date", ""),
    ("gauge-in-date", ""),
    ("co-alarm-on", "It shouted; it stands beside me"),
    ("gas-joints-soaped", "No bubbles"),
    ("safety-valve-tried", "It lifted freely and dropped back"),
    ("glass-blown-through", "Both ways clear, water back at once"),
    ("water-in-glass-seen", "40"),
];

impl Hand {
    /// Books a job in and prepares a trial.
    pub(crate) async fn at_work() -> Self {
        let hand = Self {
            app: App::spawn().await,
        };
        hand.post(
            "/start/empty",
            &[("name", "Sallow Wharf Works"), ("owner", "I. Fenwright")],
        )
        .await
        .is(303);
        let job = [
            ("plant_name", "Wagtail"),
            ("customer_name", "Mr Oakshott"),
            ("words", "It dies."),
            ("came_in_on", "2026-11-03"),
        ];
        hand.post("/jobs", &job).await.is(303);
        let year = records::Stamp::now().day().year() + 1;
        let later = format!("{year}-06-01");
        let mut form: Vec<(&str, &str)> = vec![
            ("question", "Does it hold 3 bar?"),
            ("place", "indoors"),
            ("plant-working_pressure_bar", "4.00"),
            ("plant-glass-visible_mm", "60"),
            ("plant-glass-low_mark_mm", "12"),
            ("plant-glass-high_mark_mm", "48"),
            ("plant-burner-fuel", "butane"),
            ("plant-hydraulic_pass-on", "2026-01-15"),
            ("plant-hydraulic_pass-pressure_bar", "8.0"),
            ("plant-hydraulic_pass-valid_until", &later),
            ("plant-hydraulic_pass-since_structural_work", "true"),
            ("instruments-pressure-full_scale_bar", "6"),
            ("instruments-pressure-accuracy_class", "1.0"),
            ("instruments-pressure-resolution_bar", "0.05"),
            ("instruments-pressure-calibration_due", &later),
            ("instruments-level-resolution_mm", "1"),
        ];
        form.extend(SIGNED.iter().map(|(name, _)| ("hold", *name)));
        let number = hand.job().await;
        let made = hand
            .post(&format!("/jobs/{number}/trials/new"), &form)
            .await;
        assert_eq!(made.is(303).header("location"), "/trials/1");
        hand
    }

    /// The number of the one job.
    pub(crate) async fn job(&self) -> String {
        let open = records::jobs::open(self.app.store()).await.expect("jobs");
        open.first().expect("a job").number()
    }

    /// Signs every hold point and lights the fire.
    pub(crate) async fn light(&self) {
        for (name, value) in SIGNED {
            self.enter(&[("what", "check"), ("check", name), ("value", value)])
                .await
                .is(303);
        }
        self.enter(&[("what", "event"), ("event", "fire-lit")])
            .await
            .is(303);
    }

    /// Enters something under a key of its own.
    pub(crate) async fn enter(&self, fields: &[(&str, &str)]) -> Page {
        self.post("/trials/1/entries", fields).await
    }

    /// How many entries the trial has.
    pub(crate) async fn entries(&self) -> usize {
        let all = records::log::entries(self.app.store(), records::TrialId::new(1), 0).await;
        all.expect("entries").len()
    }

    /// Sends a form under a key of its own, unless one is given.
    pub(crate) async fn post(&self, path: &str, fields: &[(&str, &str)]) -> Page {
        self.app.post(path, fields).await
    }

    /// Sends JSON as a script does.
    pub(crate) async fn script(&self, json: &str) -> Page {
        let origin = format!("http://{}", self.app.host());
        let request = Request::new("POST", "/trials/1/entries").header("Origin", &origin);
        self.app.send(request.json(json)).await
    }

    /// Asks for a page.
    pub(crate) async fn get(&self, path: &str) -> Page {
        self.app.get(path).await
    }
}

#[tokio::test]
async fn a_figure_over_what_can_be_is_said_beside_its_box_and_the_others_stay() {
    let hand = Hand::at_work().await;
    hand.light().await;
    let before = hand.entries().await;
    let reading = |level, bar| {
        [
            ("what", "reading"),
            ("level_mm", level),
            ("pressure_bar", bar),
            ("sure", "yes"),
        ]
    };
    hand.enter(&reading("99", "3,20"))
        .await
        .is(422)
        .shows("the glass is 60 mm long: read it again, or press ABOVE")
        .shows("value=\"3,20\"")
        .shows("value=\"99\"");
    hand.enter(&reading("40", "19,5"))
        .await
        .is(422)
        .shows("no boiler in steam is reckoned over 19 bar here");
    assert_eq!(hand.entries().await, before);
    // From a phone's outbox in the same words.
    let fields = reading("61,5", "3");
    let from = acceptance::FromPhone {
        device: "phone-of-one-hand",
        key: "k-over-the-glass-0001",
        n: 1,
        at_ms: records::Stamp::now().millis(),
        fields: &fields[..3],
    };
    let refused = hand.app.send(from.request(&hand.app.host())).await;
    refused.is(422).shows("the glass is 60 mm long");
    // As much as can be is taken, by the file too.
    hand.enter(&reading("61", "19")).await.is(303);
    assert_eq!(hand.entries().await, before + 1);
}
