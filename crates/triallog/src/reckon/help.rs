//! The reckoners' lists as text for a terminal.

use calc::show::significant;

use super::field::{Input, Kind, LeftOut};
use super::{Reckoner, all};

/// Every name with a line each.
pub fn list() -> String {
    let width = all().map(|r| r.name.len()).max().unwrap_or(0);
    let lines: Vec<String> = all()
        .map(|r| format!("{:<width$}  {}", r.name, r.asks))
        .collect();
    lines.join("\n")
}

/// One reckoner's inputs with units, ranges and defaults, and what it answers.
///
/// ```
/// let help = triallog::reckon::help(triallog::reckon::named("feed-margin")?);
/// assert!(help.contains("required_factor"));
/// # Ok::<(), triallog::reckon::Refused>(())
/// ```
pub fn help(reckoner: &Reckoner) -> String {
    let mut lines = vec![
        format!("{}: {}", reckoner.name, reckoner.title),
        reckoner.asks.to_owned(),
    ];
    for form in reckoner.forms {
        lines.push(String::new());
        lines.push(match form.is {
            "" => "Inputs".to_owned(),
            is => format!("Inputs, {is}"),
        });
        let width = form.inputs.iter().map(|i| i.name.len()).max().unwrap_or(0);
        lines.extend(form.inputs.iter().map(|i| line(i, width)));
        lines.push("Answers".to_owned());
        let width = form.outputs.iter().map(|o| o.name.len()).max().unwrap_or(0);
        lines.extend(form.outputs.iter().map(|o| {
            let unit = bracketed(o.unit);
            format!("  {:<width$}  {}{unit}", o.name, o.words)
        }));
    }
    lines.push(String::new());
    lines.push("A record, not a certificate; with each answer: verdict, ± (k = 2), limit, working, what was assumed, source.".to_owned());
    lines.join("\n")
}

fn bracketed(unit: &str) -> String {
    if unit.is_empty() {
        String::new()
    } else {
        format!(" ({unit})")
    }
}

fn line(input: &Input, width: usize) -> String {
    let unit = if input.unit.is_empty() {
        String::new()
    } else {
        format!(" {}", input.unit)
    };
    let range = |least: f64, most: f64| {
        format!(
            "{} to {}{unit}",
            significant(least, 6),
            significant(most, 6)
        )
    };
    let may_be = match input.kind {
        Kind::Number(least, most) => range(least, most),
        Kind::Whole(least, most) => format!("whole, {}", range(least, most)),
        Kind::Truth => "true or false".to_owned(),
        Kind::OneOf(words) => words.join(", "),
        Kind::Numbers(least, most) => format!("list, each {}", range(least, most)),
        Kind::Readings(least, most) => {
            format!(
                "list, each {}, null, \"below\" or \"above\"",
                range(least, most)
            )
        }
        Kind::Intervals => "list, each [low, high] or null".to_owned(),
        Kind::Table => "list of [level, ml]".to_owned(),
        Kind::Tubes => "list of {od_mm, y_mm}".to_owned(),
        Kind::CoLimits => format!("object of {}", Kind::CO_LIMITS.join(", ")),
    };
    let left_out = match input.left_out {
        LeftOut::Needed => "needed".to_owned(),
        LeftOut::Unused => "may be left out".to_owned(),
        LeftOut::Number(n) => format!("{}{unit} assumed", significant(n, 6)),
        LeftOut::Word(word) => format!("{word} assumed"),
        LeftOut::Truth(true) => "yes assumed".to_owned(),
        LeftOut::Truth(false) => "no assumed".to_owned(),
    };
    format!(
        "  {:<width$}  {}: {may_be}; {left_out}",
        input.name, input.words
    )
}
