//! The flags of a trial: raised, standing, cleared.

use super::assessment::{Flag, Severity};
use super::facts::Facts;
use super::rules::{Finding, Rule, View};
use std::collections::BTreeMap;

/// Every flag raised so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Ledger {
    flags: Vec<Flag>,
    /// Where the standing flag of each rule is in `flags`.
    standing: BTreeMap<Rule, usize>,
    judged: bool,
    memory: Memory,
}

/// What clearing needs to remember from one judgement to the next.
#[derive(Clone, Debug, Default)]
pub(super) struct Memory {
    /// The last moment at which the air was at or over a caution figure.
    pub(super) bad_air_s: Option<f64>,
    /// The last moment at which it had been good for five minutes.
    pub(super) good_air_s: Option<f64>,
    /// Water readings counted at the last judgement.
    pub(super) readings: u32,
}

impl Ledger {
    /// Has nothing been judged yet?
    pub(super) fn is_new(&self) -> bool {
        !self.judged
    }

    /// Judges every rule on what is known, at a moment.
    pub(super) fn judge(&mut self, facts: &Facts, t_s: f64) {
        let view = View::at(facts, t_s, &mut self.memory);
        self.judged = true;
        for rule in Rule::ALL {
            let found = rule.find(&view);
            let standing = self.standing(rule);
            let Some(at) = standing else {
                if let Some(finding) = found {
                    self.raise(rule, finding, t_s);
                }
                continue;
            };
            let flag = &self.flags[at];
            match found {
                Some(finding) if finding.severity > flag.severity => {
                    self.clear(at, t_s);
                    self.raise(rule, finding, t_s);
                }
                Some(finding) if finding.severity == flag.severity => {
                    let flag = &mut self.flags[at];
                    flag.todo = finding.todo;
                    if rule == Rule::LeakSeen {
                        flag.says = finding.says;
                    }
                }
                lower => {
                    if rule.clears(flag, &view) {
                        self.clear(at, t_s);
                        if let Some(finding) = lower {
                            self.raise(rule, finding, t_s);
                        }
                    }
                }
            }
        }
        self.memory.readings = facts.water.readings;
    }

    fn standing(&self, rule: Rule) -> Option<usize> {
        self.standing.get(&rule).copied()
    }

    fn clear(&mut self, at: usize, t_s: f64) {
        self.flags[at].cleared_at_s = Some(t_s);
        self.standing.remove(&self.flags[at].rule);
    }

    /// Puts a flag at the end of the list, where it stands.
    fn put(&mut self, flag: Flag) {
        self.standing.insert(flag.rule, self.flags.len());
        self.flags.push(flag);
    }

    fn raise(&mut self, rule: Rule, finding: Finding, t_s: f64) {
        self.put(Flag {
            rule,
            severity: finding.severity,
            raised_at_s: t_s,
            cleared_at_s: None,
            cleared_by_correction: false,
            says: finding.says,
            todo: finding.todo,
            evidence: finding.evidence,
            basis: rule.basis(),
            acknowledged: None,
            limit: finding.limit,
        });
    }

    /// After a correction or a late entry: what hindsight does not uphold is cleared now, what it
    /// would have raised is raised now. Nothing is back-dated.
    pub(super) fn reconcile(&mut self, hindsight: &Self, t_s: f64, by_correction: bool) {
        for rule in Rule::ALL {
            let upheld = hindsight.standing(rule).map(|at| &hindsight.flags[at]);
            let mine = self.standing(rule);
            let same = |flag: &Flag| upheld.is_some_and(|u| u.severity == flag.severity);
            if let Some(at) = mine.filter(|at| !same(&self.flags[*at])) {
                self.clear(at, t_s);
                let graver = upheld.is_some_and(|u| u.severity > self.flags[at].severity);
                self.flags[at].cleared_by_correction = by_correction && !graver;
            }
            if let Some(flag) =
                upheld.filter(|u| mine.is_none_or(|at| self.flags[at].severity != u.severity))
            {
                self.put(Flag {
                    raised_at_s: t_s,
                    ..flag.clone()
                });
            }
        }
        self.memory = hindsight.memory.clone();
    }

    /// What came late and in hindsight was a stop that has cleared again: it is listed, raised and
    /// cleared at the moment when it became known.
    pub(super) fn take_over_stops(&mut self, hindsight: &Self, t_s: f64) {
        for then in &hindsight.flags {
            let Some(cleared) = then
                .cleared_at_s
                .filter(|_| then.severity == Severity::Stop)
            else {
                continue;
            };
            let known = self.flags.iter().any(|mine| {
                let overlaps = mine.raised_at_s <= cleared
                    && mine.cleared_at_s.is_none_or(|end| end >= then.raised_at_s);
                mine.is_as(then) && (overlaps || mine.raised_at_s >= then.raised_at_s)
            });
            if !known {
                self.flags.push(Flag {
                    raised_at_s: t_s,
                    cleared_at_s: Some(t_s),
                    ..then.clone()
                });
            }
        }
    }

    /// What a correction undid although it had cleared already: the log without the correction
    /// raises it, the log with it does not. A withdrawn correction undoes the undoing.
    pub(super) fn undo(&mut self, without: &Self, with: &Self) {
        for flag in &mut self.flags {
            let in_log = |log: &Self| log.flags.iter().any(|other| other.is_as(flag));
            if flag.cleared_at_s.is_some() && in_log(without) && !in_log(with) {
                flag.cleared_by_correction = true;
            } else if !in_log(without) && in_log(with) {
                flag.cleared_by_correction = false;
            }
        }
    }

    /// All flags, by time, then as in the rules' table.
    pub(super) fn into_flags(mut self) -> Vec<Flag> {
        let place = |rule: Rule| Rule::ALL.iter().position(|r| *r == rule);
        self.flags.sort_by(|a, b| {
            a.raised_at_s
                .total_cmp(&b.raised_at_s)
                .then(place(a.rule).cmp(&place(b.rule)))
        });
        self.flags
    }
}

/// The gravest severity that stands for a rule.
pub(super) fn stands(flags: &[Flag], rule: Rule) -> Option<Severity> {
    flags
        .iter()
        .filter(|f| f.rule == rule && f.stands())
        .map(|f| f.severity)
        .max()
}

/// Was the rule ever at this severity?
pub(super) fn ever(flags: &[Flag], rule: Rule, severity: Severity) -> bool {
    flags
        .iter()
        .any(|f| f.rule == rule && f.severity == severity)
}
