//! The form of an instrument.

use records::instruments::{self, Instrument, KINDS, NewInstrument};
use records::{Error, InstrumentId, PlantId, Write};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Reader};
use crate::problem::Problem;
use crate::put_back::Kept;
use crate::trials::decimal;

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct InstrumentForm {
    plant: String,
    kind: String,
    mark: String,
    name: String,
    full_scale: String,
    accuracy: String,
    resolution: String,
    repeatability: String,
    calibrated_on: String,
    calibrated_by: String,
    due_on: String,
    note: String,
}

impl InstrumentForm {
    pub(super) fn of_plant(plant: Option<PlantId>) -> Self {
        Self {
            plant: plant.map_or_else(String::new, |p| p.to_string()),
            kind: KINDS[0].to_owned(),
            ..Self::default()
        }
    }

    pub(super) fn of(known: &Instrument) -> Self {
        let day =
            |d: &Option<records::Day>| d.as_ref().map_or_else(String::new, |d| d.iso().to_owned());
        Self {
            plant: known.plant_id.map_or_else(String::new, |p| p.to_string()),
            kind: known.kind.clone(),
            mark: known.mark.clone(),
            name: known.name.clone(),
            full_scale: known.full_scale.clone(),
            accuracy: known.accuracy.clone(),
            resolution: known.resolution.clone(),
            repeatability: known.repeatability.clone(),
            calibrated_on: day(&known.calibrated_on),
            calibrated_by: known.calibrated_by.clone(),
            due_on: day(&known.due_on),
            note: known.note.clone(),
        }
    }

    pub(super) async fn fields(&self, desk: &Desk) -> Result<Vec<Field>, Problem> {
        let mut whose = vec![Pick::new("", "the workshop's own")];
        let plants = records::plants::choices(
            desk.store(),
            self.plant.parse().ok().map(records::PlantId::new),
        )
        .await?;
        whose.extend(plants.into_iter().map(|p| Pick::new(p.id, p.name)));
        Ok(vec![
            Field::new("pick", "kind", "It is", &self.kind).picks(Pick::words(&KINDS)),
            Field::new("text", "mark", "Its mark", &self.mark)
                .hint("what it is told by, such as G2; written on it"),
            Field::new("pick", "plant", "Whose", &self.plant).picks(whose),
            Field::new("text", "name", "What it is", &self.name)
                .hint("dial, bourdon tube, where it sits …; may stay empty"),
            Field::new("head", "figures", "Its figures", "")
                .hint("pressure gauge in bar, thermometer in °C, CO meter in ppm, scale in g, stopwatch in s; what is not known stays empty and proves less"),
            Field::new("number", "full_scale", "Full scale", &self.full_scale)
                .hint("its range is from 0 to this"),
            Field::new("number", "accuracy", "Class, or ±", &self.accuracy)
                .hint("pressure gauge: class, % of full scale; thermometer: ± °C; CO meter: ± %"),
            Field::new("number", "resolution", "Smallest step that can be read", &self.resolution),
            Field::new("number", "repeatability", "Repeats itself within", &self.repeatability)
                .hint("a thermometer; a hold under water is proven by this")
                .unit("K"),
            Field::new("head", "calibration", "Calibration", ""),
            Field::new("date", "calibrated_on", "Calibrated on", &self.calibrated_on),
            Field::new("text", "calibrated_by", "By whom", &self.calibrated_by),
            Field::new("date", "due_on", "Due again on", &self.due_on)
                .hint("after this day it signs no hold point"),
            Field::new("long", "note", "Note", &self.note),
        ])
    }

    pub(super) fn read(&self) -> Result<NewInstrument, Faults> {
        let mut read = Reader::default();
        let kind = read.one_of("kind", &self.kind, &KINDS);
        let mark = read.needed(
            "mark",
            &self.mark,
            "Give its mark: it is told by this in every trial.",
        );
        if mark.chars().count() > 60 {
            read.fault("mark", "A mark has 60 letters at most.");
        }
        let figures = [
            ("full_scale", &self.full_scale),
            ("accuracy", &self.accuracy),
            ("resolution", &self.resolution),
            ("repeatability", &self.repeatability),
        ]
        .map(|(field, typed)| figure(&mut read, field, typed));
        let [full_scale, accuracy, resolution, repeatability] = figures;
        if kind == "pressure gauge" {
            within(&mut read, "accuracy", &accuracy, (0.01, 20.0));
            within(&mut read, "full_scale", &full_scale, (0.01, 200.0));
        }
        let (calibrated_on, due_on) = (
            read.day("calibrated_on", &self.calibrated_on),
            read.day("due_on", &self.due_on),
        );
        if calibrated_on.is_some() && due_on.is_some() && due_on < calibrated_on {
            read.fault("due_on", "It cannot be due before it was calibrated.");
        }
        let new = NewInstrument {
            plant_id: read.row("plant", &self.plant).map(PlantId::new),
            name: read.words("name", &self.name),
            calibrated_by: read.words("calibrated_by", &self.calibrated_by),
            note: read.words("note", &self.note),
            kind,
            mark,
            full_scale,
            accuracy,
            resolution,
            repeatability,
            calibrated_on,
            due_on,
        };
        read.done(new)
    }
}

impl Kept for InstrumentForm {
    type Row = Instrument;
    type New = NewInstrument;

    const WRITES: &'static [&'static str] = &[
        "plant_id",
        "kind",
        "mark",
        "name",
        "full_scale",
        "accuracy",
        "resolution",
        "repeatability",
        "calibrated_on",
        "calibrated_by",
        "due_on",
        "note",
    ];

    async fn find(desk: &Desk, id: i64) -> Result<Instrument, Error> {
        instruments::find(desk.store(), InstrumentId::new(id)).await
    }

    fn written(row: &Instrument) -> Result<Self::New, Faults> {
        Self::of(row).read()
    }

    async fn change(w: &mut Write, id: i64, new: &Self::New) -> Result<(), Error> {
        instruments::change(w, InstrumentId::new(id), new).await
    }
}

/// A figure in canonical decimal; nothing where nothing was typed.
fn figure(read: &mut Reader, field: &str, typed: &str) -> String {
    if typed.trim().is_empty() {
        return String::new();
    }
    decimal::read_positive(typed).unwrap_or_else(|says| {
        read.fault(field, says);
        String::new()
    })
}

fn within(read: &mut Reader, field: &str, figure: &str, (least, most): (f64, f64)) {
    let outside = figure
        .parse::<f64>()
        .is_ok_and(|f| !(least..=most).contains(&f));
    if outside {
        read.fault(field, format!("From {least} to {most}, or leave it empty."));
    }
}
