//! What is written on a chart beside its pens: events and flags.

use crate::chart::Lanes;
use crate::lanes::{LEFT, LaneArea, Sheet};
use crate::plot::{FlagAt, Lane, Severity, TrialPlot};
use crate::prim::{Prim, Role, Sign, Words, at};

/// Events as dotted uprights through every lane, their words read upward: left of the line where there is room, else
/// right of it, else higher up, so that events that come together can all be read.
pub(super) fn events(sheet: &mut Sheet, plot: &TrialPlot, lane: &LaneArea) {
    let foot = sheet.drawing.height - 20.0;
    // The upper row has less room than the lower one.
    let rows = [(lane.bottom - 4.0, 17), (lane.bottom - 120.0, 9)];
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for (t, words) in &plot.events {
        let x = sheet.time.place(*t);
        let (top, bottom) = (at(x, lane.top), at(x, foot));
        sheet.drawing.line(Role::EventLine, top, bottom);
        let places = rows
            .iter()
            .flat_map(|(y, room)| [(x - 2.0, *y, *room), (x + 12.0, *y, *room)])
            .filter(|(px, ..)| *px > LEFT + 10.0);
        let is_free = |px: f64, py: f64| {
            !taken
                .iter()
                .any(|(tx, ty)| (ty - py).abs() < 1.0 && (tx - px).abs() < 12.0)
        };
        let free = places.into_iter().find(|(px, py, _)| is_free(*px, *py));
        if let Some((px, py, room)) = free {
            taken.push((px, py));
            let words = short_words(words, room);
            let words = Words::new(Role::WordsInk, at(px, py), words).upward();
            sheet.drawing.words(words);
        }
    }
}

/// Words cut to what stands in a lane, at a whole word.
fn short_words(words: &str, room: usize) -> String {
    let mut out = String::new();
    for word in words.split_whitespace() {
        if !out.is_empty() && out.chars().count() + word.chars().count() > room {
            return out + " …";
        }
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
    }
    out
}

/// Flags at their times, lifted clear of one another.
pub(super) fn flags(sheet: &mut Sheet, plot: &TrialPlot, lanes: &Lanes) {
    let mut drawn: Vec<(f64, f64)> = Vec::new();
    for flag in plot.flags.iter().filter(|f| f.severity != Severity::Note) {
        let lane = match (flag.lane, lanes.co) {
            (Lane::Pressure, _) => lanes.pressure,
            (Lane::CarbonMonoxide, Some(co)) => co,
            _ => lanes.water.unwrap_or(lanes.pressure),
        };
        let x = sheet.time.place(flag.t_s).max(LEFT + 9.0);
        let mut y = (pen_height(plot, flag, &lane) - 18.0).max(lane.top + 10.0);
        while drawn
            .iter()
            .any(|(dx, dy)| (dx - x).abs() < 17.0 && (dy - y).abs() < 17.0)
        {
            y -= 18.0;
        }
        drawn.push((x, y));
        sheet.drawing.list.push(Prim::Flag {
            sign: sign(flag.severity),
            at: at(x, y),
        });
    }
}

/// Where the pen of the flag's lane stood when the flag was raised.
fn pen_height(plot: &TrialPlot, flag: &FlagAt, lane: &LaneArea) -> f64 {
    let pen = match flag.lane {
        Lane::Pressure => &plot.pressure,
        Lane::Water => &plot.water,
        Lane::CarbonMonoxide => &plot.co,
    };
    let before = pen.iter().rev().find(|(t, _)| *t <= flag.t_s);
    lane.values
        .place(before.map_or(lane.values.low + lane.half_step(), |(_, v)| *v))
}

fn sign(severity: Severity) -> Sign {
    match severity {
        Severity::Stop => Sign::Stop,
        Severity::Caution => Sign::Caution,
        Severity::Note => Sign::Note,
    }
}
