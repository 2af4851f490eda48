//! Simulated trials replayed through the real page at their own times: how often it calls, and what stands on top when it
//! matters.
//!
//! `replay [NORMAL [BAD [FIRST_SEED]]] [--browser] [--cases FILE]` prints one line. With `--browser` the page stands in
//! Chromium and everything goes through its script; without, the forms are sent as the script sends them. With `--cases` it writes what a phone was told at
//! some moment, what was entered after that, and when the server cried: a phone without a link must not cry later.

#[path = "../water/boiler.rs"]
mod boiler;
mod browser;
mod cases;
#[path = "../water/habits.rs"]
mod habits;
mod hand;
mod page;

use std::collections::BTreeSet;

use acceptance::App;
use browser::Browser;
use habits::{Kind, Run};
use hand::Hand;
use records::log::NewTrial;
use records::{Stamp, jobs, log};

/// How often the page is looked at, s.
const LOOK_S: f64 = 30.0;

/// What one trial called for.
struct Called {
    seed: u64,
    kind: Kind,
    alarms: usize,
    /// The most in any ten minutes.
    peak: usize,
    hours: f64,
    /// What stood on top when the first stop came.
    top: Option<String>,
}

#[tokio::main(flavor = "multi_thread", worker_threads = 2)]
async fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let number = |n: usize, or: u64| words.get(n).and_then(|w| w.parse().ok()).unwrap_or(or);
    let (normal, bad, first) = (number(0, 20), number(1, 5), number(2, 1));
    let cases_to = words
        .iter()
        .position(|w| w == "--cases")
        .and_then(|n| words.get(n + 1));
    let mut hand = if words.iter().any(|w| w == "--browser") {
        Hand::Browser(Box::new(Browser::start()))
    } else {
        Hand::Forms
    };
    let (mut calm, mut ill, mut cases) = (Vec::new(), Vec::new(), Vec::new());
    for seed in first.. {
        if calm.len() as u64 == normal && ill.len() as u64 == bad {
            break;
        }
        let run = habits::run(seed);
        let healthy = matches!(run.kind, Kind::Healthy) && run.low_s.is_none();
        let wanted = if healthy {
            (calm.len() as u64) < normal
        } else {
            run.low_s.is_some() && (ill.len() as u64) < bad
        };
        if !wanted {
            continue;
        }
        let (called, case) = replay(seed, &run, &mut hand, cases_to.is_some()).await;
        cases.extend(case);
        if healthy {
            calm.push(called)
        } else {
            ill.push(called)
        }
    }
    if let Some(file) = cases_to {
        std::fs::write(file, cases::text(&cases)).expect("the cases are written");
    }
    finish(&calm, &ill);
}

fn finish(calm: &[Called], ill: &[Called]) {
    let per_ten = |all: &[Called]| {
        let alarms: usize = all.iter().map(|c| c.alarms).sum();
        f64::from(u32::try_from(alarms).unwrap_or(u32::MAX))
            / all.iter().map(|c| c.hours * 6.0).sum::<f64>().max(1e-9)
    };
    let peak = |all: &[Called]| all.iter().map(|c| c.peak).max().unwrap_or(0);
    let tops: Vec<String> = ill
        .iter()
        .map(|c| {
            format!(
                "{} {:?}: {}",
                c.seed,
                c.kind,
                c.top.as_deref().unwrap_or("none")
            )
        })
        .collect();
    let water = ill
        .iter()
        .filter(|c| c.top.as_deref().is_some_and(|t| t.starts_with("water-")))
        .count();
    println!(
        "replay: {} normal trials, {:.2} alarms in 10 min, peak {}; {} bad ones, {:.2} in 10 min, peak {}, water on top in {water} ({})",
        calm.len(),
        per_ten(calm),
        peak(calm),
        ill.len(),
        per_ten(ill),
        peak(ill),
        tops.join("; ")
    );
    let flood = per_ten(calm) >= 1.0 || peak(calm) >= 10 || peak(ill) > 10;
    if flood || water < ill.len() {
        eprintln!(
            "over the mark: under 1 alarm in 10 min on average and 10 at the peak, and the water on top in each bad trial"
        );
        std::process::exit(1);
    }
}

