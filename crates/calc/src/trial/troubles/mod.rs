//! What to look at next: common troubles as data, ranked by what the log shows.
//!
//! A trouble is listed only when its sign is in the log. What tells it apart is something that can be
//! measured; what of that is in the log already gives it weight. The list never replaces a stop: with
//! the water out of sight over a hot boiler there is no list, only that stop.
//!
//! ```
//! use calc::trial::{Trial, assess};
//!
//! // A log that shows no sign of trouble has nothing to look at next.
//! assert!(assess(&Trial::default(), None).look_next.is_empty());
//! ```

mod air;
mod engine;
mod feed;
mod seen;
mod steam;

pub(super) use seen::Log;

use super::assessment::Flag;
use super::facts::{Facts, Sight};

/// Weight of a trouble that the log gives no word about.
const UNTOLD: u32 = 1;

/// A sign that something is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Sign {
    FeedDoesNotGain,
    PressureDoesNotRise,
    BurnerOrAir,
    OverFull,
    Weeps,
    Lubricator,
    EngineShort,
    GaugeAndValve,
}

impl Sign {
    /// Every sign, the gravest first.
    pub const ALL: [Self; 8] = [
        Self::FeedDoesNotGain,
        Self::BurnerOrAir,
        Self::GaugeAndValve,
        Self::Weeps,
        Self::OverFull,
        Self::PressureDoesNotRise,
        Self::EngineShort,
        Self::Lubricator,
    ];

    /// The sign in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::FeedDoesNotGain => "The feed does not gain",
            Self::PressureDoesNotRise => "The pressure does not rise",
            Self::BurnerOrAir => "The burner is unsteady or the air is bad",
            Self::OverFull => "Over-full, or water carries over",
            Self::Weeps => "It weeps",
            Self::Lubricator => "The lubricator gives too much or nothing",
            Self::EngineShort => "The engine is short of power",
            Self::GaugeAndValve => "Gauge and safety valve disagree",
        }
    }
}

/// How grave a trouble is until it is cleared, in the words of a defect's bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Bar {
    NoSteam,
    NoHandover,
    Watch,
}

impl Bar {
    /// The word on the defect.
    pub fn word(self) -> &'static str {
        match self {
            Self::NoSteam => "no steam",
            Self::NoHandover => "no handover",
            Self::Watch => "watch",
        }
    }
}

/// What the log shows of a trouble: how much it weighs, and in words.
type Shows = fn(&Log<'_>) -> Option<(u32, String)>;

/// One row of the table.
pub struct Trouble {
    /// Its name, which stays the same from version to version.
    pub name: &'static str,
    /// The sign it explains.
    pub sign: Sign,
    /// What it is, in a few words.
    pub is: &'static str,
    /// What tells it apart, by something measured.
    pub tells: &'static str,
    /// What to check.
    pub check: &'static str,
    /// What mends it.
    pub remedy: &'static str,
    /// Where this comes from.
    pub source: &'static str,
    /// What it bars.
    pub bar: Bar,
    shows: Shows,
}

impl std::fmt::Debug for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}

impl PartialEq for Trouble {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

/// A trouble that the log gives reason to look at.
#[derive(Clone, Debug, PartialEq)]
pub struct LookNext {
    /// The row of the table.
    pub trouble: &'static Trouble,
    /// What in the log speaks for it; nothing where the log says no more than the sign.
    pub shows: Option<String>,
    /// When its sign first stood in the log, seconds since the trial began.
    pub since_s: f64,
    weight: u32,
}

/// Source of what no text was found for.
const TRADE: &str = "trade practice";

/// The whole table.
pub fn table() -> impl Iterator<Item = &'static Trouble> {
    [feed::TABLE, air::TABLE, steam::TABLE, engine::TABLE]
        .into_iter()
        .flatten()
}

/// Does an entry's text say that the feed pipe is hot, or speak of the check valve?
pub(super) fn names_hot_pipe(text: &str) -> bool {
    let words = text.to_lowercase();
    words.contains("check valve") || (words.contains("pipe") && words.contains("hot"))
}

/// What to look at next, what the log speaks for first.
pub(super) fn ranked(facts: &Facts, flags: &[Flag], end_s: f64) -> Vec<LookNext> {
    if facts.hot() && facts.water.sight == Sight::Below {
        return Vec::new();
    }
    let log = Log {
        facts,
        flags,
        end_s,
    };
    let mut all: Vec<LookNext> = table()
        .filter_map(|trouble| {
            let since_s = log.since(trouble.sign)?;
            let found = (trouble.shows)(&log);
            Some(LookNext {
                trouble,
                since_s,
                weight: found.as_ref().map_or(UNTOLD, |(weight, _)| *weight),
                shows: found.map(|(_, words)| words).filter(|w| !w.is_empty()),
            })
        })
        .filter(|next| next.weight > 0)
        .collect();
    let grave = |sign: Sign| Sign::ALL.iter().position(|s| *s == sign);
    all.sort_by(|a, b| {
        (b.weight.cmp(&a.weight)).then(grave(a.trouble.sign).cmp(&grave(b.trouble.sign)))
    });
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_row_is_whole_and_every_sign_has_rows() {
        let mut names = BTreeSet::new();
        let mut signs = BTreeSet::new();
        for row in table() {
            for words in [row.is, row.tells, row.check, row.remedy, row.source] {
                assert!(!words.trim().is_empty(), "{}", row.name);
            }
            assert!(names.insert(row.name), "{} stands twice", row.name);
            signs.insert(row.sign);
        }
        assert_eq!(signs.len(), Sign::ALL.len());
        assert!(names.len() >= 30, "{} rows", names.len());
    }

    #[test]
    fn no_row_orders_to_feed() {
        for row in table() {
            let words = format!("{} {} {}", row.tells, row.check, row.remedy).to_lowercase();
            for order in [
                "feed it",
                "feed now",
                "feed gently",
                "keep feeding",
                "feed more",
            ] {
                assert!(!words.contains(order), "{}: {order}", row.name);
            }
        }
    }
}
