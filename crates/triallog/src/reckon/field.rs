//! What a reckoner is: fields as data.

use calc::Unusable;
use calc::answer::Answer;
use serde_json::value::RawValue;

use super::Given;

/// One calculation that can be asked by name.
#[derive(Debug)]
pub struct Reckoner {
    /// Its name on the command line.
    pub name: &'static str,
    /// Its title on a page.
    pub title: &'static str,
    /// What it asks, as one line.
    pub asks: &'static str,
    /// The ways to ask it; most have one.
    pub forms: &'static [Form],
}

/// One way to ask a reckoner.
#[derive(Debug)]
pub struct Form {
    /// What this way is for; empty where there is only one.
    pub is: &'static str,
    /// What goes in.
    pub inputs: &'static [Input],
    /// What comes out.
    pub outputs: &'static [Output],
    pub(crate) run: fn(&Given) -> Result<Answer, Unusable>,
}

/// One field that goes in.
#[derive(Clone, Copy, Debug)]
pub struct Input {
    /// Its key, with the unit in it.
    pub name: &'static str,
    /// What it is, in words.
    pub words: &'static str,
    /// Unit; empty for ratios, words and choices.
    pub unit: &'static str,
    /// What its value may be.
    pub kind: Kind,
    /// What happens when it is left out.
    pub left_out: LeftOut,
    /// The code of a refusal for a value outside its range, where it is not the name with
    /// `_out_of_range`.
    pub code: Option<&'static str>,
}

/// What the value of a field may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A number between two bounds, both allowed.
    Number(f64, f64),
    /// A whole number between two bounds, both allowed.
    Whole(f64, f64),
    /// `true` or `false`.
    Truth,
    /// One of these words.
    OneOf(&'static [&'static str]),
    /// A list of numbers, each between two bounds.
    Numbers(f64, f64),
    /// A list of readings: numbers, `null` where nothing was read, `"below"` or `"above"` where the
    /// level was out of sight.
    Readings(f64, f64),
    /// A list of intervals `[low, high]`, or `null` where there is none.
    Intervals,
    /// A table: rows of two numbers.
    Table,
    /// A list of tubes: objects with `od_mm` and `y_mm`.
    Tubes,
    /// Limits of carbon monoxide: an object with any of the keys of
    /// [`CO_LIMITS`](super::Kind::CO_LIMITS).
    CoLimits,
}

impl Kind {
    /// Keys of an object of monoxide limits, ppm.
    pub const CO_LIMITS: [&'static str; 5] = [
        "twa8_ppm",
        "stel15_ppm",
        "ceiling_ppm",
        "caution_ppm",
        "caution15_ppm",
    ];
}

/// What happens when a field is left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LeftOut {
    /// Nothing can be said without it.
    Needed,
    /// It is not used.
    Unused,
    /// This number is assumed.
    Number(f64),
    /// This word is assumed.
    Word(&'static str),
    /// This is assumed.
    Truth(bool),
}

/// One figure that comes out.
#[derive(Clone, Copy, Debug)]
pub struct Output {
    /// Its key, with the unit in it.
    pub name: &'static str,
    /// What it is, in words.
    pub words: &'static str,
    /// Unit; empty for ratios and words.
    pub unit: &'static str,
}

impl Reckoner {
    /// The letter of its topic: a steam, b volume from level, c level trend, d balance and the steam
    /// pump, e hydraulic test, f air, g safety valve, h burner and monoxide, i feed pump, j engine,
    /// k shell, l packing and threads, m cautions, n oil.
    pub fn topic(&self) -> char {
        TOPICS
            .iter()
            .find(|(_, names)| names.contains(&self.name))
            .map_or('m', |(letter, _)| *letter)
    }

    /// The way of asking that fits the given keys best: fewest keys it does not know, then fewest
    /// that it misses, then the first.
    pub(crate) fn form_for(&self, pairs: &[(String, &RawValue)]) -> &'static Form {
        let misfit = |form: &&Form| {
            let knows = |key: &str| form.inputs.iter().any(|i| i.name == key);
            let strange = pairs.iter().filter(|(key, _)| !knows(key)).count();
            let missing = form
                .inputs
                .iter()
                .filter(|i| i.left_out == LeftOut::Needed)
                .filter(|i| !pairs.iter().any(|(key, _)| key == i.name))
                .count();
            (strange, missing)
        };
        self.forms.iter().min_by_key(misfit).unwrap_or(&NO_FORM)
    }
}

