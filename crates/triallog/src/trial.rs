//! A trial file read, an entry read, a head read; and the three put together again.

use crate::fault::Faults;
use crate::json::{self, Json};
use crate::schema::{ENTRY, FILE, Shape};
use crate::tree::{Tree, Typed, quoted};
use crate::{build, build_entry, check, cross};
use calc::trial::Trial;

/// A trial, found good.
#[derive(Clone, Debug)]
pub struct TrialFile {
    tree: Tree,
    trial: Trial,
}

impl TrialFile {
    /// Reads a trial file.
    ///
    /// # Errors
    /// Every fault, each with its place.
    ///
    /// ```
    /// let faults = triallog::TrialFile::read(
    ///     r#"{"format": "gaugeglass-trial/1", "kind": "steam",
    ///         "entries": [{"t_s": 5, "reading": {"presure_bar": 2}}]}"#,
    /// ).unwrap_err();
    /// assert!(faults.to_string().starts_with("entries[0].reading.presure_bar: no such key"));
    /// ```
    pub fn read(text: &str) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        let Some(tree) = object(text, FILE, &mut faults) else {
            return Err(faults);
        };
        cross::file(&tree, &mut faults);
        faults.or(()).map(|()| Self::of(tree))
    }

    fn of(tree: Tree) -> Self {
        let mut trial = build::head(&tree);
        trial.entries = tree
            .list("entries")
            .iter()
            .map(|entry| build_entry::entry(entry, &entry.canonical()))
            .collect();
        Self { tree, trial }
    }

    /// The trial to be judged.
    pub fn trial(&self) -> &Trial {
        &self.trial
    }

    /// The canonical text: the head on the first line, then one entry a line, in the order given.
    pub fn canonical(&self) -> String {
        let Tree::Object(pairs) = &self.tree else {
            return String::new();
        };
        let mut lines = Vec::new();
        for (key, value) in pairs {
            let value = match value {
                Tree::List(entries) if *key == "entries" && !entries.is_empty() => {
                    let each: Vec<String> = entries.iter().map(Tree::canonical).collect();
                    format!("[\n{}\n]", each.join(",\n"))
                }
                other => other.canonical(),
            };
            lines.push(format!("{}: {value}", quoted(key)));
        }
        format!("{{{}}}\n", lines.join(", "))
    }
}

/// One object of the schema read from a text.
fn object(text: &str, keys: &'static [crate::schema::Key], faults: &mut Faults) -> Option<Tree> {
    let raw = match json::whole(text) {
        Ok(raw) => raw,
        Err(says) => {
            faults.add("", says);
            return None;
        }
    };
    match json::open(raw) {
        Ok(Json::Object(_)) => check::value(raw, &Shape::Object(keys), "", faults),
        Ok(other) => {
            faults.add("", format!("this is {}, an object is needed", other.kind()));
            None
        }
        Err(says) => {
            faults.add("", says);
            None
        }
    }
}

/// One entry of a log, found good by itself.
#[derive(Clone, Debug)]
pub struct LogEntry {
    tree: Tree,
    canonical: String,
}

impl LogEntry {
    /// Its canonical text: one line, keys in the contract's order, numbers as typed.
    pub fn canonical(&self) -> &str {
        &self.canonical
    }

    /// Seconds since the trial began.
    pub fn t_s(&self) -> f64 {
        self.tree.number("t_s").unwrap_or(0.0)
    }

    /// What is reckoned with.
    pub fn entry(&self) -> calc::trial::Entry {
        build_entry::entry(&self.tree, &self.canonical)
    }

