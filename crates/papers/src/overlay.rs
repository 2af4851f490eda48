//! Trials laid over each other on one strip of recorder paper, by time from something they share.
//!
//! The newest is drawn in full, the older ones in the same colours, broken; each pen carries the
//! letter of its trial at its tip, so nothing rests on colour or dashes alone.

use crate::lanes::{LaneArea, LaneWish, Sheet, Side};
use crate::plot::TrialPlot;
use crate::prim::{Anchor, Drawing, Prim, Role, Under, Words, at};
use crate::svg::Svg;

const WIDTH: f64 = 840.0;
const PRESSURE_HIGH: f64 = 180.0;
const WATER_HIGH: f64 = 140.0;
const CO_HIGH: f64 = 84.0;
/// Letters at the tips of pens stand at least so far apart.
const APART: f64 = 13.0;

/// Trials to be laid over each other, the oldest first; at most four can be told apart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Overlay {
    /// What the drawing is of.
    pub title: String,
    /// What time runs from, in words.
    pub from: String,
    /// Each with its letter. Their times run from what they share, and may be before it; their water is
    /// in [`Overlay::water_unit`].
    pub trials: Vec<(String, TrialPlot)>,
    /// Is the water in ml, or in mm of the glass?
    pub water_in_ml: bool,
    /// Working pressure, where all share it, bar.
    pub working_bar: Option<f64>,
    /// Low mark in the unit of the water, where all share it.
    pub low: Option<f64>,
}

impl Overlay {
    /// The unit that the water is in.
    pub fn water_unit(&self) -> &'static str {
        if self.water_in_ml { "ml" } else { "mm" }
    }

    fn says(&self) -> String {
        let mut says = vec![format!("Time runs from {}.", self.from)];
        for (letter, plot) in &self.trials {
            let highest = plot.pressure.iter().map(|p| p.1).reduce(f64::max);
            let lowest = plot.water.iter().map(|p| p.1).reduce(f64::min);
            let mut parts = Vec::new();
            parts.extend(highest.map(|bar| format!("highest pressure {bar:.2} bar")));
            parts.extend(lowest.map(|w| format!("lowest water {w:.0} {}", self.water_unit())));
            says.push(format!("{letter}, {}: {}.", plot.title, parts.join(", ")));
        }
        says.join(" ")
    }
}

/// The overlay as SVG; none without a trial in which something was read.
pub fn trials(overlay: &Overlay) -> Option<Svg> {
    overlay
        .trials
        .iter()
        .any(|(_, plot)| !(plot.pressure.is_empty() && plot.water.is_empty() && plot.co.is_empty()))
        .then(|| Svg::from(&draw(overlay)))
}

/// Unbroken runs of a pen: seconds and value.
type Runs = Vec<Vec<(f64, f64)>>;

/// What one lane shows of each trial.
struct Lane<'a> {
    area: LaneArea,
    pens: Vec<(&'a str, Runs)>,
    whole: Role,
    under: fn(Under) -> Role,
    words: Role,
}

/// The overlay as a display list.
pub fn draw(overlay: &Overlay) -> Drawing {
    let any = |pen: fn(&TrialPlot) -> &Vec<(f64, f64)>| {
        let mut all = overlay.trials.iter();
        all.any(|(_, plot)| !pen(plot).is_empty())
    };
    let (has_water, has_co) = (any(|p| &p.water), any(|p| &p.co));
    let mut heights = vec![PRESSURE_HIGH];
    heights.extend(has_water.then_some(WATER_HIGH));
    heights.extend(has_co.then_some(CO_HIGH));
    let mut sheet = Sheet::between(
        &overlay.title,
        overlay.says(),
        WIDTH,
        &heights,
        ends(overlay),
    );
    sheet.rule_time(None);
    let mut lanes = vec![pressure(&mut sheet, overlay)];
    if has_water {
        lanes.push(water(&mut sheet, overlay));
    }
    if has_co {
        lanes.push(monoxide(&mut sheet, overlay));
    }
    shared(&mut sheet, overlay, &lanes);
    for lane in &lanes {
        pens(&mut sheet, lane);
    }
    sheet.drawing
}

/// From the earliest to the latest reading, with room for the letters.
fn ends(overlay: &Overlay) -> (f64, f64) {
    let times = overlay.trials.iter().flat_map(|(_, p)| {
        let pens = p.pressure.iter().chain(&p.water).chain(&p.co);
        pens.map(|at| at.0)
    });
    let (from, to) = times.fold((0.0_f64, 60.0_f64), |(l, h), t| (l.min(t), h.max(t)));
    (from, to + (to - from) * 0.05)
}

