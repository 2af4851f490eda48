//! A trial as a small strip for tables: the ruling, the two pens, the low mark and nothing else.

use crate::plot::TrialPlot;
use crate::prim::{Drawing, Prim, Role, at};
use crate::scale::Scale;
use crate::svg::Svg;

const WIDTH: f64 = 180.0;
const HEIGHT: f64 = 48.0;

/// The strip as SVG.
pub fn trial(plot: &TrialPlot) -> Svg {
    Svg::from(&draw(plot))
}

/// The strip as a display list.
pub fn draw(plot: &TrialPlot) -> Drawing {
    let mut drawing = Drawing {
        width: WIDTH,
        height: HEIGHT,
        title: format!("{}: strip", plot.title),
        says: plot.says(),
        list: Vec::new(),
    };
    drawing.rect(Role::Paper, at(0.5, 0.5), WIDTH - 1.0, HEIGHT - 1.0);
    for n in 1..6 {
        let y = HEIGHT / 6.0 * f64::from(n);
        drawing.line(Role::GridFine, at(1.0, y), at(WIDTH - 1.0, y));
        let x = WIDTH / 6.0 * f64::from(n);
        drawing.line(Role::GridHeavy, at(x, 1.0), at(x, HEIGHT - 1.0));
    }
    let highest = |pen: &[(f64, f64)], least: f64| pen.iter().map(|p| p.1).fold(least, f64::max);
    let time = Scale::new(0.0, plot.now_s.max(60.0), 3.0, WIDTH - 3.0);
    let pressure = Scale::new(
        0.0,
        highest(&plot.pressure, plot.working_bar.unwrap_or(0.5)) * 1.1,
        HEIGHT - 3.0,
        3.0,
    );
    let water = Scale::new(
        0.0,
        highest(&plot.water, plot.visible_mm.unwrap_or(10.0)),
        HEIGHT - 3.0,
        3.0,
    );
    if let Some(low) = plot.low_mm.filter(|_| !plot.water.is_empty()) {
        let y = water.place(low);
        drawing.line(Role::StopLimit, at(1.0, y), at(WIDTH - 1.0, y));
    }
    let pens = [
        (plot.runs(&plot.pressure, &[]), pressure, Role::PressurePen),
        (plot.runs(&plot.water, &plot.cuts()), water, Role::WaterPen),
    ];
    for (runs, values, role) in pens {
        for run in runs.into_iter().filter(|run| run.len() > 1) {
            let points = run
                .iter()
                .map(|(t, v)| at(time.place(*t), values.place(*v)))
                .collect();
            drawing.list.push(Prim::Polyline { role, points });
        }
    }
    drawing
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_strip_has_the_pens_and_the_low_mark_and_no_words() {
        let plot = TrialPlot {
            now_s: 600.0,
            pressure: vec![(0.0, 0.0), (600.0, 3.0)],
            water: vec![(0.0, 40.0), (600.0, 30.0)],
            low_mm: Some(12.0),
            visible_mm: Some(60.0),
            ..TrialPlot::default()
        };
        let drawing = draw(&plot);
        assert!(drawing.all_words().is_empty());
        for role in [Role::PressurePen, Role::WaterPen] {
            assert!(
                drawing
                    .list
                    .iter()
                    .any(|p| matches!(p, Prim::Polyline { role: r, .. } if *r == role))
            );
        }
        assert!(drawing.list.iter().any(|p| matches!(
            p,
            Prim::Line {
                role: Role::StopLimit,
                ..
            }
        )));
    }
}
