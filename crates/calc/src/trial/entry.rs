//! The log of a trial: one entry is a reading, an event, a check, a correction, or a word about
//! the trial.

/// What a trial tries.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Kind {
    Steam,
    Hydraulic,
    Air,
    SafetyValve,
    FeedPump,
    Burner,
    EngineRun,
}

impl Kind {
    /// The word in the trial file.
    pub fn word(self) -> &'static str {
        match self {
            Self::Steam => "steam",
            Self::Hydraulic => "hydraulic",
            Self::Air => "air",
            Self::SafetyValve => "safety-valve",
            Self::FeedPump => "feed-pump",
            Self::Burner => "burner",
            Self::EngineRun => "engine-run",
        }
    }
}

/// Where the water stood, without a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Seen {
    Below,
    Above,
    InGlass,
}

/// What came out of a try cock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Cock {
    Water,
    Steam,
    Unclear,
}

/// What was read at one time; only what was read is there.
#[derive(Clone, Debug, Default, PartialEq)]
#[allow(missing_docs)]
pub struct Reading {
    pub pressure_bar: Option<f64>,
    pub pressure_second_bar: Option<f64>,
    pub level_mm: Option<f64>,
    pub level_seen: Option<Seen>,
    pub level_second_mm: Option<f64>,
    pub level_second_seen: Option<Seen>,
    pub cock_top: Option<Cock>,
    pub cock_middle: Option<Cock>,
    pub cock_bottom: Option<Cock>,
    pub water_c: Option<f64>,
    pub shell_c: Option<f64>,
    pub ambient_c: Option<f64>,
    pub tank_c: Option<f64>,
    pub bearing_c: Option<f64>,
    pub feed_strokes: Option<f64>,
    pub feed_tank_ml: Option<f64>,
    pub catch_ml: Option<f64>,
    pub catch_s: Option<f64>,
    pub pumped_ml: Option<f64>,
    pub co_ppm: Option<f64>,
    pub co2_pct: Option<f64>,
    pub rpm: Option<f64>,
    pub strokes_per_min: Option<f64>,
    pub gas_g: Option<f64>,
    pub condensate_ml: Option<f64>,
}

/// Replaces in a reading only the keys that a correction names; an inner `None` withdraws.
#[derive(Clone, Debug, Default, PartialEq)]
#[allow(missing_docs)]
pub struct Patch {
    pub pressure_bar: Option<Option<f64>>,
    pub pressure_second_bar: Option<Option<f64>>,
    pub level_mm: Option<Option<f64>>,
    pub level_seen: Option<Option<Seen>>,
    pub level_second_mm: Option<Option<f64>>,
    pub level_second_seen: Option<Option<Seen>>,
    pub cock_top: Option<Option<Cock>>,
    pub cock_middle: Option<Option<Cock>>,
    pub cock_bottom: Option<Option<Cock>>,
    pub water_c: Option<Option<f64>>,
    pub shell_c: Option<Option<f64>>,
    pub ambient_c: Option<Option<f64>>,
    pub tank_c: Option<Option<f64>>,
    pub bearing_c: Option<Option<f64>>,
    pub feed_strokes: Option<Option<f64>>,
    pub feed_tank_ml: Option<Option<f64>>,
    pub catch_ml: Option<Option<f64>>,
    pub catch_s: Option<Option<f64>>,
    pub pumped_ml: Option<Option<f64>>,
    pub co_ppm: Option<Option<f64>>,
    pub co2_pct: Option<Option<f64>>,
    pub rpm: Option<Option<f64>>,
    pub strokes_per_min: Option<Option<f64>>,
    pub gas_g: Option<Option<f64>>,
    pub condensate_ml: Option<Option<f64>>,
}

impl Patch {
    /// Writes what the correction names over `reading`.
    pub fn apply(&self, reading: &mut Reading) {
        fn put<T: Copy>(from: &Option<Option<T>>, to: &mut Option<T>) {
            if let Some(value) = from {
                *to = *value;
            }
        }
        put(&self.pressure_bar, &mut reading.pressure_bar);
        put(&self.pressure_second_bar, &mut reading.pressure_second_bar);
        put(&self.level_mm, &mut reading.level_mm);
        put(&self.level_seen, &mut reading.level_seen);
        put(&self.level_second_mm, &mut reading.level_second_mm);
        put(&self.level_second_seen, &mut reading.level_second_seen);
        put(&self.cock_top, &mut reading.cock_top);
        put(&self.cock_middle, &mut reading.cock_middle);
        put(&self.cock_bottom, &mut reading.cock_bottom);
        put(&self.water_c, &mut reading.water_c);
        put(&self.shell_c, &mut reading.shell_c);
        put(&self.ambient_c, &mut reading.ambient_c);
        put(&self.tank_c, &mut reading.tank_c);
        put(&self.bearing_c, &mut reading.bearing_c);
        put(&self.feed_strokes, &mut reading.feed_strokes);
        put(&self.catch_ml, &mut reading.catch_ml);
        put(&self.catch_s, &mut reading.catch_s);
        put(&self.pumped_ml, &mut reading.pumped_ml);
        put(&self.strokes_per_min, &mut reading.strokes_per_min);
        put(&self.feed_tank_ml, &mut reading.feed_tank_ml);
        put(&self.co_ppm, &mut reading.co_ppm);
        put(&self.co2_pct, &mut reading.co2_pct);
        put(&self.rpm, &mut reading.rpm);
        put(&self.gas_g, &mut reading.gas_g);
        put(&self.condensate_ml, &mut reading.condensate_ml);
    }
}