    /// The same entry with the server's marks in it: its id, who entered it, when it arrived and by
    /// whose clock it is timed. What the entry says already stays.
    ///
    /// # Errors
    /// A mark that cannot be (an id or name that is too long, a time outside a trial).
    ///
    /// ```
    /// let sent = triallog::read_entry(r#"{"t_s": 5.0, "event": "fire-lit"}"#)?;
    /// let stored = sent.stamped("a1", Some("I. Example"), "5.4", "server")?;
    /// assert_eq!(stored.canonical(), r#"{"t_s": 5.0, "event": "fire-lit", "id": "a1", "by": "I. Example", "received_at_s": 5.4, "clock": "server"}"#);
    /// # Ok::<(), triallog::Faults>(())
    /// ```
    pub fn stamped(
        &self,
        id: &str,
        by: Option<&str>,
        received_at_s: &str,
        clock: &str,
    ) -> Result<Self, Faults> {
        let mut pairs = match &self.tree {
            Tree::Object(pairs) => pairs.clone(),
            _ => Vec::new(),
        };
        let mut put = |key: &'static str, value: Tree| {
            if !pairs.iter().any(|p| p.0 == key) {
                pairs.push((key, value));
            }
        };
        put("id", Tree::Text(id.to_owned()));
        if let Some(by) = by {
            put("by", Tree::Text(by.to_owned()));
        }
        let value = received_at_s.parse().unwrap_or(f64::NAN);
        put(
            "received_at_s",
            Tree::Number(Typed {
                text: received_at_s.to_owned(),
                value,
            }),
        );
        put("clock", Tree::Text(clock.to_owned()));
        read_entry(&Tree::Object(pairs).canonical())
    }
}

/// Reads one entry by itself; what only the whole file can tell is checked by [`assemble`].
///
/// # Errors
/// Every fault, each with its place inside the entry.
pub fn read_entry(text: &str) -> Result<LogEntry, Faults> {
    let mut faults = Faults::default();
    let Some(tree) = object(text, ENTRY, &mut faults) else {
        return Err(faults);
    };
    if faults.is_empty() {
        cross::entry(&tree, "entry", &mut faults);
    }
    let canonical = tree.canonical();
    faults.or(LogEntry { tree, canonical })
}

/// A trial file without its log: kind, plant, instruments, limits, hold points.
#[derive(Clone, Debug)]
pub struct Head {
    tree: Tree,
    canonical: String,
}

impl Head {
    /// Its canonical text, one line.
    pub fn canonical(&self) -> &str {
        &self.canonical
    }

    /// The trial with nothing entered yet.
    pub fn trial(&self) -> Trial {
        build::head(&self.tree)
    }

    /// Checks an entry against plant and instruments: a level above the glass, for one.
    ///
    /// # Errors
    /// Every fault, each with its place inside the entry.
    pub fn check(&self, entry: &LogEntry) -> Result<(), Faults> {
        let mut faults = Faults::default();
        cross::reading(&self.tree, &entry.tree, "entry", &mut faults);
        faults.or(())
    }
}

/// Reads a trial file as a head; its entries, should it have any, are left out.
///
/// # Errors
/// Every fault, each with its place.
pub fn read_head(text: &str) -> Result<Head, Faults> {
    let TrialFile { tree, .. } = TrialFile::read(text)?;
    let tree = match tree {
        Tree::Object(pairs) => {
            let keep = |p: &(&str, Tree)| !matches!(p.0, "entries" | "ended_at_s" | "record");
            Tree::Object(pairs.into_iter().filter(keep).collect())
        }
        other => other,
    };
    let canonical = tree.canonical();
    Ok(Head { tree, canonical })
}

/// Puts a head and the entries of its log together again.
///
/// # Errors
/// Every fault of the whole, each with its place.
pub fn assemble<'a>(
    head: &str,
    entries: impl Iterator<Item = &'a str>,
    ended_at_s: Option<&str>,
) -> Result<TrialFile, Faults> {
    TrialFile::read(&joined(head, entries, ended_at_s))
}

/// A head as text with entries, end and (in `record`) what seals it put in their places.
fn joined<'a>(head: &str, entries: impl Iterator<Item = &'a str>, ended: Option<&str>) -> String {
    let open = head.trim_end().strip_suffix('}').unwrap_or(head);
    let ended = ended
        .map(|s| format!(", \"ended_at_s\": {s}"))
        .unwrap_or_default();
    let entries: Vec<&str> = entries.collect();
    format!(
        "{open}{ended}, \"entries\": [\n{}\n]}}",
        entries.join(",\n")
    )
}
