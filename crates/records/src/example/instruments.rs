//! The example's instruments, and the launch plant's own gauge beside the workshop's.

use super::back;
use crate::error::Error;
use crate::instruments::{self, Gauges, NewComparison, NewInstrument, ReadAt};
use crate::time::{Day, Stamp};
use crate::writer::Write;
use crate::{InstrumentId, PlantId};

/// Mark, kind, full scale, accuracy, step, repeatability.
const OWN: [[&str; 6]; 5] = [
    ["G2", "pressure gauge", "6", "1.0", "0.05", ""],
    ["G9", "pressure gauge", "16", "0.6", "0.05", ""],
    ["T3", "thermometer", "110", "0.05", "0.01", "0.01"],
    ["C1", "CO meter", "500", "5", "1", ""],
    ["S1", "scale", "5000", "", "1", ""],
];

/// What the two gauges showed: G2, own going up, own coming down.
const SHOWN: [[&str; 3]; 6] = [
    ["0.50", "0.4", "0.4"],
    ["1.50", "1.3", "1.4"],
    ["2.50", "2.2", "2.3"],
    ["3.50", "3.2", "3.3"],
    ["4.00", "3.7", "3.8"],
    ["5.00", "4.6", "4.7"],
];

pub(super) async fn furnish(w: &mut Write, plant: PlantId, today: Stamp) -> Result<(), Error> {
    let mut test: Option<InstrumentId> = None;
    for [mark, kind, full_scale, accuracy, resolution, repeatability] in OWN {
        let new = NewInstrument {
            kind: kind.into(),
            mark: mark.into(),
            full_scale: full_scale.into(),
            accuracy: accuracy.into(),
            resolution: resolution.into(),
            repeatability: repeatability.into(),
            calibrated_on: Day::read("2026-03-02"),
            calibrated_by: "the calibration bench at Teasel Cross".into(),
            due_on: Day::read(if mark == "S1" {
                "2026-09-02"
            } else {
                "2030-03-02"
            }),
            ..NewInstrument::default()
        };
        let id = instruments::make(w, &new).await?;
        test = test.or(Some(id));
    }
    let own = NewInstrument {
        plant_id: Some(plant),
        kind: "pressure gauge".into(),
        mark: "own".into(),
        name: "25 mm dial, on the boiler".into(),
        full_scale: "6".into(),
        accuracy: "2.5".into(),
        resolution: "0.1".into(),
        ..NewInstrument::default()
    };
    let gauge = instruments::make(w, &own).await?;
    w.set_now(back(today, 3, 14));
    let gauges = Gauges {
        test_mark: "G2".into(),
        test_class: "1.0".into(),
        test_span: "6".into(),
        test_step: "0.05".into(),
        test_due: "2030-03-02".into(),
        class: own.accuracy,
        span: own.full_scale,
        step: own.resolution,
    };
    let points = SHOWN.map(|[test, up, down]| ReadAt {
        test: test.into(),
        up: up.into(),
        down: down.into(),
    });
    let new = NewComparison {
        on_day: w.now().day(),
        points: points.to_vec(),
        note: "tapped before each reading; the pointer sits crooked".into(),
    };
    if let Some(test) = test {
        instruments::compare(w, (gauge, test), &gauges, &new).await?;
    }
    Ok(())
}