/// The app with this trial prepared as the simulation made it.
async fn prepared(run: &Run) -> App {
    let app = App::one_job().await;
    let text = run.file.to_string().replace(",\"firebox\":null", "");
    let mut file: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let whole = file.as_object_mut().expect("an object");
    whole.remove("entries");
    whole.remove("ended_at_s");
    let head = triallog::read_head(&file.to_string())
        .expect("a head")
        .canonical()
        .to_owned();
    let job_id = jobs::open(app.store()).await.expect("jobs")[0].id;
    let new = NewTrial {
        job_id,
        kind: "steam".to_owned(),
        question: "What does the page say?".to_owned(),
        head,
    };
    let write = app.store().write("the hand", move |w| {
        Box::pin(async move { log::prepare(w, &new).await })
    });
    write.await.expect("prepared");
    app
}

/// An entry of the simulation as the page's form sends it.
fn fields_of(entry: &serde_json::Value) -> Vec<(&str, String)> {
    let plain = |v: &serde_json::Value| v.as_str().map_or_else(|| v.to_string(), str::to_owned);
    if let Some(reading) = entry["reading"].as_object() {
        let mut all = vec![("what", "reading".to_owned())];
        // The simulation's rounding can leave a nothing with a minus.
        let figure = |v: &serde_json::Value| plain(v).replace("-0.0", "0.0");
        all.extend(reading.iter().map(|(key, v)| (key.as_str(), figure(v))));
        return all;
    }
    let mut all = vec![("what", "event".to_owned())];
    for key in ["event", "amount_ml", "to"] {
        if !entry[key].is_null() {
            all.push((key, plain(&entry[key])));
        }
    }
    if entry["by_hand"] == true {
        all.push(("by_hand", "true".to_owned()));
    }
    all
}

async fn replay(
    seed: u64,
    run: &Run,
    hand: &mut Hand,
    with_cases: bool,
) -> (Called, Vec<cases::Case>) {
    Stamp::shift_now(0);
    let app = prepared(run).await;
    let start = Stamp::unshifted();
    let entries = run.file["entries"].as_array().cloned().unwrap_or_default();
    let (mut seen, mut times, mut top) = (BTreeSet::new(), Vec::new(), None);
    let mut collected = cases::Collector::new(with_cases, start);
    let (mut sent, mut look) = (0, 0.0);
    hand.opens(&app).await;
    while look <= run.end_s || sent < entries.len() {
        let next = entries
            .get(sent)
            .and_then(|e| e["t_s"].as_f64())
            .unwrap_or(f64::MAX);
        let t = look.min(next);
        let moment = start.millis() + millis(t);
        Stamp::shift_now(moment - Stamp::unshifted().millis());
        if next <= look {
            hand.enters(&app, &fields_of(&entries[sent])).await;
            collected.entered(Stamp::now(), &entries[sent]);
            sent += 1;
        } else {
            look += LOOK_S;
        }
        let shown = hand.looks(&app).await;
        collected.shown(&shown.known);
        if top.is_none() && shown.alarms.iter().any(|a| a.stop) {
            top = shown.top;
        }
        for alarm in shown.alarms {
            if !seen.insert((alarm.rule.clone(), alarm.raised.clone())) {
                continue;
            }
            times.push(t);
            hand.has_seen(&app, alarm).await;
        }
    }
    let file = app.get("/trials/1/file").await.body;
    Stamp::shift_now(0);
    app.stop().await;
    let peak = times
        .iter()
        .map(|t| {
            times
                .iter()
                .filter(|o| (**o - t) >= 0.0 && **o - t < 600.0)
                .count()
        })
        .max();
    let called = Called {
        seed,
        kind: run.kind,
        alarms: times.len(),
        peak: peak.unwrap_or(0),
        hours: run.end_s / 3600.0,
        top,
    };
    (called, collected.done(seed, &file))
}

/// Seconds as whole milliseconds.
fn millis(seconds: f64) -> i64 {
    format!("{:.0}", seconds * 1000.0).parse().unwrap_or(0)
}
