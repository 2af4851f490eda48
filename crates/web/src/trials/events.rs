//! Events in words, and which of them stand on the page as keys.

use super::draw;
use super::load::Judged;

/// An event as a key on the page: the file's word, and the words on the key.
pub(super) type Key = (&'static str, &'static str);

/// Events of one tap while the fire is in, those used most first. The first three depend on what was last entered.
pub(super) const MORE: &[Key] = &[
    ("stop-valve-open", "Stop valve open"),
    ("stop-valve-shut", "Stop valve shut"),
    ("bypass-open", "Bypass open"),
    ("bypass-shut", "Bypass shut"),
    ("fired", "Fired, coal on"),
    ("blower-open", "Blower open"),
    ("blower-shut", "Blower shut"),
    ("safety-valve-reseated", "Valve shut again"),
    ("look-by-picture", "Looked, by a picture"),
    ("glass-blown-through", "Glass blown through"),
    ("glass-sluggish", "Glass sluggish"),
    ("carry-over", "Water heard in the engine"),
    ("blow-down", "Blow-down"),
    ("blow-down-ended", "Blow-down ended"),
    ("tank-filled", "Feed tank filled"),
    ("tank-empty", "Feed tank empty"),
    ("pump-stalled", "Pump stalled"),
    ("flame-unsteady", "Flame unsteady"),
    ("flame-lost", "Flame lost"),
    ("gas-off", "Gas off"),
    ("fumes-noticed", "Fumes noticed"),
    ("co-alarm", "CO alarm sounds"),
    ("symptom-felt", "Headache, dizzy"),
    ("drains-open", "Drains open"),
    ("drains-shut", "Drains shut"),
    ("lubricator-filled", "Lubricator filled"),
    ("leak-stopped", "Leak stopped"),
    ("pressure-released", "Pressure is gone"),
];

/// Events of one tap in a trial of this kind, those used most first.
pub(super) fn more(kind: &str) -> Vec<Key> {
    const SHELL: &[Key] = &[
        ("hold-started", "Hold started"),
        ("hold-ended", "Hold ended"),
        ("pressure-released", "Pressure is gone"),
        ("leak-stopped", "Leak stopped"),
        ("fire-lit", "Fire lit"),
    ];
    match kind {
        "hydraulic" | "air" => SHELL.to_vec(),
        _ => MORE.to_vec(),
    }
}

/// Where a leak can be.
pub(super) const LEAKS: &[Key] = &[
    ("gland", "a gland"),
    ("union", "a union"),
    ("gasket", "a gasket"),
    ("fitting", "a fitting"),
    ("blank", "a blank"),
    ("gas", "gas: no flame, no switch"),
    ("seam", "a seam of the boiler"),
    ("shell", "the shell of the boiler"),
];

/// An event in words.
pub(super) fn words(event: &str) -> String {
    let words = match event {
        "fire-lit" => "fire lit",
        "fire-out" => "fire out",
        "feed-on" => "feed on",
        "feed-off" => "feed off",
        "engine-running" => "engine running",
        "engine-stopped" => "engine stopped",
        "safety-valve-lifted" => "valve lifted",
        "safety-valve-reseated" => "valve reseated",
        "leak-seen" => "leak seen",
        "water-added" => "water added",
        other => return other.replace('-', " "),
    };
    words.to_owned()
}

/// What stands as the log says it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Standing {
    pub(super) feed_on: bool,
    pub(super) running: bool,
    pub(super) lifted: bool,
    pub(super) holding: bool,
    pub(super) stop_valve_open: bool,
    pub(super) drains_open: bool,
}

/// The first keys of the row: what can come next in a trial of this kind.
pub(super) fn first(kind: &str, now: Standing) -> [Key; 3] {
    let either = |on: bool, yes: Key, no: Key| if on { yes } else { no };
    let hold = either(
        now.holding,
        ("hold-ended", "Hold ended"),
        ("hold-started", "Hold started"),
    );
    let stop_valve = either(
        now.stop_valve_open,
        ("stop-valve-shut", "Stop valve shut"),
        ("stop-valve-open", "Stop valve open"),
    );
    let drains = either(
        now.drains_open,
        ("drains-shut", "Drains shut"),
        ("drains-open", "Drains open"),
    );
    let [feed, engine, valve] = usual(now.feed_on, now.running, now.lifted);
    match kind {
        "hydraulic" | "air" => [
            hold,
            ("pressure-released", "Pressure is gone"),
            ("leak-stopped", "Leak stopped"),
        ],
        "safety-valve" => [valve, stop_valve, feed],
        "feed-pump" => [feed, ("pump-stalled", "Pump stalled"), engine],
        "burner" => [
            ("flame-unsteady", "Flame unsteady"),
            ("flame-lost", "Flame lost"),
            ("gas-off", "Gas off"),
        ],
        "engine-run" => [engine, drains, stop_valve],
        _ => [feed, engine, valve],
    }
}

/// The first keys of a trial's row, as its log stands.
pub(super) fn first_keys(trial: &Judged) -> [Key; 3] {
    use calc::trial::EventName as E;
    let mut standing = Standing {
        feed_on: trial.judged.now.feed_on,
        ..Standing::default()
    };
    for (_, what) in draw::corrected(trial.file.trial()) {
        if let calc::trial::What::Event(event) = what {
            match event.name {
                E::EngineRunning => standing.running = true,
                E::EngineStopped => standing.running = false,
                E::SafetyValveLifted => standing.lifted = true,
                E::SafetyValveReseated => standing.lifted = false,
                E::StopValveOpen => standing.stop_valve_open = true,
                E::StopValveShut => standing.stop_valve_open = false,
                E::DrainsOpen => standing.drains_open = true,
                E::DrainsShut => standing.drains_open = false,
                E::HoldStarted => standing.holding = true,
                E::HoldEnded | E::PressureReleased => standing.holding = false,
                _ => {}
            }
        }
    }
    first(&trial.row.kind, standing)
}

fn usual(feed_on: bool, running: bool, lifted: bool) -> [Key; 3] {
    [
        if feed_on {
            ("feed-off", "Feed off")
        } else {
            ("feed-on", "Feed on")
        },
        if running {
            ("engine-stopped", "Engine stopped")
        } else {
            ("engine-running", "Engine running")
        },
        if lifted {
            ("safety-valve-reseated", "Valve shut again")
        } else {
            ("safety-valve-lifted", "Valve lifted")
        },
    ]
}
