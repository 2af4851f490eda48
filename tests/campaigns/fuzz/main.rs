//! Spoilt input for what reads input: `fuzz [SECONDS] [SEED]` prints one line of figures.
//!
//! Each round takes a good trial file, or the good inputs of a reckoner, spoils it, and has it judged or
//! reckoned. Faults are good answers; a panic is a crash, and so is an answer that is no answer.

mod mend;

use acceptance::Chance;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::{Duration, Instant};

/// How many crashes are kept to look at.
const KEPT: u64 = 5;

#[derive(Default)]
struct Count {
    rounds: u64,
    judged: u64,
    refused: u64,
    crashes: u64,
}

fn main() {
    let argument = |n: usize, or: u64| -> u64 {
        std::env::args()
            .nth(n)
            .and_then(|a| a.parse().ok())
            .unwrap_or(or)
    };
    let (seconds, seed) = (argument(1, 10), argument(2, 1));
    let good = trials();
    let asked = reckonings();
    let mut c = Chance::new(seed);
    let mut count = Count::default();
    std::panic::set_hook(Box::new(|_| {}));
    let until = Instant::now() + Duration::from_secs(seconds);
    while Instant::now() < until {
        if c.happens(0.5) {
            let (name, text) = &asked[mend::index(&mut c, asked.len())];
            let bytes = mend::spoilt(text, &mut c);
            one(&bytes, &mut count, |text| reckon(name, text));
        } else {
            let bytes = mend::spoilt(&good[mend::index(&mut c, good.len())], &mut c);
            let until = c.happens(0.2).then(|| c.between(0.0, 7000.0));
            one(&bytes, &mut count, |text| judge(text, until));
        }
    }
    println!(
        "fuzz: {seconds} s, seed {seed}: {} rounds, {} judged, {} refused, crashes {}",
        count.rounds, count.judged, count.refused, count.crashes
    );
    if count.crashes > 0 || count.judged == 0 || count.refused == 0 {
        std::process::exit(1);
    }
}

/// The good trial files that the judge's own tests use.
fn trials() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates/triallog/tests/trials");
    let mut all: Vec<String> = std::fs::read_dir(folder)
        .expect("the trials")
        .filter_map(|entry| {
            let path = entry.ok()?.path();
            let name = path.file_name()?.to_str()?.to_owned();
            (name.ends_with(".json") && !name.contains("expected"))
                .then(|| std::fs::read_to_string(&path).ok())?
        })
        .collect();
    all.sort();
    all
}

/// Names of reckoners with good inputs: their worked cases.
fn reckonings() -> Vec<(String, String)> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates/triallog/tests/worked.json");
    let text = std::fs::read_to_string(file).expect("the worked cases");
    let cases: Vec<serde_json::Value> = serde_json::from_str(&text).expect("a list");
    cases
        .iter()
        .map(|c| {
            (
                c["reckoner"].as_str().unwrap_or_default().to_owned(),
                c["inputs"].to_string(),
            )
        })
        .collect()
}

/// Tries one spoilt text; `answer` says none where it is refused, and whether the answer is one.
fn one(bytes: &[u8], count: &mut Count, answer: impl Fn(&str) -> Option<bool>) {
    count.rounds += 1;
    let Ok(text) = std::str::from_utf8(bytes) else {
        count.refused += 1;
        return;
    };
    let judged = catch_unwind(AssertUnwindSafe(|| answer(text)));
    match judged {
        Ok(Some(true)) => count.judged += 1,
        Ok(None) => count.refused += 1,
        Ok(Some(false)) | Err(_) => {
            count.crashes += 1;
            if count.crashes <= KEPT {
                let name = format!("gaugeglass-crash-{}.json", count.crashes);
                let place = std::env::temp_dir().join(name);
                let _ = std::fs::write(&place, bytes);
                println!("crash: kept as {}", place.display());
            }
        }
    }
}

/// None where the file is refused; whether the judgement is one where it is not.
fn judge(text: &str, until_s: Option<f64>) -> Option<bool> {
    let file = triallog::TrialFile::read(text).ok()?;
    let judged = calc::trial::assess(file.trial(), until_s);
    let written = triallog::assessment_json(file.trial().kind, &judged);
    let report = triallog::assessment_report(file.trial().kind, &judged);
    let again = triallog::TrialFile::read(&file.canonical());
    let finite = judged.figures.iter().all(|f| f.value.is_finite());
    let times = judged
        .flags
        .iter()
        .all(|f| f.raised_at_s.is_finite() && f.cleared_at_s.is_none_or(|c| c >= f.raised_at_s));
    let same = again.is_ok_and(|again| again.canonical() == file.canonical());
    Some(finite && times && same && written.contains("verdict") && !report.is_empty())
}

/// None where the inputs are refused; whether the answer is JSON with a finite figure where not.
fn reckon(name: &str, text: &str) -> Option<bool> {
    let readable = |json: &str| serde_json::from_str::<serde_json::Value>(json).is_ok();
    match triallog::reckon::run(name, text) {
        Ok(reckoned) => Some(readable(&reckoned.json()) && !reckoned.answer.figures.is_empty()),
        Err(refused) if readable(&refused.json()) && !refused.code().is_empty() => None,
        Err(_) => Some(false),
    }
}