/// What happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum EventName {
    FireLit,
    FireOut,
    FlameLost,
    FlameUnsteady,
    GasOff,
    Fired,
    BlowerOpen,
    BlowerShut,
    FeedOn,
    FeedOff,
    BypassOpen,
    BypassShut,
    StopValveOpen,
    StopValveShut,
    EngineRunning,
    EngineStopped,
    PumpStalled,
    PumpRaced,
    SafetyValveLifted,
    SafetyValveReseated,
    BlowDown,
    BlowDownEnded,
    GlassBlownThrough,
    GlassSluggish,
    CarryOver,
    WaterAdded,
    TankFilled,
    TankEmpty,
    DrainsOpen,
    DrainsShut,
    LubricatorFilled,
    Adjusted,
    CoAlarm,
    FumesNoticed,
    SymptomFelt,
    LeakSeen,
    LeakStopped,
    HoldStarted,
    HoldEnded,
    PressureReleased,
    SetMeasured,
    LookByPicture,
    Note,
}

/// Where a leak is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum LeakAt {
    Gas,
    Seam,
    Shell,
    Union,
    Gasket,
    Fitting,
    Blank,
    Gland,
    Unsaid,
}

impl LeakAt {
    /// Does a leak there stop the trial at once?
    pub fn is_grave(self) -> bool {
        matches!(self, Self::Gas | Self::Seam | Self::Shell)
    }

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Gas => "gas",
            Self::Seam => "seam",
            Self::Shell => "shell",
            Self::Union => "union",
            Self::Gasket => "gasket",
            Self::Fitting => "fitting",
            Self::Blank => "blank",
            Self::Gland => "gland",
            Self::Unsaid => "place not said",
        }
    }
}

/// An event with what was said about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// Which.
    pub name: EventName,
    /// Water added, ml.
    pub amount_ml: Option<f64>,
    /// Was it added to the boiler (and not the tank)?
    pub to_boiler: bool,
    /// Where the leak is.
    pub leak_at: LeakAt,
    /// How much the boiler had grown for good when it was measured after the test, %.
    pub growth_pct: Option<f64>,
}

/// A hold point or list item that was gone through.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// Its name.
    pub name: String,
    /// Was it done?
    pub done: bool,
    /// Did somebody go on against it, with a reason?
    pub overridden: bool,
    /// Why it was skipped or gone on against.
    pub reason: Option<String>,
    /// What was seen.
    pub value: Option<String>,
}

/// Which entry a correction speaks of.
#[derive(Clone, Debug, PartialEq)]
pub enum Target {
    /// By its id.
    Id(String),
    /// By its time, where one entry stands there.
    Time(f64),
}

/// The workshop's answer to the question of the trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Answer {
    Yes,
    No,
    NotSettled,
}

/// What an entry says.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// Something was read.
    Reading(Box<Reading>),
    /// Something happened.
    Event(Event),
    /// A hold point or list item.
    Check(Check),
    /// An earlier entry was wrong.
    Correction {
        /// Which.
        target: Target,
        /// What it should have said, key by key.
        patch: Box<Patch>,
        /// It should not stand at all.
        withdrawn: bool,
    },
    /// Somebody has seen a flag.
    Acknowledges {
        /// Which rule's.
        rule: String,
        /// Raised when.
        raised_at_s: f64,
    },
    /// The answer to the question.
    Answer(Answer),
    /// A signature: `close`, `witness` or a hold point.
    Signs(String),
    /// Kept and sealed, not judged.
    Keeps(String),
}

/// One entry of the log.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its own mark, if it has one.
    pub id: Option<String>,
    /// Seconds since the trial began.
    pub t_s: f64,
    /// When it became known, seconds since the trial began; never before `t_s`.
    pub received_at_s: f64,
    /// Who entered it.
    pub by: Option<String>,
    /// What it says.
    pub what: What,
    /// Its canonical text: breaks ties, so that shuffling a file changes nothing.
    pub text: String,
}

impl Entry {
    /// Rank within one instant: corrections, checks, events, readings, then the words.
    pub(crate) fn rank(&self) -> u8 {
        match self.what {
            What::Correction { .. } => 0,
            What::Check(_) => 1,
            What::Event(_) => 2,
            What::Reading(_) => 3,
            _ => 4,
        }
    }
}
