//! What the water watch is worth on boilers, habits and faults that are made here: one line of
//! figures, and with `--list` a line for each trial in which it was not at its best.
//!
//! `water-watch [TRIALS [FIRST_SEED]] [--list]`; `water-watch --file SEED` prints that trial, and the
//! true level of its water every 15 s beside it, as two lines of JSON.

mod boiler;
mod habits;

use calc::trial::{Assessment, Rule, Severity, assess};
use habits::{Kind, Run};
use triallog::TrialFile;

const WATER: [Rule; 4] = [
    Rule::WaterOutOfSight,
    Rule::WaterBelowMark,
    Rule::WaterFalling,
    Rule::FeedNotGaining,
];
/// A stop is false while the water would last for longer than this, a caution for twice as long, s.
const FALSE_STOP_S: f64 = 600.0;

#[derive(Default)]
struct Score {
    trials: u32,
    low: u32,
    in_time: u32,
    stops: Vec<f64>,
    warns: Vec<f64>,
    stopped: u32,
    warned: u32,
    false_stops: u32,
    false_cautions: u32,
    hours: f64,
    wolf: u32,
}

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    if let [_, option, seed] = &arguments[..]
        && option == "--file"
    {
        let run = habits::run(seed.parse().unwrap_or(1));
        println!("{}\n{:?}", written(&run), run.runway);
        return;
    }
    let count: u64 = arguments
        .get(1)
        .and_then(|n| n.parse().ok())
        .unwrap_or(1000);
    let first: u64 = arguments.get(2).and_then(|n| n.parse().ok()).unwrap_or(1);
    let list = arguments.iter().any(|a| a == "--list");
    let mut score = Score::default();
    for seed in first..first + count {
        let run = habits::run(seed);
        let text = written(&run);
        let file = TrialFile::read(&text).unwrap_or_else(|faults| panic!("seed {seed}: {faults}"));
        let judged = assess(file.trial(), None);
        if let Some(says) = score.take(&run, &judged)
            && list
        {
            println!("{seed} {:?}: {says}", run.kind);
        }
    }
    println!("{}", score.line());
    let false_stops = f64::from(score.false_stops) / f64::from(score.trials.max(1));
    if score.share(score.warned) < 0.98 || score.share(score.stopped) < 0.90 || false_stops > 0.02 {
        eprintln!("short of the floor: warned 98 %, stopped 90 %, false stops at most 2 %");
        std::process::exit(1);
    }
}

fn written(run: &Run) -> String {
    run.file.to_string().replace(",\"firebox\":null", "")
}

impl Score {
    fn take(&mut self, run: &Run, judged: &Assessment) -> Option<String> {
        self.trials += 1;
        let runway = |t: f64| {
            run.runway
                .iter()
                .rev()
                .find(|r| r.0 <= t)
                .map_or(f64::INFINITY, |r| r.1)
        };
        let water = |least: Severity| {
            judged
                .flags
                .iter()
                .filter(move |f| f.severity >= least && WATER.contains(&f.rule))
        };
        let before = |t: f64| run.low_s.is_none_or(|low| t < low);
        let away = |t: f64| {
            run.absent_s
                .is_some_and(|(a, b)| t >= a + 600.0 && t <= b + 60.0)
        };
        let early = |t: f64, s: f64| before(t) && runway(t) > s && !away(t);
        let mut says = Vec::new();
        if let Some(flag) = water(Severity::Stop).find(|f| early(f.raised_at_s, FALSE_STOP_S)) {
            self.false_stops += 1;
            says.push(format!(
                "false stop {} at {:.0}, true {:.0} s",
                flag.rule.name(),
                flag.raised_at_s,
                runway(flag.raised_at_s)
            ));
        }
        let caution = |f: &&calc::trial::Flag| f.severity == Severity::Caution;
        if water(Severity::Caution)
            .filter(caution)
            .any(|f| early(f.raised_at_s, 2.0 * FALSE_STOP_S))
        {
            self.false_cautions += 1;
            says.push("false caution".to_owned());
        }
        if run.kind == Kind::Healthy && run.low_s.is_none() {
            self.hours += run.end_s / 3600.0;
            let cries = water(Severity::Caution).filter(|f| runway(f.raised_at_s) > FALSE_STOP_S);
            self.wolf += u32::try_from(cries.count()).unwrap_or(0);
        }
        if let Some(low) = run.low_s {
            says.extend(self.low(run, low, &water));
        }
        (!says.is_empty()).then(|| says.join("; "))
    }

    fn low<'a, I: Iterator<Item = &'a calc::trial::Flag>>(
        &mut self,
        run: &Run,
        low: f64,
        water: &impl Fn(Severity) -> I,
    ) -> Option<String> {
        self.low += 1;
        let fault = run.fault_s.unwrap_or(0.0);
        let looks = run
            .reading_times
            .iter()
            .filter(|t| **t > fault && **t < low)
            .count();
        let lead = |least: Severity| {
            let stood = water(least)
                .filter(|f| f.raised_at_s <= low && f.cleared_at_s.is_none_or(|c| c > fault))
                .map(|f| f.raised_at_s.max(fault))
                .reduce(f64::min);
            stood.map(|t| (low - t) / 60.0)
        };
        if looks < 3 {
            return None;
        }
        self.in_time += 1;
        let (stop, warn) = (lead(Severity::Stop), lead(Severity::Caution));
        self.stopped += u32::from(stop.is_some());
        self.warned += u32::from(warn.is_some());
        self.stops.push(stop.unwrap_or(0.0));
        self.warns.push(warn.unwrap_or(0.0));
        stop.is_none()
            .then(|| format!("missed, low at {low:.0}, {looks} looks"))
    }

    fn share(&self, of: u32) -> f64 {
        f64::from(of) / f64::from(self.in_time.max(1))
    }

    fn line(&self) -> String {
        let each = |n: u32| 100.0 * f64::from(n) / f64::from(self.trials.max(1));
        format!(
            "water watch: {} trials, low {} (with three looks {}): stopped {:.1} %, lead median {:.1} p5 {:.1} min; \
             warned {:.1} %, median {:.1} p5 {:.1} min; false stops {:.2} %, false cautions {:.2} %, wolf {:.2} an hour",
            self.trials,
            self.low,
            self.in_time,
            100.0 * self.share(self.stopped),
            part(&self.stops, 0.5),
            part(&self.stops, 0.05),
            100.0 * self.share(self.warned),
            part(&self.warns, 0.5),
            part(&self.warns, 0.05),
            each(self.false_stops),
            each(self.false_cautions),
            f64::from(self.wolf) / self.hours.max(1e-9),
        )
    }
}

/// The value under which this share lies.
fn part(all: &[f64], share: f64) -> f64 {
    let mut sorted = all.to_vec();
    sorted.sort_by(f64::total_cmp);
    let place = share * f64::from(u32::try_from(sorted.len().saturating_sub(1)).unwrap_or(0));
    sorted
        .iter()
        .enumerate()
        .rfind(|(n, _)| f64::from(u32::try_from(*n).unwrap_or(0)) <= place)
        .map_or(0.0, |(_, v)| *v)
}
