//! A caution is made quiet for a while: with a reason and an end, in the log and on the record. It keeps showing, comes back
//! by itself, and a stop is never made quiet.

use calc::trial::Severity;

use super::entry_form::Draft;
use super::load::Judged;
use super::orders;
use super::tree::quoted;
use super::typed::{Typed, one};
use crate::form::Faults;

/// For how many minutes a caution can be made quiet.
pub(super) const MINUTES: [&str; 3] = ["5", "10", "15"];

/// A caution made quiet: until when, by whom and why.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Quiet {
    pub(super) until_s: f64,
    pub(super) by: String,
    pub(super) why: String,
}

/// Reads the form.
///
/// # Errors
/// A reason or an end that is missing; a stop, which is refused as things stand.
pub(super) fn read(trial: &Judged, form: &Typed) -> Result<Draft, Faults> {
    let (rule, minutes, why) = (form.get("rule"), form.get("minutes"), form.get("why"));
    let standing = trial.judged.standing();
    let flag = standing.iter().find(|f| f.rule.name() == rule);
    match flag.map(|f| f.severity) {
        Some(Severity::Stop) => return Err(one("stop", "a stop is never made quiet")),
        None => return Err(one("stop", "this caution stands no more")),
        Some(_) => {}
    }
    let mut faults = Faults::default();
    if !MINUTES.contains(&minutes) {
        faults.add("minutes", "say for how long: 5, 10 or 15 minutes");
    }
    if why.is_empty() {
        faults.add("why", "say why it is made quiet: it stands on the record");
    }
    if !faults.list().is_empty() {
        return Err(faults);
    }
    let until = trial.now_s + 60.0 * minutes.parse::<f64>().unwrap_or(5.0);
    let note = format!("{rule}: {why}");
    Ok(Draft {
        fields: format!(
            "\"keeps\":\"quietened\",\"until_s\":{},\"note\":{}",
            calc::show::fixed(until, 0),
            quoted(&note)
        ),
        signs: None,
    })
}

/// How a rule is quiet now, if it is; a stop of the same rule is not.
pub(super) fn now(trial: &Judged, rule: &str) -> Option<Quiet> {
    trial
        .log
        .quietened(rule)
        .filter(|quiet| quiet.until_s > trial.now_s)
}

/// In words: until when, by whom, why.
pub(super) fn words(trial: &Judged, quiet: &Quiet) -> String {
    format!(
        "quiet until {} by {}, because: {}",
        trial.clock(quiet.until_s),
        quiet.by,
        quiet.why
    )
}

/// What was made quiet, for the record: one line each.
pub(super) fn all(trial: &Judged) -> Vec<String> {
    let rules: std::collections::BTreeSet<&str> =
        trial.judged.flags.iter().map(|f| f.rule.name()).collect();
    rules
        .into_iter()
        .filter_map(|rule| {
            let quiet = trial.log.quietened(rule)?;
            Some(format!("{}: {}", orders::about(rule), words(trial, &quiet)))
        })
        .collect()
}
