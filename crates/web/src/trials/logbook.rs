//! The log as it is read on a page: every entry, with corrected figures struck and the right ones beside them.

use std::collections::BTreeMap;

use records::Stamp;
use records::log::{Entry, Trial};

use super::log_words::{initials, is_sight, marks, words};
use super::quieten::Quiet;
use super::tree::Tree;

/// A figure with what it was before it was put right.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Figure {
    pub(super) was: String,
    pub(super) now: String,
}

/// One line of the log.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) id: String,
    pub(super) at: String,
    pub(super) pressure: Figure,
    pub(super) level: Figure,
    pub(super) co: Figure,
    pub(super) words: String,
    pub(super) by: String,
    pub(super) initials: String,
    pub(super) is_reading: bool,
    /// Late, estimated, from paper …: what is to be known about how it came.
    pub(super) marks: String,
    pub(super) withdrawn: bool,
    pub(super) can_be_put_right: bool,
}

/// A hold point as it stands in the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Held {
    Open,
    /// What was seen did not sign it.
    SeenBad(String),
    Signed {
        saw: String,
        at: String,
    },
    Skipped {
        reason: String,
        at: String,
    },
    Overridden {
        reason: String,
        at: String,
    },
}

/// Who signed or looked at a list last, and when that came in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Signing {
    pub(super) by: String,
    pub(super) at: Stamp,
}

/// A figure, and whose it is.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct ReadBy {
    pub(super) id: String,
    pub(super) by: String,
    pub(super) t_s: f64,
    pub(super) typed: String,
    pub(super) value: f64,
}

/// The entries of a trial, taken apart once.
pub(super) struct Logbook {
    started: Stamp,
    entries: Vec<(i64, Tree)>,
    received: Vec<Stamp>,
    corrections: BTreeMap<String, Vec<usize>>,
}

/// A moment so many seconds into a trial.
pub(super) fn moment(started: Stamp, t_s: f64) -> Stamp {
    // Printed and read back: a cast would have to be proven not to cut anything off.
    let ms: i64 = format!("{:.0}", t_s * 1000.0).parse().unwrap_or(0);
    Stamp::from_millis(started.millis() + ms)
}

impl Logbook {
    pub(super) fn new(trial: &Trial, entries: &[Entry]) -> Self {
        let received = entries.iter().map(|e| e.received_at).collect();
        let entries: Vec<(i64, Tree)> = entries
            .iter()
            .map(|e| (e.seq, Tree::read(&e.text).unwrap_or_else(|_| Tree::empty())))
            .collect();
        let mut corrections: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (n, (_, tree)) in entries.iter().enumerate() {
            let target = tree.typed_at("corrects");
            if !target.is_empty() {
                corrections.entry(target).or_default().push(n);
            }
        }
        Self {
            started: trial.started_at.unwrap_or(trial.made_at),
            received,
            entries,
            corrections,
        }
    }

    /// When the newest entry was received, by the clock of that time.
    pub(super) fn newest_received(&self) -> Option<Stamp> {
        self.received.iter().max().copied()
    }

    /// How many entries there are.
    pub(super) fn len(&self) -> usize {
        self.entries.len()
    }

    fn clock(&self, tree: &Tree) -> String {
        let t_s = tree.typed_at("t_s").parse().unwrap_or(0.0);
        moment(self.started, t_s).clock()
    }

    fn withdrawn(&self, id: &str) -> bool {
        self.corrections
            .get(id)
            .and_then(|all| all.last())
            .is_some_and(|n| self.entries[*n].1.at("withdrawn") == Some("true"))
    }

    /// A figure of a reading as it was typed, and as it was put right.
    fn figure(&self, id: &str, tree: &Tree, key: &str) -> Figure {
        let path = format!("reading.{key}");
        let first = tree.typed_at(&path);
        let mut now = first.clone();
        for n in self.corrections.get(id).into_iter().flatten() {
            match self.entries[*n].1.at(&path) {
                Some("null") => now = String::new(),
                Some(_) => now = self.entries[*n].1.typed_at(&path),
                None => {}
            }
        }
        let was = if first == now { String::new() } else { first };
        Figure { was, now }
    }

