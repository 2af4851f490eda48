//! Cases for a phone without a link: what it was told before, what was entered after, and when the server cried; and dead
//! spots of trials in which nothing was wrong, where nobody should cry.

use calc::trial::{Severity, assess};
use records::Stamp;
use serde_json::{Value, json};
use triallog::TrialFile;

/// How long before the low mark the link goes, s.
const CUTS_S: [f64; 3] = [1200.0, 700.0, 350.0];
/// How far into a trial without a fault the link goes, as a share of it, and for how long, s.
const CALM_CUTS: [f64; 3] = [0.3, 0.55, 0.8];
const CALM_FOR_S: f64 = 600.0;
const RULES: [&str; 4] = [
    "water-falling",
    "water-below-mark",
    "water-out-of-sight",
    "reading-overdue",
];

/// One case.
pub(crate) struct Case(Value);

/// What is gathered while a trial is replayed.
pub(crate) struct Collector {
    wanted: bool,
    start: Stamp,
    told: Vec<Value>,
    entered: Vec<Value>,
}

impl Collector {
    pub(crate) fn new(wanted: bool, start: Stamp) -> Self {
        Self {
            wanted,
            start,
            told: Vec::new(),
            entered: Vec::new(),
        }
    }

    pub(crate) fn entered(&mut self, at: Stamp, entry: &Value) {
        let mut own = json!({"at_ms": at.millis()});
        for key in ["reading", "event"] {
            if !entry[key].is_null() {
                own[key] = entry[key].clone();
            }
        }
        self.entered.push(own);
    }

    /// What the phone was told, as it stands in the page.
    pub(crate) fn shown(&mut self, known: &str) {
        let known = known
            .replace("&#34;", "\"")
            .replace("&quot;", "\"")
            .replace("&#39;", "'")
            .replace("&#38;", "&")
            .replace("&amp;", "&");
        if let Ok(known) = serde_json::from_str(&known) {
            self.told.push(known);
        }
    }

    /// A case for each moment before the first stop at which the link could have gone.
    pub(crate) fn done(self, seed: u64, file: &str) -> Vec<Case> {
        if !self.wanted {
            return Vec::new();
        }
        let trial = TrialFile::read(file).expect("the trial's own file");
        let judged = assess(trial.trial(), None);
        // The trial began with its first entry.
        let start_ms = self
            .entered
            .first()
            .and_then(|e| e["at_ms"].as_i64())
            .unwrap_or_else(|| self.start.millis());
        let cried: Vec<(i64, &str, &str)> = judged
            .flags
            .iter()
            .filter(|f| f.severity != Severity::Note && RULES.contains(&f.rule.name()))
            .map(|f| {
                (
                    start_ms + super::millis(f.raised_at_s),
                    f.rule.name(),
                    f.severity.word(),
                )
            })
            .collect();
        let Some(first) = cried.iter().find(|c| c.2 == "stop").map(|c| c.0) else {
            return if cried.is_empty() {
                self.calm(seed)
            } else {
                Vec::new()
            };
        };
        let mut cases = Vec::new();
        for cut in CUTS_S {
            let upto = first - super::millis(cut);
            let known_before =
                |known: &&Value| known["now_ms"].as_i64().is_some_and(|ms| ms <= upto);
            let Some(known) = self.told.iter().rev().find(known_before) else {
                continue;
            };
            let cut_ms = known["now_ms"].as_i64().unwrap_or(0);
            let after: Vec<&Value> = self
                .entered
                .iter()
                .filter(|e| {
                    e["at_ms"]
                        .as_i64()
                        .is_some_and(|ms| ms > cut_ms && ms <= first + 60_000)
                })
                .collect();
            cases.push(Case(json!({"seed": seed, "known": slim(known), "entered": after,
                "server_stop_ms": first, "server_rule": cried.iter().find(|c| c.0 == first).map(|c| c.1)})));
        }
        cases
    }
}

impl Collector {
    /// Dead spots of a trial in which the server never cried about the water.
    fn calm(&self, seed: u64) -> Vec<Case> {
        let moment = |of: &Value| of["now_ms"].as_i64().unwrap_or(0);
        let hot: Vec<&Value> = self.told.iter().filter(|k| k["hot"] == true).collect();
        let (Some(first), Some(last)) = (hot.first(), hot.last()) else {
            return Vec::new();
        };
        let seconds = (moment(last) - moment(first)) / 1000;
        let whole = f64::from(i32::try_from(seconds).unwrap_or(0));
        let cuts = CALM_CUTS.iter().filter_map(|share| {
            let upto = moment(first) + super::millis(whole * share);
            let known = hot.iter().rev().find(|k| moment(k) <= upto)?;
            let (from, until) = (moment(known), moment(known) + super::millis(CALM_FOR_S));
            let inside = |e: &&Value| e["at_ms"].as_i64().is_some_and(|ms| ms > from && ms <= until);
            let after: Vec<&Value> = self.entered.iter().filter(inside).collect();
            Some(Case(json!({"seed": seed, "known": slim(known), "entered": after, "calm_until_ms": until.min(moment(last))})))
        });
        cuts.collect()
    }
}

/// Without the words, which judge nothing.
fn slim(known: &Value) -> Value {
    let mut slim = known.clone();
    if let Some(object) = slim.as_object_mut() {
        for key in ["words", "steps", "by"] {
            object.remove(key);
        }
    }
    slim
}

/// The cases as a file, one a line.
pub(crate) fn text(cases: &[Case]) -> String {
    let lines: Vec<String> = cases.iter().map(|c| c.0.to_string()).collect();
    format!("[\n{}\n]\n", lines.join(",\n"))
}