const TOPICS: &[(char, &[&str])] = &[
    (
        'a',
        &["steam-properties", "saturation", "swell", "glass-reading"],
    ),
    ('b', &["shell-level", "calibrated-level"]),
    ('c', &["trend", "runway"]),
    ('d', &["water-balance", "pump-gain", "pump-force"]),
    (
        'e',
        &[
            "shell-drift",
            "trapped-air",
            "pressure-hold",
            "proof-pressure",
            "lost-drop",
        ],
    ),
    ('f', &["air-leak", "air-energy", "air-cap"]),
    (
        'g',
        &[
            "valve-capacity",
            "valve-area",
            "valve-lift",
            "accumulation",
            "valve-set",
            "closed-rise",
        ],
    ),
    (
        'h',
        &[
            "gas-jet",
            "jet-change",
            "combustion-air",
            "tank-pressure",
            "gas-run-time",
            "tank-cooling",
            "raising-efficiency",
            "steaming-efficiency",
            "fuel-against-charge",
            "co-alarm",
            "co-exposure",
            "co-ratio",
        ],
    ),
    ('i', &["feed-pump", "feed-margin"]),
    (
        'j',
        &[
            "engine-power",
            "mean-pressure",
            "engine-steam",
            "piston-speed",
            "cylinder-condensation",
            "brake-power",
        ],
    ),
    (
        'k',
        &["shell-stress", "ligament", "flat-end", "stay", "bar-litres"],
    ),
    (
        'l',
        &["packing", "thread-ba", "thread-whitworth", "thread-metric"],
    ),
    ('n', &["lubricator", "lubricator-bound", "oil"]),
];

static NO_FORM: Form = Form {
    is: "",
    inputs: &[],
    outputs: &[],
    run: |_| Err(Unusable::Missing { field: "form" }),
};

const fn input(
    name: &'static str,
    words: &'static str,
    unit: &'static str,
    kind: Kind,
    left_out: LeftOut,
) -> Input {
    Input {
        name,
        words,
        unit,
        kind,
        left_out,
        code: None,
    }
}

/// A number without which nothing can be said.
pub(crate) const fn need(
    name: &'static str,
    words: &'static str,
    unit: &'static str,
    least: f64,
    most: f64,
) -> Input {
    input(
        name,
        words,
        unit,
        Kind::Number(least, most),
        LeftOut::Needed,
    )
}

/// A number that is not used where it is left out.
pub(crate) const fn may(
    name: &'static str,
    words: &'static str,
    unit: &'static str,
    least: f64,
    most: f64,
) -> Input {
    input(
        name,
        words,
        unit,
        Kind::Number(least, most),
        LeftOut::Unused,
    )
}

/// A number that is assumed where it is left out.
pub(crate) const fn or(
    name: &'static str,
    words: &'static str,
    unit: &'static str,
    bounds: (f64, f64),
    default: f64,
) -> Input {
    let kind = Kind::Number(bounds.0, bounds.1);
    input(name, words, unit, kind, LeftOut::Number(default))
}

/// A field of another kind.
pub(crate) const fn other(
    name: &'static str,
    words: &'static str,
    unit: &'static str,
    kind: Kind,
    left_out: LeftOut,
) -> Input {
    input(name, words, unit, kind, left_out)
}

/// `true` or `false`; not used where it is left out.
pub(crate) const fn truth(name: &'static str, words: &'static str) -> Input {
    input(name, words, "", Kind::Truth, LeftOut::Unused)
}

impl Input {
    /// With a refusal code of its own for a value outside its range.
    pub(crate) const fn code(mut self, code: &'static str) -> Self {
        self.code = Some(code);
        self
    }
}

/// A figure that comes out.
pub(crate) const fn out(name: &'static str, words: &'static str, unit: &'static str) -> Output {
    Output { name, words, unit }
}

pub(crate) const BAROMETER: Input = or(
    "barometer_hPa",
    "barometer",
    "hPa",
    (850.0, 1085.0),
    1013.25,
)
.code("barometer_out_of_range_850_1085");

/// A time in seconds that must be longer than nothing.
pub(crate) const fn lasting(name: &'static str, words: &'static str) -> Input {
    need(name, words, "s", 0.001, 1e7).code("duration_not_positive")
}

/// A gauge pressure at which water boils in a model plant.
pub(crate) const fn pressure(name: &'static str, words: &'static str) -> Input {
    need(name, words, "bar", 0.0, 20.0)
}

/// A temperature that is 20 °C where nobody took it.
pub(crate) const fn cold(name: &'static str, words: &'static str) -> Input {
    or(name, words, "°C", (-20.0, 250.0), 20.0)
}

/// The verdict, where an answer carries one.
pub(crate) const VERDICT: Output = out("verdict", "verdict", "");
