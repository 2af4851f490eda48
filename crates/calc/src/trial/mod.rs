//! Trials: a log in, flags, figures and a verdict out.
//!
//! [`assess`] is the one judge: of a file, of the live log and of a sealed record. Flags are causal
//! (a flag at a time depends only on what had arrived by then), facts are never refused, and what is
//! not known is said to be *not proven*.
//!
//! ```
//! use calc::trial::{Outcome, Trial, assess};
//!
//! // A steam trial in which nothing was entered proves nothing.
//! let judged = assess(&Trial::default(), None);
//! assert_eq!(judged.verdict.outcome, Outcome::NotProven);
//! ```

pub mod alarms;
mod assessment;
mod entry;
mod facts;
mod figures;
mod judge;
mod kinds;
mod ledger;
mod log;
mod now;
mod plant;
pub mod remedy;
mod rules;
mod setup;
pub mod troubles;
mod verdict;
mod watch;

pub use assessment::{Assessment, Figure, Flag, Outcome, Severity, Verdict};
pub use entry::{
    Answer, Check, Cock, Entry, Event, EventName, Kind, LeakAt, Patch, Reading, Seen, Target, What,
};
pub use judge::{Live, assess};
pub use now::{Now, PressNow, Water};
pub use plant::{
    Burner, Cylinder, Day, Drive, FeedPump, Fuel, Glass, HydraulicPass, Instrument, Instruments,
    Limits, Plant, SafetyValve, Shell, ShellMaterial, WaterSeenBy,
};
pub use rules::Rule;
pub use troubles::LookNext;

/// What drives the engine in an engine run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Supply {
    Steam,
    AirDirect,
    AirThroughBoiler,
}

/// A trial: what was known beforehand, and its log in any order.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// What it tries.
    pub kind: Kind,
    /// What it is to answer.
    pub question: Option<String>,
    /// The day it began.
    pub started_on: Option<Day>,
    /// When it ended, seconds since it began.
    pub ended_at_s: Option<f64>,
    /// Barometer, hPa.
    pub barometer_hpa: Option<f64>,
    /// What drives the engine.
    pub supply: Option<Supply>,
    /// The plant as it was.
    pub plant: Plant,
    /// The instruments as they were.
    pub instruments: Instruments,
    /// The limits chosen.
    pub limits: Limits,
    /// Hold points to be signed before fire or pressure.
    pub hold_points: Option<Vec<String>>,
    /// The log.
    pub entries: Vec<Entry>,
}

/// Pressure of air that must not be passed, bar on the gauge: the trial's limit, and never over a tenth of the working
/// pressure where that is known.
///
/// ```
/// use calc::trial::{Trial, air_cap_bar};
///
/// let mut trial = Trial::default();
/// assert_eq!(air_cap_bar(&trial), 0.5);
/// trial.plant.working_pressure_bar = Some(4.0);
/// assert_eq!(air_cap_bar(&trial), 0.4);
/// ```
#[must_use]
pub fn air_cap_bar(trial: &Trial) -> f64 {
    let most = trial.limits.air_max_bar;
    let working = trial.plant.working_pressure_bar;
    working.map_or(most, |p| most.min(0.1 * p))
}

impl Default for Trial {
    fn default() -> Self {
        Self {
            kind: Kind::Steam,
            question: None,
            started_on: None,
            ended_at_s: None,
            barometer_hpa: None,
            supply: None,
            plant: Plant::default(),
            instruments: Instruments::default(),
            limits: Limits::default(),
            hold_points: None,
            entries: Vec::new(),
        }
    }
}