fn highest(overlay: &Overlay, pen: fn(&TrialPlot) -> &Vec<(f64, f64)>) -> f64 {
    let all = overlay.trials.iter().flat_map(|(_, plot)| pen(plot));
    all.map(|p| p.1).fold(0.0, f64::max)
}

fn runs_of(
    overlay: &Overlay,
    pen: fn(&TrialPlot) -> &Vec<(f64, f64)>,
    cut: bool,
) -> Vec<(&str, Runs)> {
    let runs = |plot: &TrialPlot| {
        let cuts = if cut { plot.cuts() } else { Vec::new() };
        plot.runs(pen(plot), &cuts)
    };
    let all = overlay.trials.iter();
    all.map(|(letter, plot)| (letter.as_str(), runs(plot)))
        .collect()
}

fn pressure<'a>(sheet: &mut Sheet, overlay: &'a Overlay) -> Lane<'a> {
    let working = overlay.working_bar.unwrap_or(0.0) * 1.08;
    let area = sheet.lane(&LaneWish {
        name: "pressure, bar",
        height: PRESSURE_HIGH,
        low: 0.0,
        high: (highest(overlay, |p| &p.pressure) * 1.05)
            .max(working)
            .max(1.0),
        most: 6.0,
        ink: Role::OffPaperInk,
        name_ink: Role::WordsInk,
    });
    if let Some(bar) = overlay.working_bar {
        let name = format!("working {bar:.2}");
        sheet.limit(&area, bar, Role::CautionLimit, &name, Side::RightUnder);
    }
    Lane {
        area,
        pens: runs_of(overlay, |p| &p.pressure, false),
        whole: Role::PressurePen,
        under: Role::PressureUnder,
        words: Role::WordsInk,
    }
}

fn water<'a>(sheet: &mut Sheet, overlay: &'a Overlay) -> Lane<'a> {
    let all = overlay.trials.iter().flat_map(|(_, plot)| &plot.water);
    let lowest = all.map(|p| p.1).chain(overlay.low).reduce(f64::min);
    let highest = highest(overlay, |p| &p.water).max(10.0);
    // Water in ml begins far from nothing: the paper is cut off under the lowest of it.
    let low = match lowest {
        Some(low) if overlay.water_in_ml && low > 0.5 * highest => {
            ((low - (highest - low) * 0.15) / 50.0).floor().max(0.0) * 50.0
        }
        _ => 0.0,
    };
    let area = sheet.lane(&LaneWish {
        name: if overlay.water_in_ml {
            "water in the boiler, ml, hot as it was"
        } else {
            "water in the glass, mm"
        },
        height: WATER_HIGH,
        low,
        high: highest,
        most: 5.0,
        ink: Role::OffPaperWater,
        name_ink: Role::WordsWater,
    });
    if let Some(low) = overlay.low {
        let name = format!("low mark {low:.0}");
        sheet.limit(&area, low, Role::StopLimit, &name, Side::LeftOver);
    }
    Lane {
        area,
        pens: runs_of(overlay, |p| &p.water, true),
        whole: Role::WaterPen,
        under: Role::WaterUnder,
        words: Role::WordsWater,
    }
}

fn monoxide<'a>(sheet: &mut Sheet, overlay: &'a Overlay) -> Lane<'a> {
    let area = sheet.lane(&LaneWish {
        name: "carbon monoxide, ppm",
        height: CO_HIGH,
        low: 0.0,
        high: highest(overlay, |p| &p.co).max(10.0),
        most: 3.0,
        ink: Role::OffPaperCo,
        name_ink: Role::WordsCo,
    });
    Lane {
        area,
        pens: runs_of(overlay, |p| &p.co, false),
        whole: Role::CoPen,
        under: Role::CoUnder,
        words: Role::WordsCo,
    }
}

