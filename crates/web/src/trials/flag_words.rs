//! Flags as a page shows them: their order, their words, one movement a step, and what may be said with the water out of
//! sight.

use calc::trial::{Flag, Severity, Water, remedy};

use super::load::Judged;
use super::sight::clock_span;
use super::{orders, quieten};

/// A flag in words.
#[derive(Clone, Debug)]
pub(super) struct FlagShown {
    pub(super) rule: &'static str,
    pub(super) raised_at_s: String,
    /// `stop`, `caution`, `note`.
    pub(super) mark: &'static str,
    pub(super) about: String,
    pub(super) says: String,
    pub(super) todo: String,
    pub(super) steps: Vec<String>,
    pub(super) at: String,
    pub(super) ago: String,
    pub(super) stands: bool,
    pub(super) cleared: String,
    pub(super) seen_by: String,
    /// Until when it is made quiet and why; empty while it is not.
    pub(super) quiet: String,
    /// Number of the defect that was made of it; 0 where none was.
    pub(super) defect: i64,
    pub(super) first: &'static str,
    pub(super) second: &'static str,
    pub(super) huge: bool,
}

/// Every flag, standing ones first, the gravest first and the water before everything.
pub(super) fn flags(trial: &Judged) -> Vec<FlagShown> {
    let mut all: Vec<&Flag> = trial.judged.flags.iter().collect();
    let order = |s: Severity| match s {
        Severity::Stop => 0,
        Severity::Caution => 1,
        Severity::Note => 2,
    };
    all.sort_by(|a, b| {
        let key = |f: &Flag| {
            (
                !f.stands(),
                if f.stands() { order(f.severity) } else { 3 },
                if f.stands() {
                    orders::rank(f.rule.name())
                } else {
                    0
                },
            )
        };
        key(a)
            .cmp(&key(b))
            .then(b.raised_at_s.total_cmp(&a.raised_at_s))
    });
    all.into_iter().map(|f| shown(trial, f)).collect()
}

fn shown(trial: &Judged, flag: &Flag) -> FlagShown {
    let rule = flag.rule.name();
    let shout = orders::shout(rule, trial.has_fire());
    let todo = todo_of(rule, &flag.todo, out_of_sight(trial));
    FlagShown {
        rule,
        raised_at_s: flag.raised_at_s.to_string(),
        mark: flag.severity.word(),
        about: orders::about(rule),
        says: flag.says.clone(),
        steps: steps(trial, &todo),
        todo,
        at: trial.clock(flag.raised_at_s),
        ago: clock_span(trial.now_s - flag.raised_at_s),
        stands: flag.stands(),
        cleared: flag
            .cleared_at_s
            .map_or_else(String::new, |t| trial.clock(t)),
        seen_by: flag
            .acknowledged
            .as_ref()
            .map_or_else(String::new, |(by, _)| by.clone()),
        quiet: Some(rule)
            .filter(|_| flag.severity != Severity::Stop && flag.stands())
            .and_then(|rule| quieten::now(trial, rule))
            .map_or_else(String::new, |quiet| quieten::words(trial, &quiet)),
        defect: 0,
        first: shout.first,
        second: shout.second,
        huge: shout.huge,
    }
}

/// Is the water out of sight over a hot boiler?
pub(super) fn out_of_sight(trial: &Judged) -> bool {
    trial.judged.now.hot && trial.judged.now.water == Water::Below
}

/// With the water out of sight, another flag about the water does not take the screen from that stop once it is seen:
/// it stands in a band of its own.
pub(super) fn takes_the_screen(trial: &Judged, rule: &str) -> bool {
    rule == "water-out-of-sight" || !out_of_sight(trial) || !orders::is_about_water(rule)
}

/// What a flag says to do; with the water out of sight nothing but that stop may speak of feeding.
fn todo_of(rule: &str, todo: &str, out_of_sight: bool) -> String {
    let speaks_of_feed = todo
        .to_lowercase()
        .replace("do not feed", "")
        .contains("feed");
    if out_of_sight && rule != "water-out-of-sight" && speaks_of_feed {
        return "Fire out. Do not feed: the water is out of sight. Do what that stop says."
            .to_owned();
    }
    todo.to_owned()
}

/// What to do, one movement a step: *fire out* becomes the movements of this plant's fuel.
fn steps(trial: &Judged, todo: &str) -> Vec<String> {
    let mut steps = Vec::new();
    let mut rest = todo;
    for lead in ["Fire out now. ", "Fire out. "] {
        if let Some(after) = todo.strip_prefix(lead) {
            let fuel = trial.file.trial().plant.burner.and_then(|b| b.fuel);
            steps.push(remedy::put_the_fire_out(fuel).join(" "));
            rest = after;
        }
    }
    for sentence in rest
        .split_inclusive(". ")
        .map(str::trim)
        .filter(|s| !s.is_empty())
    {
        match steps.last_mut() {
            // What must not be done stands together on one line.
            Some(last) if last.starts_with("Do not") && sentence.starts_with("Do not") => {
                last.push(' ');
                last.push_str(sentence);
            }
            _ => steps.push(sentence.to_owned()),
        }
    }
    steps
}

/// Alarms that have cleared and that nobody has acknowledged: they stay on the page until somebody does, the newest of
/// each rule, unless it stands again.
pub(super) fn latched(flags: &[FlagShown]) -> Vec<&FlagShown> {
    let mut all: Vec<&FlagShown> = Vec::new();
    for flag in flags
        .iter()
        .filter(|f| !f.stands && f.mark != "note" && f.seen_by.is_empty())
    {
        let stands = flags.iter().any(|f| f.stands && f.rule == flag.rule);
        if !stands && !all.iter().any(|f| f.rule == flag.rule) {
            all.push(flag);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_order_to_feed_given_before_is_taken_back_once_the_water_is_out_of_sight() {
        let given =
            "Feed now and watch it rise. No rise at the next look, or no feed: put the fire out.";
        assert_eq!(todo_of("water-falling", given, false), given);
        let now = todo_of("water-falling", given, true);
        assert!(
            now.contains("Do not feed") && !now.contains("Feed now"),
            "{now}"
        );
        let air = "Everybody out to fresh air first.";
        assert_eq!(todo_of("carbon-monoxide", air, true), air);
    }
}
