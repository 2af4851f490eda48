//! The chart of a trial, as a strip recorder would have drawn it.

mod annotate;

use annotate::{events, flags};

use crate::lanes::{LaneArea, LaneWish, Sheet, Side};
use crate::plot::TrialPlot;
use crate::prim::{Anchor, Drawing, Prim, Role, Words, at};
use crate::svg::Svg;

const WIDTH: f64 = 840.0;
const PRESSURE_HIGH: f64 = 190.0;
const WATER_HIGH: f64 = 120.0;
const CO_HIGH: f64 = 64.0;

/// The lanes of a chart that are there.
struct Lanes {
    pressure: LaneArea,
    water: Option<LaneArea>,
    co: Option<LaneArea>,
}

/// The chart of a trial as SVG.
pub fn trial(plot: &TrialPlot) -> Svg {
    Svg::from(&draw(plot))
}

/// The chart of a trial as a display list: limits and labels first, pens over them.
pub fn draw(plot: &TrialPlot) -> Drawing {
    let mut heights = vec![PRESSURE_HIGH];
    heights.extend((!plot.no_glass).then_some(WATER_HIGH));
    heights.extend((!plot.co.is_empty()).then_some(CO_HIGH));
    let mut sheet = Sheet::new(
        &format!("{}: chart", plot.title),
        plot.says(),
        WIDTH,
        &heights,
        ends_at(plot),
    );
    sheet.rule_time(plot.starts_at_s);
    let lanes = open_lanes(&mut sheet, plot);
    limits(&mut sheet, plot, &lanes);
    events(&mut sheet, plot, &lanes.pressure);
    if let Some(water) = &lanes.water {
        wedge(&mut sheet, plot, water);
    }
    if plot.running {
        let x = sheet.time.place(plot.now_s);
        let foot = lanes.co.or(lanes.water).unwrap_or(lanes.pressure).bottom;
        sheet
            .drawing
            .line(Role::NowLine, at(x, lanes.pressure.top), at(x, foot));
    }
    pens(&mut sheet, plot, &lanes);
    flags(&mut sheet, plot, &lanes);
    sheet.drawing
}

/// How far to the right the paper runs: past now while running, so that the future has room.
fn ends_at(plot: &TrialPlot) -> f64 {
    let past = plot.now_s.max(60.0);
    if !plot.running {
        return past * 1.06 + 20.0;
    }
    let ahead = plot.runway.map_or(0.0, |r| {
        r.likely_s.unwrap_or(r.least_s).min(past.max(900.0))
    });
    past + (past * 0.2).max(ahead * 1.05).max(150.0)
}

fn open_lanes(sheet: &mut Sheet, plot: &TrialPlot) -> Lanes {
    let highest = |pen: &[(f64, f64)]| pen.iter().map(|p| p.1).fold(0.0, f64::max);
    let limits = [plot.stop_bar, plot.working_bar, plot.target_bar];
    let limit = limits.into_iter().flatten().fold(0.0, f64::max);
    let pressure = sheet.lane(&LaneWish {
        name: "pressure, bar",
        height: PRESSURE_HIGH,
        low: 0.0,
        high: (highest(&plot.pressure) * 1.05).max(limit * 1.08).max(1.0),
        most: 6.0,
        ink: Role::OffPaperInk,
        name_ink: Role::WordsInk,
    });
    let glass = plot
        .visible_mm
        .unwrap_or(0.0)
        .max(plot.high_mm.unwrap_or(0.0));
    let water = (!plot.no_glass).then(|| {
        sheet.lane(&LaneWish {
            name: "water in the glass, mm",
            height: WATER_HIGH,
            low: 0.0,
            high: highest(&plot.water).max(glass).max(10.0),
            most: 4.0,
            ink: Role::OffPaperWater,
            name_ink: Role::WordsWater,
        })
    });
    let co = (!plot.co.is_empty()).then(|| {
        sheet.lane(&LaneWish {
            name: "carbon monoxide, ppm",
            height: CO_HIGH,
            low: 0.0,
            high: highest(&plot.co)
                .max(plot.co_caution_ppm.unwrap_or(0.0) * 1.1)
                .max(10.0),
            most: 2.0,
            ink: Role::OffPaperCo,
            name_ink: Role::WordsCo,
        })
    });
    Lanes {
        pressure,
        water,
        co,
    }
}