/// The upright line at what the trials share, with its name.
fn shared(sheet: &mut Sheet, overlay: &Overlay, lanes: &[Lane<'_>]) {
    let (Some(first), Some(last)) = (lanes.first(), lanes.last()) else {
        return;
    };
    let x = sheet.time.place(0.0);
    let (top, foot) = (first.area.top, last.area.bottom);
    sheet.drawing.line(Role::EventLine, at(x, top), at(x, foot));
    let words = Words::new(
        Role::WordsInk,
        at(x + 12.0, first.area.bottom - 4.0),
        overlay.from.clone(),
    );
    sheet.drawing.words(words.upward());
}

/// The pens of a lane, the oldest under the newest, each with its letter at its tip.
fn pens(sheet: &mut Sheet, lane: &Lane<'_>) {
    let newest = lane.pens.len().saturating_sub(1);
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for (place, (letter, runs)) in lane.pens.iter().enumerate() {
        let role = match newest - place {
            0 => lane.whole,
            1 => (lane.under)(Under::First),
            2 => (lane.under)(Under::Second),
            _ => (lane.under)(Under::Third),
        };
        for run in runs {
            let points: Vec<_> = run
                .iter()
                .map(|(t, v)| at(sheet.time.place(*t), lane.area.values.place(*v)))
                .collect();
            match points.as_slice() {
                [only] => sheet.drawing.list.push(Prim::Dot {
                    role: Role::PressureDot,
                    at: *only,
                    radius: 2.2,
                }),
                _ => sheet.drawing.list.push(Prim::Polyline { role, points }),
            }
        }
        let Some((t, v)) = runs.last().and_then(|run| run.last()) else {
            continue;
        };
        let x = sheet.time.place(*t) + 5.0;
        let y = clear(&taken, x, lane.area.values.place(*v) + 4.0, &lane.area);
        taken.push((x, y));
        let words = Words::new(lane.words, at(x, y), *letter);
        sheet
            .drawing
            .words(words.bold().size(14.0).anchor(Anchor::Start));
    }
}

/// A height near `y` at which no letter stands yet.
fn clear(taken: &[(f64, f64)], x: f64, y: f64, area: &LaneArea) -> f64 {
    let free = |at: f64| {
        let close = |(tx, ty): &(f64, f64)| (tx - x).abs() < 14.0 && (ty - at).abs() < APART;
        !taken.iter().any(close)
    };
    let inside = |at: f64| at.clamp(area.top + 12.0, area.bottom - 2.0);
    (0..8)
        .flat_map(|n| [y - f64::from(n) * APART, y + f64::from(n) * APART])
        .map(inside)
        .find(|at| free(*at))
        .unwrap_or(y)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plot(title: &str, shift: f64, co: bool) -> TrialPlot {
        TrialPlot {
            title: title.into(),
            pressure: vec![(-420.0 + shift, 0.0), (0.0, 0.5), (600.0, 3.0)],
            water: vec![(0.0, 900.0), (600.0, 850.0 + shift)],
            co: if co { vec![(0.0, 3.0)] } else { Vec::new() },
            ..TrialPlot::default()
        }
    }

    fn two() -> Overlay {
        Overlay {
            title: "Sandmartin: two trials".into(),
            from: "fire lit".into(),
            trials: vec![
                ("A".into(), plot("26-001/1", 0.0, false)),
                ("B".into(), plot("26-001/2", 10.0, true)),
            ],
            water_in_ml: true,
            working_bar: Some(4.0),
            low: Some(700.0),
        }
    }

    #[test]
    fn each_pen_carries_its_letter_and_the_older_one_is_broken() {
        let drawing = draw(&two());
        let words = drawing.all_words();
        let letters = |l: &str| words.iter().filter(|w| **w == l).count();
        // B has a lane that A has no pen in.
        assert_eq!((letters("A"), letters("B")), (2, 3));
        assert!(words.contains(&"fire lit") && words.contains(&"low mark 700"));
        assert!(words.contains(&"−6 min"), "{words:?}");
        let roles: Vec<Role> = drawing
            .list
            .iter()
            .filter_map(|p| match p {
                Prim::Polyline { role, .. } => Some(*role),
                _ => None,
            })
            .collect();
        assert_eq!(
            roles,
            [
                Role::PressureUnder(Under::First),
                Role::PressurePen,
                Role::WaterUnder(Under::First),
                Role::WaterPen
            ]
        );
        assert!(
            drawing
                .says
                .contains("A, 26-001/1: highest pressure 3.00 bar, lowest water 850 ml.")
        );
    }

    #[test]
    fn letters_at_one_place_stand_clear_of_each_other() {
        let mut same = two();
        let twin = same.trials[0].1.clone();
        same.trials = ["A", "B", "C", "D"]
            .map(|l| (l.to_owned(), twin.clone()))
            .to_vec();
        let drawing = draw(&same);
        let mut ys: Vec<f64> = drawing
            .list
            .iter()
            .filter_map(|p| match p {
                Prim::Text(w) if w.size > 13.0 && w.role == Role::WordsInk => Some(w.at.y),
                _ => None,
            })
            .collect();
        ys.sort_by(f64::total_cmp);
        assert_eq!(ys.len(), 4);
        assert!(ys.windows(2).all(|w| w[1] - w[0] >= APART - 1e-9), "{ys:?}");
    }

    #[test]
    fn nothing_read_is_nothing_drawn() {
        let mut none = two();
        for (_, plot) in &mut none.trials {
            *plot = TrialPlot::default();
        }
        assert!(trials(&none).is_none());
    }
}
