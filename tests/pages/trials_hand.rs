//! A hand that takes trials over plain HTTP: forms as a browser without scripts sends them.

use std::net::SocketAddr;

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

/// An answer of the app.
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) location: String,
    pub(crate) body: String,
}

impl Answer {
    /// Fails unless the page has these words.
    pub(crate) fn shows(&self, words: &str) -> &Self {
        assert!(
            self.body.contains(words),
            "“{words}” is not on the page ({}):\n{}",
            self.status,
            self.words()
        );
        self
    }

    /// Fails if the page has these words.
    pub(crate) fn hides(&self, words: &str) -> &Self {
        assert!(!self.body.contains(words), "“{words}” is on the page");
        self
    }

    /// Fails unless it was answered with this status.
    pub(crate) fn is(&self, status: u16) -> &Self {
        assert_eq!(self.status, status, "{}", self.words());
        self
    }

    /// The page without its marks.
    pub(crate) fn words(&self) -> String {
        let mut out = String::new();
        let mut inside = false;
        for c in self.body.chars() {
            match c {
                '<' => inside = true,
                '>' => {
                    inside = false;
                    out.push(' ');
                }
                c if !inside => out.push(c),
                _ => {}
            }
        }
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

/// The app with one job in an empty workshop.
pub(crate) struct Hand {
    address: SocketAddr,
    pub(crate) store: records::Store,
    _folder: tempfile::TempDir,
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
    /// Starts the app as `main` does, on a free port and a new folder, and books a job in.
    pub(crate) async fn at_work() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let config = app::Config {
            data: folder.path().to_owned(),
            listen: ([127, 0, 0, 1], 0).into(),
            lan: false,
        };
        let app = app::build(config).await.expect("the app starts");
        let (address, store) = (app.address(), app.store().clone());
        tokio::spawn(app.run_until(std::future::pending()));
        let hand = Self {
            address,
            store,
            _folder: folder,
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
        assert_eq!(made.is(303).location, "/trials/1");
        hand
    }

    /// The number of the one job.
    pub(crate) async fn job(&self) -> String {
        let open = records::jobs::open(&self.store).await.expect("jobs");
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
    pub(crate) async fn enter(&self, fields: &[(&str, &str)]) -> Answer {
        self.post("/trials/1/entries", fields).await
    }

    /// How many entries the trial has.
    pub(crate) async fn entries(&self) -> usize {
        let all = records::log::entries(&self.store, records::TrialId::new(1), 0).await;
        all.expect("entries").len()
    }

    /// Sends a form under a key of its own, unless one is given.
    pub(crate) async fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let own = records::fresh_key();
        let mut all = fields.to_vec();
        if !fields.iter().any(|(name, _)| *name == "key") {
            all.push(("key", &own));
        }
        let pairs: Vec<String> = all
            .iter()
            .map(|(n, v)| format!("{}={}", encoded(n), encoded(v)))
            .collect();
        self.send(
            "POST",
            path,
            "application/x-www-form-urlencoded",
            &pairs.join("&"),
        )
        .await
    }

    /// Sends JSON as a script does.
    pub(crate) async fn script(&self, json: &str) -> Answer {
        self.send("POST", "/trials/1/entries", "application/json", json)
            .await
    }

    /// Asks for a page.
    pub(crate) async fn get(&self, path: &str) -> Answer {
        self.send("GET", path, "", "").await
    }

    async fn send(&self, method: &str, path: &str, kind: &str, body: &str) -> Answer {
        let mut stream = TcpStream::connect(self.address).await.expect("the port");
        let accept = if kind == "application/json" {
            "application/json"
        } else {
            "text/html"
        };
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nAccept: {accept}\r\nConnection: close\r\n\
             Content-Type: {kind}\r\nContent-Length: {length}\r\n\r\n{body}",
            host = self.address,
            length = body.len()
        );
        stream.write_all(head.as_bytes()).await.expect("sent");
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).await.expect("answered");
        let answer = String::from_utf8(answer).expect("text");
        let (head, body) = answer.split_once("\r\n\r\n").expect("a head");
        let status = head
            .split(' ')
            .nth(1)
            .and_then(|s| s.parse().ok())
            .expect("a status");
        let location = head
            .lines()
            .find_map(|l| l.strip_prefix("location: "))
            .unwrap_or("")
            .to_owned();
        Answer {
            status,
            location,
            body: body.to_owned(),
        }
    }
}

fn encoded(text: &str) -> String {
    text.bytes()
        .map(|b| {
            if b.is_ascii_alphanumeric() || b"-_.".contains(&b) {
                char::from(b).to_string()
            } else {
                format!("%{b:02X}")
            }
        })
        .collect()
}