fn limits(sheet: &mut Sheet, plot: &TrialPlot, lanes: &Lanes) {
    let (stop, caution) = (Role::StopLimit, Role::CautionLimit);
    if let Some(bar) = plot.stop_bar {
        let name = format!("stop {bar:.2}");
        sheet.limit(&lanes.pressure, bar, stop, &name, Side::RightOver);
    }
    if let Some(bar) = plot.working_bar {
        let name = format!("working {bar:.2}");
        sheet.limit(&lanes.pressure, bar, caution, &name, Side::RightUnder);
    }
    if let Some(bar) = plot.target_bar {
        let name = format!("to be reached {bar:.2}");
        sheet.limit(&lanes.pressure, bar, caution, &name, Side::RightOver);
    }
    if let (Some(mm), Some(water)) = (plot.high_mm, &lanes.water) {
        let name = format!("high mark {mm:.0}");
        sheet.limit(water, mm, caution, &name, Side::RightOver);
    }
    if let (Some(mm), Some(water)) = (plot.low_mm, &lanes.water) {
        let name = format!("low mark {mm:.0}");
        sheet.limit(water, mm, stop, &name, Side::LeftOver);
    }
    if let (Some(ppm), Some(lane)) = (plot.co_caution_ppm, lanes.co) {
        let name = format!("caution {ppm:.0}");
        sheet.limit(&lane, ppm, caution, &name, Side::RightUnder);
    }
}

/// What is ahead of the last look: from the steepest credible fall to the most likely, its near edge dimensioned.
fn wedge(sheet: &mut Sheet, plot: &TrialPlot, lane: &LaneArea) {
    let (Some(runway), Some(low), Some(last)) = (plot.runway, plot.low_mm, plot.water.last())
    else {
        return;
    };
    if !plot.running || plot.below.last().is_some_and(|t| *t >= last.0) {
        return;
    }
    let now = at(sheet.time.place(plot.now_s), lane.values.place(last.1));
    let mark = lane.values.place(low);
    let near = at(sheet.time.place(plot.now_s + runway.least_s), mark);
    let far = at(
        sheet.time.place(
            plot.now_s
                + runway
                    .likely_s
                    .unwrap_or(runway.least_s)
                    .max(runway.least_s),
        ),
        mark,
    );
    sheet.drawing.list.push(Prim::Polygon {
        role: Role::Wedge,
        points: vec![now, near, far],
    });
    sheet.drawing.line(Role::WedgeEdge, now, near);
    sheet.drawing.line(Role::WedgeEdge, now, far);
    let y = (mark + 12.0).min(lane.bottom - 3.0);
    dimension(sheet, now.x, near.x, y);
    let says = format!("at least {}", calc::show::span(runway.least_s));
    let (x, anchor) = if now.x > sheet.right - 130.0 {
        (now.x - 6.0, Anchor::End)
    } else {
        (now.x + 6.0, Anchor::Start)
    };
    sheet.drawing.words(
        Words::new(Role::WordsInk, at(x, y + 14.0), says)
            .bold()
            .anchor(anchor),
    );
}

fn dimension(sheet: &mut Sheet, from: f64, to: f64, y: f64) {
    sheet.drawing.line(Role::Dimension, at(from, y), at(to, y));
    sheet
        .drawing
        .line(Role::Dimension, at(to, y - 6.0), at(to, y + 4.0));
    for (tip, back) in [(from, from + 8.0), (to, to - 8.0)] {
        let points = vec![at(tip, y), at(back, y - 3.0), at(back, y + 3.0)];
        sheet.drawing.list.push(Prim::Polygon {
            role: Role::Arrow,
            points,
        });
    }
}

