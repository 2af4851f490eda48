//! The figures of a trial as they are printed: value, uncertainty, unit, and from when to when.

use super::load::Judged;

/// A figure with its uncertainty, as it is printed.
pub(super) struct FigureShown {
    pub(super) name: String,
    pub(super) value: String,
    pub(super) plus_minus: String,
    pub(super) unit: &'static str,
    pub(super) span: String,
}

/// Every figure that can be had from the log.
pub(super) fn shown(trial: &Judged) -> Vec<FigureShown> {
    let figures = trial.judged.figures.iter();
    figures
        .map(|f| {
            let places = places(f.name, f.unit);
            FigureShown {
                name: words(f.name),
                value: calc::show::fixed(f.value, places),
                plus_minus: f.plus_minus.map_or_else(String::new, |u| {
                    format!("±{}", calc::show::fixed(u, places))
                }),
                unit: f.unit,
                span: format!("{} to {}", trial.clock(f.from_s), trial.clock(f.to_s)),
            }
        })
        .collect()
}

/// Places after the point that the unit is worth.
pub(super) fn places(name: &str, unit: &str) -> usize {
    match name {
        "trapped-air" | "pump-slip" => return 1,
        "leak" => return 3,
        _ => {}
    }
    match unit {
        "s" | "ppm" | "%" | "W" => 0,
        "mm" => 1,
        _ => 2,
    }
}

/// A figure's name in words.
pub(super) fn words(name: &str) -> String {
    let words = match name {
        "runway" => "runway, at the least",
        "runway-without-feed" => "runway, were the feed to stop",
        "raising-time" => "time to raise steam",
        "efficiency-water" => "efficiency, water alone",
        "efficiency-with-metal" => "efficiency, metal too",
        "balance-closure" => "closure of the water balance",
        "glass-correction" => "the glass shows low by",
        "co-15min" => "carbon monoxide, worst 15 min",
        "co-8h" => "carbon monoxide, over 8 h",
        "co-peak" => "carbon monoxide, highest",
        "drop-corrected" => "pressure drop, corrected",
        "attained" => "pressure attained",
        other => return other.replace('-', " "),
    };
    words.to_owned()
}
