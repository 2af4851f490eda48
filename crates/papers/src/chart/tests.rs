use super::*;
use crate::plot::{FlagAt, Lane, RunwayAhead, Severity};

fn falling() -> TrialPlot {
    TrialPlot {
        title: "26-014, steam trial 3".into(),
        starts_at_s: Some(37_260.0),
        now_s: 2460.0,
        running: true,
        pressure: vec![
            (0.0, 0.0),
            (300.0, 0.1),
            (900.0, 4.05),
            (1500.0, 3.2),
            (2460.0, 3.0),
        ],
        water: vec![
            (0.0, 38.0),
            (600.0, 39.0),
            (1200.0, 40.0),
            (1800.0, 33.5),
            (2460.0, 24.0),
        ],
        co: vec![(300.0, 2.0), (2400.0, 13.0)],
        working_bar: Some(4.0),
        stop_bar: Some(4.4),
        low_mm: Some(12.0),
        high_mm: Some(48.0),
        visible_mm: Some(60.0),
        co_caution_ppm: Some(30.0),
        break_s: Some(900.0),
        events: vec![
            (900.0, "valve lifted".into()),
            (905.0, "engine running".into()),
            (1800.0, "feed on".into()),
        ],
        flags: vec![
            FlagAt {
                t_s: 2300.0,
                severity: Severity::Caution,
                lane: Lane::Water,
            },
            FlagAt {
                t_s: 2310.0,
                severity: Severity::Stop,
                lane: Lane::Water,
            },
        ],
        runway: Some(RunwayAhead {
            least_s: 354.0,
            likely_s: Some(480.0),
        }),
        ..TrialPlot::default()
    }
}

#[test]
fn every_limit_is_named_with_its_number() {
    let drawing = draw(&falling());
    for words in [
        "stop 4.40",
        "working 4.00",
        "low mark 12",
        "high mark 48",
        "caution 30",
    ] {
        assert!(
            drawing.all_words().contains(&words),
            "{words} is not on the chart"
        );
    }
}

#[test]
fn every_reading_is_a_mark_of_its_own() {
    let plot = falling();
    let drawing = draw(&plot);
    let dots = drawing
        .list
        .iter()
        .filter(|p| {
            matches!(
                p,
                Prim::Dot {
                    role: Role::PressureDot,
                    ..
                }
            )
        })
        .count();
    let crosses = drawing
        .list
        .iter()
        .filter(|p| {
            matches!(
                p,
                Prim::Line {
                    role: Role::WaterCross,
                    ..
                }
            )
        })
        .count();
    assert_eq!((dots, crosses), (plot.pressure.len(), plot.water.len() * 2));
}

#[test]
fn a_pen_is_not_drawn_over_a_time_when_nobody_read() {
    let mut plot = falling();
    plot.break_s = Some(500.0);
    let joined = draw(&plot)
        .list
        .iter()
        .filter(|p| {
            matches!(
                p,
                Prim::Polyline {
                    role: Role::WaterPen,
                    ..
                }
            )
        })
        .count();
    assert_eq!(
        joined, 0,
        "each gap is longer than 500 s, so nothing may be joined"
    );
}

#[test]
fn the_runway_is_dimensioned_with_its_least_and_ends_on_the_low_mark() {
    let drawing = draw(&falling());
    assert!(drawing.all_words().contains(&"at least 5 min"));
    let low = drawing.list.iter().find_map(|p| match p {
        Prim::Line {
            role: Role::StopLimit,
            from,
            ..
        } if from.y > 200.0 => Some(from.y),
        _ => None,
    });
    let wedge = drawing.list.iter().find_map(|p| match p {
        Prim::Polygon {
            role: Role::Wedge,
            points,
        } => Some(points.clone()),
        _ => None,
    });
    let (Some(low), Some(wedge)) = (low, wedge) else {
        panic!("no low mark or no wedge")
    };
    assert!((wedge[1].y - low).abs() < 1e-6 && (wedge[2].y - low).abs() < 1e-6);
    assert!(wedge[1].x < wedge[2].x, "the least comes before the likely");
}

#[test]
fn there_is_no_wedge_once_the_water_is_out_of_sight() {
    let mut plot = falling();
    plot.below = vec![2460.0];
    let drawing = draw(&plot);
    assert!(!drawing.list.iter().any(|p| matches!(
        p,
        Prim::Polygon {
            role: Role::Wedge,
            ..
        }
    )));
    assert!(drawing.all_words().contains(&"below"));
    assert!(
        !drawing.all_words().contains(&"24 mm"),
        "a level is not written as if it were still seen"
    );
}

#[test]
fn flags_raised_together_do_not_cover_each_other() {
    let drawing = draw(&falling());
    let signs: Vec<_> = drawing
        .list
        .iter()
        .filter_map(|p| {
            if let Prim::Flag { at, .. } = p {
                Some(*at)
            } else {
                None
            }
        })
        .collect();
    assert_eq!(signs.len(), 2);
    assert!((signs[0].y - signs[1].y).abs() >= 17.0 || (signs[0].x - signs[1].x).abs() >= 17.0);
}

#[test]
fn events_that_come_together_do_not_cover_each_other() {
    let mut plot = falling();
    plot.events.push((1801.0, "bypass shut".into()));
    plot.events.push((1802.0, "stop valve open".into()));
    let places: Vec<_> = draw(&plot)
        .list
        .iter()
        .filter_map(|p| match p {
            Prim::Text(words) if words.upward => Some(words.at),
            _ => None,
        })
        .collect();
    assert_eq!(places.len(), 5);
    for (n, a) in places.iter().enumerate() {
        for b in &places[n + 1..] {
            assert!(
                (a.x - b.x).abs() >= 12.0 || (a.y - b.y).abs() >= 80.0,
                "{a:?} {b:?}"
            );
        }
    }
}

#[test]
fn an_empty_trial_can_be_drawn_and_everything_lies_on_the_paper() {
    for plot in [TrialPlot::default(), falling()] {
        let drawing = draw(&plot);
        for prim in &drawing.list {
            if let Prim::Line { from, to, .. } = prim {
                for p in [from, to] {
                    assert!(
                        p.x >= 0.0 && p.x <= drawing.width && p.y >= 0.0 && p.y <= drawing.height,
                        "{prim:?}"
                    );
                }
            }
        }
    }
}

#[test]
fn the_lower_edge_carries_whole_fives_of_the_clock() {
    let drawing = draw(&falling());
    assert!(
        drawing.all_words().contains(&"10:25"),
        "{:?}",
        drawing.all_words()
    );
}

#[test]
fn a_shell_under_test_has_its_target_and_no_lane_for_a_glass_that_is_off() {
    let plot = TrialPlot {
        pressure: vec![(0.0, 0.0), (300.0, 8.1)],
        working_bar: Some(4.0),
        target_bar: Some(8.0),
        no_glass: true,
        now_s: 300.0,
        ..TrialPlot::default()
    };
    let drawing = draw(&plot);
    let words = drawing.all_words();
    assert!(words.contains(&"to be reached 8.00"), "{words:?}");
    assert!(!words.iter().any(|w| w.contains("water")), "{words:?}");
}