fn pens(sheet: &mut Sheet, plot: &TrialPlot, lanes: &Lanes) {
    pen(
        sheet,
        &lanes.pressure,
        &plot.runs(&plot.pressure, &[]),
        Role::PressurePen,
    );
    for (t, bar) in &plot.pressure {
        let place = at(sheet.time.place(*t), lanes.pressure.values.place(*bar));
        sheet.drawing.list.push(Prim::Dot {
            role: Role::PressureDot,
            at: place,
            radius: 3.0,
        });
    }
    if let Some(lane) = &lanes.water {
        water_pen(sheet, plot, lane);
    }
    if let Some(lane) = lanes.co {
        pen(sheet, &lane, &plot.runs(&plot.co, &[]), Role::CoPen);
    }
    tips(sheet, plot, lanes);
}

fn water_pen(sheet: &mut Sheet, plot: &TrialPlot, lane: &LaneArea) {
    pen(
        sheet,
        lane,
        &plot.runs(&plot.water, &plot.cuts()),
        Role::WaterPen,
    );
    for (t, mm) in &plot.water {
        let (x, y) = (sheet.time.place(*t), lane.values.place(*mm));
        let strokes = [
            (at(x, y - 4.0), at(x, y + 4.0)),
            (at(x - 4.0, y), at(x + 4.0, y)),
        ];
        for (from, to) in strokes {
            sheet.drawing.line(Role::WaterCross, from, to);
        }
    }
    for t in &plot.below {
        out_of_glass(sheet, *t, lane.bottom - 3.0, "below", Role::WordsStop);
    }
    for t in &plot.above {
        out_of_glass(sheet, *t, lane.top + 24.0, "above", Role::WordsWater);
    }
}

fn pen(sheet: &mut Sheet, lane: &LaneArea, runs: &[Vec<(f64, f64)>], role: Role) {
    for run in runs.iter().filter(|run| run.len() > 1) {
        let points = run
            .iter()
            .map(|(t, v)| at(sheet.time.place(*t), lane.values.place(*v)))
            .collect();
        sheet.drawing.list.push(Prim::Polyline { role, points });
    }
}

fn out_of_glass(sheet: &mut Sheet, t: f64, y: f64, words: &str, role: Role) {
    let x = sheet.time.place(t);
    sheet.drawing.words(
        Words::new(role, at(x, y), words)
            .bold()
            .anchor(Anchor::Middle),
    );
}

/// The last figure of each pen, written at its tip.
fn tips(sheet: &mut Sheet, plot: &TrialPlot, lanes: &Lanes) {
    let out = plot
        .below
        .iter()
        .chain(&plot.above)
        .copied()
        .fold(f64::NEG_INFINITY, f64::max);
    let water = plot.water.last().filter(|last| last.0 > out);
    let pens = [
        (
            plot.pressure.last(),
            Some(lanes.pressure),
            Role::WordsInk,
            2,
            "bar",
        ),
        (water, lanes.water, Role::WordsWater, 0, "mm"),
        (plot.co.last(), lanes.co, Role::WordsCo, 0, "ppm"),
    ];
    for (last, lane, role, places, unit) in pens {
        let (Some((t, value)), Some(lane)) = (last, lane) else {
            continue;
        };
        let places = if unit == "mm" && value.fract().abs() > 1e-9 {
            1
        } else {
            places
        };
        let words = format!("{} {unit}", calc::show::fixed(*value, places));
        let x = sheet.time.place(if plot.running { plot.now_s } else { *t }) + 7.0;
        let y = (lane.values.place(*value) - 7.0).clamp(lane.top + 12.0, lane.bottom - 4.0);
        let y = sheet.clear_of_names(y, lane.values.place(*value) + 18.0);
        let end = x > sheet.right - 64.0;
        let (x, anchor) = if end {
            (x - 14.0, Anchor::End)
        } else {
            (x, Anchor::Start)
        };
        sheet
            .drawing
            .words(Words::new(role, at(x, y), words).bold().anchor(anchor));
    }
}

#[cfg(test)]
mod tests;
