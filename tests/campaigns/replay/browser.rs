//! A real browser that shows the trial page, asked for one thing at a time over its standard input.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use serde_json::{Value, json};

/// Chromium behind `tests/browser/replay.mjs`.
pub(crate) struct Browser {
    child: Child,
    asks: ChildStdin,
    answers: BufReader<ChildStdout>,
    address: String,
}

/// What stands on the screen.
pub(crate) struct Screen {
    /// The page as it is now, script and all.
    pub(crate) html: String,
    /// What the phone found by itself.
    pub(crate) own: Vec<String>,
    /// The rule that stands at the top of the screen.
    pub(crate) top: Option<String>,
}

impl Browser {
    pub(crate) fn start() -> Self {
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("browser/replay.mjs");
        let mut child = Command::new("node")
            .arg(script)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("node starts; tests/run installs it and its packages");
        let asks = child.stdin.take().expect("its input");
        let answers = BufReader::new(child.stdout.take().expect("its output"));
        Self {
            child,
            asks,
            answers,
            address: String::new(),
        }
    }

    /// Opens a trial.
    pub(crate) async fn open(&mut self, host: &str) -> Screen {
        self.address = format!("http://{host}/trials/1");
        self.ask("open", json!([])).await
    }

    /// Looks at it again.
    pub(crate) async fn look(&mut self) -> Screen {
        self.ask("look", json!([])).await
    }

    /// Enters something.
    pub(crate) async fn enter(&mut self, fields: &[(&str, String)]) -> Screen {
        self.ask("enter", json!(fields)).await
    }

    /// Says that a stop was seen which the phone found by itself.
    pub(crate) async fn seen(&mut self) -> Screen {
        self.ask("seen", json!([])).await
    }

    /// Off this thread, on which the app answers the browser meanwhile.
    async fn ask(&mut self, what: &str, fields: Value) -> Screen {
        let line = json!({"do": what, "address": self.address, "fields": fields}).to_string();
        let answer = tokio::task::block_in_place(|| {
            writeln!(self.asks, "{line}").expect("it listens");
            let mut answer = String::new();
            self.answers.read_line(&mut answer).expect("it answers");
            answer
        });
        let shown: Value = serde_json::from_str(&answer).expect("JSON");
        assert!(shown["fault"].is_null(), "{what}: {}", shown["fault"]);
        let words = |v: &Value| v.as_str().map(str::to_owned);
        let own = shown["own"].as_array().into_iter().flatten();
        Screen {
            html: words(&shown["html"]).unwrap_or_default(),
            own: own.filter_map(words).collect(),
            top: words(&shown["top"]),
        }
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