    /// Every line, the newest on top.
    pub(super) fn lines(&self) -> Vec<Line> {
        self.entries
            .iter()
            .rev()
            .map(|(_, tree)| self.line(tree))
            .collect()
    }

    /// One line by its id.
    pub(super) fn find(&self, id: &str) -> Option<Line> {
        self.entries
            .iter()
            .find(|(_, tree)| tree.typed_at("id") == id)
            .map(|(_, tree)| self.line(tree))
    }

    fn line(&self, tree: &Tree) -> Line {
        let id = tree.typed_at("id");
        let is_reading = matches!(tree, Tree::Object(map) if map.contains_key("reading"))
            && tree.at("corrects").is_none();
        let mut line = Line {
            at: self.clock(tree),
            marks: marks(tree),
            initials: initials(&tree.typed_at("by")),
            by: tree.typed_at("by"),
            words: words(tree),
            withdrawn: self.withdrawn(&id),
            is_reading,
            can_be_put_right: is_reading
                || tree.at("event").is_some()
                || tree.at("check").is_some(),
            ..Line::default()
        };
        if is_reading {
            line.pressure = self.figure(&id, tree, "pressure_bar");
            line.level = self.figure(&id, tree, "level_mm");
            let seen = self.figure(&id, tree, "level_seen");
            if line.level.now.is_empty() && !seen.now.is_empty() {
                line.level.now = seen.now;
            }
            line.co = self.figure(&id, tree, "co_ppm");
            line.words = self.others(&id, tree);
        }
        line.id = id;
        line
    }

    /// Figures of a reading that have no column of their own, in words.
    fn others(&self, id: &str, tree: &Tree) -> String {
        let mut all = Vec::new();
        for (key, label, unit, _) in super::readings::READINGS
            .iter()
            .filter(|r| !matches!(r.0, "pressure_bar" | "level_mm" | "co_ppm"))
        {
            let figure = self.figure(id, tree, key);
            if !figure.now.is_empty() {
                all.push(format!("{label} {} {unit}", figure.now));
            }
        }
        let note = tree.typed_at("note");
        if !note.is_empty() {
            all.push(note);
        }
        all.join("; ")
    }

    /// The last entry, read back from what is stored.
    pub(super) fn read_back(&self) -> Option<String> {
        let (_, tree) = self.entries.last()?;
        let line = self.line(tree);
        let mut says = Vec::new();
        if !line.pressure.now.is_empty() {
            says.push(format!("{} bar", line.pressure.now));
        }
        if !line.level.now.is_empty() {
            let number = line.level.now.starts_with(|c: char| c.is_ascii_digit());
            says.push(if number {
                format!("{} mm", line.level.now)
            } else {
                format!("water {}", line.level.now.replace('-', " the "))
            });
        }
        if !line.co.now.is_empty() {
            says.push(format!("CO {} ppm", line.co.now));
        }
        if !line.words.is_empty() {
            says.push(line.words);
        }
        Some(format!("{}: {}", line.at, says.join(", ")))
    }

    /// How a hold point stands.
    pub(super) fn held(&self, name: &str) -> Held {
        self.held_since(0, name)
    }

    /// How an item of a list stands in the round that is gone through now: since the list was last kept as done.
    pub(super) fn held_in_round(&self, call: &str, name: &str) -> Held {
        self.held_since(self.last_kept(call).map_or(0, |n| n + 1), name)
    }

    fn held_since(&self, first: usize, name: &str) -> Held {
        let mut held = Held::Open;
        for (_, tree) in self.entries.iter().skip(first) {
            if tree.typed_at("check") != name || self.withdrawn(&tree.typed_at("id")) {
                continue;
            }
            let (at, reason) = (self.clock(tree), tree.typed_at("reason"));
            held = if tree.at("override") == Some("true") {
                Held::Overridden { reason, at }
            } else if tree.at("done") == Some("true") {
                Held::Signed {
                    saw: tree.typed_at("value"),
                    at,
                }
            } else if is_sight(name, &reason) || reason.starts_with(super::voiding::VOID) {
                Held::SeenBad(reason)
            } else {
                Held::Skipped { reason, at }
            };
        }
        held
    }

