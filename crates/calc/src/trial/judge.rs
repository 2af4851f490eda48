//! The judge: goes through the moments of a trial, each with what had arrived by then.

use super::assessment::Assessment;
use super::facts::Facts;
use super::ledger::Ledger;
use super::setup::Setup;
use super::{Entry, Trial, What, figures, log, now, rules, troubles, verdict};
use std::sync::Arc;

/// Between entries everything is judged at each whole multiple of this, s.
const TICK_S: f64 = 15.0;

/// Judges a trial, as it stood at `until_s` where that is given.
///
/// # Shape
/// `trial.entries` may stand in any order; each judgement uses only what had arrived by then. The
/// judgements are made at each arrival and at each whole multiple of 15 s from the first entry to
/// `ended_at_s` (else the last entry), or to `until_s`.
///
/// # Source
/// The trial file's rules; limits and their sources stand in [`Trial::limits`] and in each flag's
/// `basis`.
///
/// # Example
/// A glass with no water in it over a lit fire is a stop, and stays one.
/// ```
/// use calc::trial::*;
///
/// let entry = |t_s: f64, what| Entry {
///     id: None, t_s, received_at_s: t_s, by: None, what, text: String::new(),
/// };
/// let lit = What::Event(Event {
///     name: EventName::FireLit, amount_ml: None, to_boiler: false, leak_at: LeakAt::Unsaid,
///     growth_pct: None,
/// });
/// let empty = What::Reading(Box::new(Reading {
///     level_seen: Some(Seen::Below), ..Reading::default()
/// }));
/// let trial = Trial { entries: vec![entry(0.0, lit), entry(60.0, empty)], ..Trial::default() };
/// let judged = assess(&trial, Some(120.0));
/// let stop = judged.flags.iter().find(|f| f.rule == Rule::WaterOutOfSight).unwrap();
/// assert_eq!((stop.severity, stop.raised_at_s), (Severity::Stop, 60.0));
/// assert!(stop.todo.contains("Do not feed"));
/// ```
pub fn assess(trial: &Trial, until_s: Option<f64>) -> Assessment {
    let mut live = Live::new(trial);
    let mut arrivals: Vec<&Entry> = trial.entries.iter().collect();
    arrivals.sort_by(|a, b| {
        a.received_at_s
            .total_cmp(&b.received_at_s)
            .then_with(|| log::before(a, b))
    });
    let last = arrivals.last().map_or(0.0, |e| e.received_at_s);
    let close = trial.ended_at_s.map_or(last, |end| end.max(last));
    let end = until_s.unwrap_or(close);
    let mut left = arrivals.as_slice();
    while let Some(first) = left.first().filter(|e| e.received_at_s <= end) {
        let together = left
            .iter()
            .take_while(|e| e.received_at_s == first.received_at_s)
            .count();
        live.take(left[..together].iter().map(|e| (*e).clone()).collect());
        left = &left[together..];
    }
    live.at(end)
}

/// A trial that is being judged while it runs.
///
/// An entry that comes in its order costs the same however long the log; a correction, or an entry
/// that belongs before one that is there, costs a replay.
///
/// ```
/// use calc::trial::*;
///
/// let mut live = Live::new(&Trial::default());
/// let lit = Event {
///     name: EventName::FireLit, amount_ml: None, to_boiler: false, leak_at: LeakAt::Unsaid,
///     growth_pct: None,
/// };
/// live.take(vec![Entry {
///     id: None, t_s: 0.0, received_at_s: 0.0, by: None, what: What::Event(lit), text: String::new(),
/// }]);
/// let judged = live.at(615.0);
/// assert!(judged.flags.iter().any(|f| f.rule == Rule::ReadingOverdue && f.severity == Severity::Stop));
/// ```
#[derive(Clone, Debug)]
pub struct Live {
    setup: Arc<Setup>,
    entries: Vec<Entry>,
    facts: Facts,
    ledger: Ledger,
    /// The next whole multiple of the tick to be judged; none before the first entry.
    tick_s: Option<f64>,
    /// The last moment at which something arrived or was asked.
    at_s: f64,
}

impl Live {
    /// Begins a trial with what it was prepared with; the entries of `trial` are left out.
    pub fn new(trial: &Trial) -> Self {
        let setup = Arc::new(Setup::of(Trial {
            entries: Vec::new(),
            ..trial.clone()
        }));
        Self {
            facts: Facts::new(&setup),
            setup,
            entries: Vec::new(),
            ledger: Ledger::default(),
            tick_s: None,
            at_s: 0.0,
        }
    }

