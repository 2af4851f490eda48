//! What a judgement answers.

use super::{LookNext, Now, Rule};

/// How grave a flag is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Something must be done soon.
    Caution,
    /// Something must be done now.
    Stop,
}

impl Severity {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Caution => "caution",
            Self::Stop => "stop",
        }
    }
}

/// One flag: what is wrong, since when, and what to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Flag {
    /// Which rule raised it.
    pub rule: Rule,
    /// How grave it is.
    pub severity: Severity,
    /// When it was raised, seconds since the trial began.
    pub raised_at_s: f64,
    /// When it cleared, if it has.
    pub cleared_at_s: Option<f64>,
    /// It cleared because what it rested on was corrected.
    pub cleared_by_correction: bool,
    /// What is wrong, the conservative figure first.
    pub says: String,
    /// What the hand is to do.
    pub todo: String,
    /// The figures it rests on, each with its unit in its name.
    pub evidence: Vec<(&'static str, f64)>,
    /// Where the rule comes from.
    pub basis: &'static str,
    /// Who has seen it, and when: `(by, seconds since the trial began)`.
    pub acknowledged: Option<(String, f64)>,
    /// The figure that raised it, for rules that clear by it.
    pub(crate) limit: f64,
}

impl Flag {
    /// Is it of the same rule and as grave?
    pub(super) fn is_as(&self, other: &Self) -> bool {
        self.rule == other.rule && self.severity == other.severity
    }

    /// Does it stand?
    pub fn stands(&self) -> bool {
        self.cleared_at_s.is_none()
    }
}

/// A figure from the log with its expanded uncertainty (k = 2).
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Its name in the trial file.
    pub name: &'static str,
    /// Value.
    pub value: f64,
    /// Expanded uncertainty, where it can be had.
    pub plus_minus: Option<f64>,
    /// Unit.
    pub unit: &'static str,
    /// From when it is reckoned, seconds since the trial began.
    pub from_s: f64,
    /// To when.
    pub to_s: f64,
}

/// What a trial proves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Everything that was to be shown was shown.
    Pass,
    /// Something that must not be was shown.
    Fail,
    /// Neither.
    NotProven,
}

impl Outcome {
    /// The word in an assessment.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::NotProven => "not-proven",
        }
    }
}

/// The verdict with every reason, worst first.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// Pass, fail or not proven.
    pub outcome: Outcome,
    /// Why, worst first.
    pub because: Vec<String>,
}

/// Everything a judgement answers.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    /// Every flag ever raised, by time, then as in the rules' table.
    pub flags: Vec<Flag>,
    /// Figures that can be had.
    pub figures: Vec<Figure>,
    /// What it proves.
    pub verdict: Verdict,
    /// How things stand at the last moment judged.
    pub now: Now,
    /// What to look at next, what the log speaks for first.
    pub look_next: Vec<LookNext>,
}

impl Assessment {
    /// Flags that stand, gravest first, then the newest.
    pub fn standing(&self) -> Vec<&Flag> {
        let mut standing: Vec<&Flag> = self.flags.iter().filter(|f| f.stands()).collect();
        standing.sort_by(|a, b| {
            b.severity
                .cmp(&a.severity)
                .then(b.raised_at_s.total_cmp(&a.raised_at_s))
        });
        standing
    }
}