    /// When a list was last kept as done, by what its completion call begins with.
    pub(super) fn kept(&self, call: &str) -> Option<String> {
        let n = self.last_kept(call)?;
        Some(self.clock(&self.entries[n].1))
    }

    fn last_kept(&self, call: &str) -> Option<usize> {
        let done = |tree: &Tree| {
            tree.typed_at("keeps") == "list-complete" && tree.typed_at("note").starts_with(call)
        };
        self.entries.iter().rposition(|(_, tree)| done(tree))
    }

    /// Has this event been entered and not taken back?
    pub(super) fn happened(&self, event: &str) -> bool {
        self.entries.iter().any(|(_, tree)| {
            tree.typed_at("event") == event && !self.withdrawn(&tree.typed_at("id"))
        })
    }

    /// The last signature of a hold point, or the last look at what was signed.
    pub(super) fn last_signing(&self) -> Option<Signing> {
        let signs =
            |tree: &Tree| tree.at("done") == Some("true") || tree.typed_at("keeps") == "renewed";
        let n = self.entries.iter().rposition(|(_, tree)| signs(tree))?;
        Some(Signing {
            by: self.entries[n].1.typed_at("by"),
            at: *self.received.get(n)?,
        })
    }

    /// Who did or skipped which item of a list in the round that is gone through now, by its own time, in the order of the
    /// log. `call` is how the list is called when it is kept as done, `lead` what the names of its items begin with.
    pub(super) fn round(&self, call: &str, lead: &str) -> Vec<(String, Signing)> {
        let first = self.last_kept(call).map_or(0, |n| n + 1);
        let all = self.entries.iter().skip(first).filter_map(|(_, tree)| {
            let name = tree.typed_at("check");
            let t_s = tree.typed_at("t_s").parse().unwrap_or(0.0);
            let signing = Signing {
                by: tree.typed_at("by"),
                at: moment(self.started, t_s),
            };
            name.starts_with(lead).then_some((name, signing))
        });
        all.collect()
    }

    /// Every figure of one key as it holds now, with whose it is.
    pub(super) fn read_by(&self, key: &str) -> Vec<ReadBy> {
        let read = |(_, tree): &(i64, Tree)| {
            let id = tree.typed_at("id");
            if tree.at("corrects").is_some() {
                return None;
            }
            let figure = self.figure(&id, tree, key);
            Some(ReadBy {
                value: figure.now.parse().ok()?,
                typed: figure.now,
                by: tree.typed_at("by"),
                t_s: tree.typed_at("t_s").parse().ok()?,
                id,
            })
        };
        self.entries.iter().filter_map(read).collect()
    }

    /// The last time a rule's caution was made quiet.
    pub(super) fn quietened(&self, rule: &str) -> Option<Quiet> {
        let lead = format!("{rule}: ");
        self.entries.iter().rev().find_map(|(_, tree)| {
            if tree.typed_at("keeps") != "quietened" {
                return None;
            }
            Some(Quiet {
                why: tree.typed_at("note").strip_prefix(&lead)?.to_owned(),
                until_s: tree.typed_at("until_s").parse().ok()?,
                by: tree.typed_at("by"),
            })
        })
    }

    /// Who has the trial in hand: who took it over last, else who entered first.
    pub(super) fn in_hand(&self) -> String {
        let took = |tree: &Tree| tree.typed_at("keeps") == "takeover";
        self.entries
            .iter()
            .rev()
            .find(|(_, tree)| took(tree))
            .or_else(|| self.entries.first())
            .map_or_else(String::new, |(_, tree)| tree.typed_at("by"))
    }

    /// The names under a signature, in the order they came.
    pub(super) fn signed(&self, what: &str) -> Vec<(String, String)> {
        self.entries
            .iter()
            .filter(|(_, tree)| tree.typed_at("signs") == what)
            .map(|(_, tree)| (tree.typed_at("by"), self.clock(tree)))
            .collect()
    }
}