    /// Takes in entries that arrived together, at the arrival of the first; what arrived before the
    /// last moment judged is taken in at that moment.
    pub fn take(&mut self, mut batch: Vec<Entry>) {
        batch.sort_by(log::before);
        let Some(first) = batch.first() else { return };
        let moment = first.received_at_s.max(self.at_s);
        let earliest = first.t_s;
        self.ticks_before(moment);
        let corrects = batch
            .iter()
            .any(|e| matches!(e.what, What::Correction { .. }));
        let one_instant = batch.iter().all(|e| e.t_s == earliest);
        let in_order = earliest > self.facts.at_s || self.ledger.is_new();
        let appends = !corrects && one_instant && in_order;
        let before = corrects.then(|| self.replay(moment).1);
        let glands = batch
            .iter()
            .any(|e| e.text.to_lowercase().contains("gland"));
        let hot_pipe = batch.iter().any(|e| troubles::names_hot_pipe(&e.text));
        if appends {
            let whats: Vec<&What> = batch.iter().map(|e| &e.what).collect();
            self.facts.apply(earliest, &whats);
        }
        self.entries.append(&mut batch);
        if !appends {
            let (glands, pipe) = (self.facts.glands_named, self.facts.hot_pipe_named);
            let (facts, hindsight) = self.replay(moment);
            self.facts = facts;
            self.facts.glands_named = glands;
            self.facts.hot_pipe_named = pipe;
            self.ledger.reconcile(&hindsight, moment, corrects);
            self.ledger.take_over_stops(&hindsight, moment);
            if let Some(before) = before {
                self.ledger.undo(&before, &hindsight);
            }
        }
        self.facts.glands_named |= glands;
        self.facts.hot_pipe_named |= hot_pipe;
        self.ledger.judge(&self.facts, moment);
        self.at_s = moment;
    }

    /// The judgement at a moment at or after the last arrival.
    pub fn at(&mut self, moment_s: f64) -> Assessment {
        self.ticks_before(moment_s);
        if let Some(tick) = self.tick_s.filter(|tick| *tick == moment_s) {
            self.tick(tick);
            self.tick_s = Some(tick + TICK_S);
        }
        self.at_s = self.at_s.max(moment_s);
        let mut flags = self.ledger.clone().into_flags();
        rules::never_say_feed(&self.facts, &mut flags);
        acknowledge(&self.entries, &mut flags);
        Assessment {
            figures: figures::of(&self.facts, moment_s),
            verdict: verdict::of(&self.facts, &flags, moment_s),
            now: now::of(&self.facts, &flags, moment_s),
            look_next: troubles::ranked(&self.facts, &flags, moment_s),
            flags,
        }
    }

    /// Judges at each whole multiple of the tick before `moment`; one that falls on it is judged
    /// with what arrives then.
    fn ticks_before(&mut self, moment: f64) {
        let mut tick = match self.tick_s {
            Some(tick) => tick,
            None if self.entries.is_empty() => return,
            None => after(self.at_s),
        };
        while tick < moment {
            self.tick(tick);
            tick += TICK_S;
        }
        self.tick_s = Some(tick);
    }

    /// Judges at a tick; after the trial has ended nothing is overdue any more.
    fn tick(&mut self, t_s: f64) {
        if self.ends_s() >= t_s {
            self.ledger.judge(&self.facts, t_s);
        }
    }

    fn ends_s(&self) -> f64 {
        self.setup.trial.ended_at_s.unwrap_or(f64::INFINITY)
    }

    /// The facts, and the flags that would stand, had everything known now been known in time.
    fn replay(&self, moment: f64) -> (Facts, Ledger) {
        let log = log::effective(&self.entries);
        let mut facts = Facts::new(&self.setup);
        let mut ledger = Ledger::default();
        let mut left = log.as_slice();
        let mut tick = left.first().map_or(moment, |e| after(e.0));
        while let Some((t, _)) = left.first() {
            while tick < *t {
                if tick <= self.ends_s() {
                    ledger.judge(&facts, tick);
                }
                tick += TICK_S;
            }
            let together = left.iter().take_while(|e| e.0 == *t).count();
            let whats: Vec<&What> = left[..together].iter().map(|e| &e.1).collect();
            facts.apply(*t, &whats);
            ledger.judge(&facts, *t);
            left = &left[together..];
        }
        while tick <= moment.min(self.ends_s()) {
            ledger.judge(&facts, tick);
            tick += TICK_S;
        }
        (facts, ledger)
    }
}

/// The first whole multiple of the tick after a moment.
fn after(moment: f64) -> f64 {
    (moment / TICK_S).floor() * TICK_S + TICK_S
}

/// Notes on each flag who has seen it.
fn acknowledge(entries: &[Entry], flags: &mut [super::Flag]) {
    for entry in entries {
        let What::Acknowledges { rule, raised_at_s } = &entry.what else {
            continue;
        };
        let seen = flags
            .iter_mut()
            .find(|f| f.rule.name() == rule && (f.raised_at_s - raised_at_s).abs() < 0.05);
        if let Some(flag) = seen.filter(|f| f.acknowledged.is_none()) {
            let by = entry.by.clone().unwrap_or_else(|| "somebody".to_owned());
            flag.acknowledged = Some((by, entry.t_s));
        }
    }
}
