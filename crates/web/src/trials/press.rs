//! A shell under test as its page shows it: target, stages, the hold counted down from stamps, the fall so far.

use super::load::Judged;
use super::sight::clock_span;
use calc::show;

/// What the readouts show of it.
#[derive(Clone, Debug)]
pub(super) struct PressShown {
    pub(super) target: String,
    pub(super) under_target: String,
    pub(super) hold_label: &'static str,
    pub(super) hold: String,
    /// Unix milliseconds at which the hold is over; 0 where none runs.
    pub(super) due_ms: i64,
    pub(super) over: bool,
    /// The fall so far, in words.
    pub(super) fall: String,
}

fn bars(bar: f64) -> String {
    show::fixed(bar, 2)
}

/// Nothing for a trial that is no test of a shell.
pub(super) fn shown(trial: &Judged) -> Option<PressShown> {
    let now = trial.judged.now.press?;
    let air = trial.row.kind == "air";
    let last = trial.judged.now.pressure_bar.map_or_else(
        || "nothing read yet".to_owned(),
        |bar| format!("now {} bar", bars(bar)),
    );
    let stages = match now.stages {
        _ if air => String::new(),
        0 => "; no stage yet".to_owned(),
        1 => "; 1 stage".to_owned(),
        n => format!("; {n} stages"),
    };
    let most = now
        .most_bar
        .map_or_else(String::new, |bar| format!("; at most {} bar", bars(bar)));
    let left = now.air_pct.map_or_else(String::new, |pct| {
        format!("; air left in it {} %", show::fixed(pct, 1))
    });
    let (hold_label, hold, due_ms, over) = hold(trial, &now);
    Some(PressShown {
        target: now.target_bar.map_or_else(String::new, bars),
        under_target: format!("{last}{stages}{most}{left}"),
        hold_label,
        hold,
        due_ms,
        over,
        fall: fall(&now),
    })
}

fn hold(trial: &Judged, now: &calc::trial::PressNow) -> (&'static str, String, i64, bool) {
    let (Some(from), ended) = (now.hold_from_s, now.hold_ended_s) else {
        let asked = clock_span(now.hold_for_s);
        return ("hold, asked for", asked, 0, false);
    };
    if let Some(ended) = ended {
        return ("held for", clock_span(ended - from), 0, false);
    }
    let left = from + now.hold_for_s - trial.now_s;
    let due = super::logbook::moment(trial.started(), from + now.hold_for_s);
    let label = if left < 0.0 {
        "hold is over by: read, then end it"
    } else {
        "hold still to go"
    };
    (label, clock_span(left.abs()), due.millis(), left < 0.0)
}

fn fall(now: &calc::trial::PressNow) -> String {
    let (Some((bar, about)), Some(allowed)) = (now.fall_bar, now.allowed_bar) else {
        return String::new();
    };
    let how = if now.corrected {
        "corrected for temperature"
    } else {
        "as read: no temperature at both ends"
    };
    format!(
        "Fall so far {} ±{} bar, {how}; {} bar may be.",
        bars(bar),
        bars(about),
        show::fixed(allowed, 3)
    )
}
