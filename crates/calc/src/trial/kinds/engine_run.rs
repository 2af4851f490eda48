//! The engine run: long enough, no faster than it may, and looked after. Its power is an estimate and
//! is never judged.

use super::Grounds;
use crate::show;
use crate::trial::assessment::Figure;
use crate::trial::facts::Facts;

/// It must have run for so long without a break, s (trade practice).
const RUN_S: f64 = 600.0;
/// Bearings hotter than this are too tight or too dry, °C (trade practice).
const BEARING_C: f64 = 60.0;

pub(super) fn judge(facts: &Facts, end_s: f64, grounds: &mut Grounds) {
    let bench = &facts.bench;
    let ran_s = bench.engine.longest_s(end_s);
    if ran_s < RUN_S {
        grounds.doubt(format!(
            "It ran for {} without a break; {} is asked.",
            show::span(ran_s),
            show::span(RUN_S)
        ));
    } else {
        grounds.remark(format!("It ran for {} without a break.", show::span(ran_s)));
    }
    if bench.turns.is_empty() {
        grounds.doubt("Its turns were never counted, so its speed is not proven.");
    } else if facts.setup.longest_stroke_mm().is_none() {
        grounds.doubt("Its stroke is not known, so its piston speed is not proven.");
    }
    match bench.hottest_c {
        None => grounds.doubt("No bearing's temperature was recorded."),
        Some(c) if c > BEARING_C => grounds.doubt(format!(
            "A bearing came to {} °C; over {} °C it is too tight or too dry.",
            show::fixed(c, 0),
            show::fixed(BEARING_C, 0)
        )),
        Some(c) => grounds.remark(format!("Bearings {} °C at the hottest.", show::fixed(c, 0))),
    }
    grounds.need(
        facts.glands_named,
        "Nothing was recorded of the glands: enter a leak at a gland, or a note that names them.",
    );
}

pub(super) fn figures(facts: &Facts, end_s: f64, out: &mut Vec<Figure>) {
    let _ = (facts, end_s, out);
}
