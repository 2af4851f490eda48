//! The judge: goes through the moments of a trial, each with what had arrived by then.

use super::assessment::Assessment;
use super::facts::Facts;
use super::ledger::Ledger;
use super::setup::Setup;
use super::{Trial, What, figures, log, now, verdict};

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
    let setup = Setup::of(trial);
    let order = log::order(&trial.entries);
    let mut place = vec![0; order.len()];
    for (at, entry) in order.iter().enumerate() {
        place[*entry] = at;
    }
    let now = Facts::new(&setup);
    let mut judge = Judge {
        setup: &setup,
        order: &order,
        place: &place,
        now,
        ledger: Ledger::default(),
    };
    let end = judge.run(until_s);
    let mut flags = judge.ledger.into_flags();
    acknowledge(trial, until_s, &mut flags);
    let figures = figures::of(&judge.now, end);
    let verdict = verdict::of(&judge.now, &flags, end);
    let now = now::of(&judge.now, &flags, end);
    Assessment {
        flags,
        figures,
        verdict,
        now,
    }
}

struct Judge<'a> {
    setup: &'a Setup<'a>,
    order: &'a [usize],
    /// Where each entry stands in `order`.
    place: &'a [usize],
    now: Facts<'a>,
    ledger: Ledger,
}

impl<'a> Judge<'a> {
    /// Goes through all moments; answers the last one.
    fn run(&mut self, until_s: Option<f64>) -> f64 {
        let entries = &self.setup.trial.entries;
        let mut arrivals: Vec<usize> = self.order.to_vec();
        arrivals.sort_by(|a, b| {
            entries[*a]
                .received_at_s
                .total_cmp(&entries[*b].received_at_s)
        });
        let Some(first) = arrivals.first().map(|i| entries[*i].received_at_s) else {
            return 0.0;
        };
        let last = arrivals.last().map_or(first, |i| entries[*i].received_at_s);
        let close = self
            .setup
            .trial
            .ended_at_s
            .map_or(last, |end| end.max(last));
        let end = until_s.unwrap_or(close);
        let mut at = 0;
        let mut tick = (first / TICK_S).floor() * TICK_S + TICK_S;
        while at < arrivals.len() {
            let moment = entries[arrivals[at]].received_at_s;
            if moment > end {
                break;
            }
            self.ticks(&mut tick, moment);
            let together = arrivals[at..]
                .iter()
                .take_while(|i| entries[**i].received_at_s == moment)
                .count();
            self.arrive(moment, &arrivals[at..at + together]);
            at += together;
        }
        if end >= first {
            self.ticks(&mut tick, end);
            if tick - TICK_S == end
                && arrivals[..at]
                    .last()
                    .is_none_or(|i| entries[*i].received_at_s < end)
            {
                self.ledger.judge(&self.now, end);
            }
        }
        end
    }

    /// Judges at each whole multiple of the tick before `moment`.
    fn ticks(&mut self, tick: &mut f64, moment: f64) {
        while *tick < moment {
            self.ledger.judge(&self.now, *tick);
            *tick += TICK_S;
        }
        if *tick == moment {
            *tick += TICK_S;
        }
    }

    /// Takes in what arrived together; what belongs earlier makes a replay.
    fn arrive(&mut self, moment: f64, batch: &[usize]) {
        let entries = &self.setup.trial.entries;
        let corrects = batch
            .iter()
            .any(|i| matches!(entries[*i].what, What::Correction { .. }));
        let mut in_order: Vec<usize> = batch.to_vec();
        in_order.sort_by_key(|i| self.place[*i]);
        let earliest = in_order.first().map_or(moment, |i| entries[*i].t_s);
        let appends = !corrects && (earliest > self.now.at_s || self.ledger.is_new());
        if appends {
            let instants: Vec<(f64, &What)> = in_order
                .iter()
                .map(|i| (entries[*i].t_s, &entries[*i].what))
                .collect();
            apply(&mut self.now, &instants);
            self.ledger.judge(&self.now, moment);
            return;
        }
        let (facts, hindsight) = self.replay(moment);
        self.now = facts;
        self.ledger.reconcile(&hindsight, moment, corrects);
        self.ledger.judge(&self.now, moment);
    }

    /// The facts, and the flags that would stand, had everything known now been known in time.
    fn replay(&self, moment: f64) -> (Facts<'a>, Ledger) {
        let log = log::effective(self.setup.trial, self.order, moment);
        let mut facts = Facts::new(self.setup);
        let mut ledger = Ledger::default();
        let mut at = 0;
        let mut tick = log
            .first()
            .map_or(moment, |e| (e.0 / TICK_S).floor() * TICK_S + TICK_S);
        while at < log.len() {
            let t = log[at].0;
            while tick < t {
                ledger.judge(&facts, tick);
                tick += TICK_S;
            }
            let together = log[at..].iter().take_while(|e| e.0 == t).count();
            let whats: Vec<&What> = log[at..at + together].iter().map(|e| &e.1).collect();
            facts.apply(t, &whats);
            ledger.judge(&facts, t);
            at += together;
        }
        while tick <= moment {
            ledger.judge(&facts, tick);
            tick += TICK_S;
        }
        (facts, ledger)
    }
}

/// Applies entries that stand in order, instant by instant.
fn apply(facts: &mut Facts<'_>, entries: &[(f64, &What)]) {
    let mut at = 0;
    while at < entries.len() {
        let t = entries[at].0;
        let together = entries[at..].iter().take_while(|e| e.0 == t).count();
        let whats: Vec<&What> = entries[at..at + together].iter().map(|e| e.1).collect();
        facts.apply(t, &whats);
        at += together;
    }
}

/// Notes on each flag who has seen it.
fn acknowledge(trial: &Trial, until_s: Option<f64>, flags: &mut [super::Flag]) {
    for entry in &trial.entries {
        let What::Acknowledges { rule, raised_at_s } = &entry.what else {
            continue;
        };
        if until_s.is_some_and(|until| entry.received_at_s > until) {
            continue;
        }
        let seen = flags
            .iter_mut()
            .find(|f| f.rule.name() == rule && (f.raised_at_s - raised_at_s).abs() < 0.05);
        if let Some(flag) = seen.filter(|f| f.acknowledged.is_none()) {
            let by = entry.by.clone().unwrap_or_else(|| "somebody".to_owned());
            flag.acknowledged = Some((by, entry.t_s));
        }
    }
}
