//! The fields of the page that prepares a trial: where each stands in the trial file, and how it is asked.

/// How a field is asked and written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Words,
    Long,
    Number,
    Date,
    /// One of these: the file's word, and the words shown.
    Choice(&'static [(&'static str, &'static str)]),
}

/// One field.
#[derive(Clone, Copy, Debug)]
pub(super) struct Field {
    /// Its place in the trial file; with `-` for `.` it is the name of its box.
    pub(super) path: &'static str,
    pub(super) label: &'static str,
    pub(super) hint: &'static str,
    pub(super) unit: &'static str,
    pub(super) kind: Kind,
}

impl Field {
    /// The name of its box on the form.
    pub(super) fn name(&self) -> String {
        self.path.replace('.', "-")
    }
}

pub(super) const fn field(
    path: &'static str,
    label: &'static str,
    hint: &'static str,
    unit: &'static str,
    kind: Kind,
) -> Field {
    Field {
        path,
        label,
        hint,
        unit,
        kind,
    }
}

const FUELS: Kind = Kind::Choice(&[
    ("", "not known"),
    ("butane", "butane"),
    ("propane", "propane"),
    ("butane-propane-70-30", "butane and propane, 70 to 30"),
    ("spirit", "spirit"),
    ("coal", "coal"),
    ("charcoal", "charcoal"),
    ("electric", "electric"),
]);
const DRIVES: Kind = Kind::Choice(&[
    ("", "not known, or none"),
    ("hand", "by hand"),
    ("axle", "axle"),
    ("crosshead", "crosshead"),
    ("steam", "steam"),
    ("electric", "electric"),
    ("injector", "injector"),
]);
const SEEN_BY: Kind = Kind::Choice(&[
    ("", "as its parts say"),
    ("glass", "one glass"),
    ("two-glasses", "two glasses"),
    ("try-cocks", "try cocks"),
    ("plug", "a filling plug only"),
    ("none", "nothing"),
]);

/// Groups of fields, in the order they are asked.
pub(super) const GROUPS: &[(&str, &[Field])] = &[
    (
        "The question",
        &[
            field(
                "question",
                "What is this trial to answer?",
                "one question, with a figure in it if it can have one",
                "",
                Kind::Long,
            ),
            field(
                "place",
                "Where",
                "",
                "",
                Kind::Choice(&[("outdoors", "outdoors"), ("indoors", "indoors")]),
            ),
            field(
                "change",
                "What was changed since the last trial",
                "one thing, or nothing",
                "",
                Kind::Words,
            ),
        ],
    ),
    (
        "The plant, copied into the trial",
        &[
            field(
                "plant.working_pressure_bar",
                "Working pressure",
                "gauge; without it every steam trial stops",
                "bar",
                Kind::Number,
            ),
            field(
                "plant.safety_valve.set_bar",
                "Safety valve set at",
                "left out: working pressure",
                "bar",
                Kind::Number,
            ),
            field(
                "plant.glass.visible_mm",
                "Glass, length that is seen",
                "",
                "mm",
                Kind::Number,
            ),
            field(
                "plant.glass.low_mark_mm",
                "Low mark",
                "up from the glass's zero",
                "mm",
                Kind::Number,
            ),
            field(
                "plant.glass.high_mark_mm",
                "High mark",
                "",
                "mm",
                Kind::Number,
            ),
            field("plant.water_seen_by", "Water seen by", "", "", SEEN_BY),
            field(
                "plant.charge_ml",
                "Water it is charged with",
                "",
                "ml",
                Kind::Number,
            ),
            field(
                "plant.burner.fuel",
                "Fuel",
                "decides how the fire is put out",
                "",
                FUELS,
            ),
            field(
                "plant.feed_pump.drive",
                "Feed pump driven by",
                "",
                "",
                DRIVES,
            ),
        ],
    ),
    (
        "The water test that allows steam",
        &[
            field(
                "plant.hydraulic_pass.on",
                "Water test passed on",
                "",
                "",
                Kind::Date,
            ),
            field(
                "plant.hydraulic_pass.pressure_bar",
                "Water test, at",
                "",
                "bar",
                Kind::Number,
            ),
            field(
                "plant.hydraulic_pass.valid_until",
                "Water test valid until",
                "",
                "",
                Kind::Date,
            ),
            field(
                "plant.hydraulic_pass.since_structural_work",
                "Since the last structural work?",
                "",
                "",
                Kind::Choice(&[
                    ("", "not known"),
                    ("true", "yes, nothing structural since"),
                    ("false", "no, work was done after it"),
                ]),
            ),
        ],
    ),
    (
        "Instruments as they are today",
        &[
            field(
                "instruments.pressure.id",
                "Pressure gauge",
                "its mark",
                "",
                Kind::Words,
            ),
            field(
                "instruments.pressure.full_scale_bar",
                "Range, 0 to",
                "",
                "bar",
                Kind::Number,
            ),
            field(
                "instruments.pressure.accuracy_class",
                "Class",
                "left out, nothing can be proven of pressure",
                "",
                Kind::Number,
            ),
            field(
                "instruments.pressure.resolution_bar",
                "Smallest step that can be read",
                "",
                "bar",
                Kind::Number,
            ),
            field(
                "instruments.pressure.calibrated_on",
                "Calibrated on",
                "",
                "",
                Kind::Date,
            ),
            field(
                "instruments.pressure.calibration_due",
                "Calibration due",
                "",
                "",
                Kind::Date,
            ),
            field(
                "instruments.level.resolution_mm",
                "Smallest step of the glass",
                "",
                "mm",
                Kind::Number,
            ),
            field("instruments.co.id", "CO meter", "its mark", "", Kind::Words),
            field(
                "instruments.co.accuracy_pct",
                "CO meter is good to ±",
                "of the reading",
                "%",
                Kind::Number,
            ),
            field(
                "instruments.co.resolution_ppm",
                "CO meter, smallest step",
                "",
                "ppm",
                Kind::Number,
            ),
            field(
                "instruments.co.calibrated_on",
                "CO meter, calibrated on",
                "",
                "",
                Kind::Date,
            ),
            field(
                "instruments.co.calibration_due",
                "CO meter, calibration due",
                "",
                "",
                Kind::Date,
            ),
        ],
    ),
    (
        "Limits, where yours differ from the usual",
        &[
            field(
                "limits.reading_every_s",
                "Water read at least every",
                "usual 300",
                "s",
                Kind::Number,
            ),
            field(
                "limits.runway_caution_s",
                "Runway that is a caution",
                "usual 360",
                "s",
                Kind::Number,
            ),
            field(
                "limits.runway_stop_s",
                "Runway that is a stop",
                "usual 150",
                "s",
                Kind::Number,
            ),
            field(
                "limits.pressure_caution_pct",
                "Pressure that is a caution",
                "usual 103, of working pressure",
                "%",
                Kind::Number,
            ),
            field(
                "limits.pressure_stop_pct",
                "Pressure that is a stop",
                "usual 110, of working pressure",
                "%",
                Kind::Number,
            ),
            field(
                "limits.co_peak_caution_ppm",
                "Carbon monoxide that is a caution",
                "usual 30",
                "ppm",
                Kind::Number,
            ),
        ],
    ),
];

/// The groups that a kind of trial is prepared with: the question first, then what is its own, then the rest.
pub(super) fn groups(kind: &str) -> Vec<(&'static str, Vec<&'static Field>)> {
    let common = |at: usize| {
        let (legend, fields) = GROUPS[at];
        let used = fields
            .iter()
            .filter(|f| !super::kind_fields::is_idle(kind, f.path));
        (legend, used.collect::<Vec<_>>())
    };
    let mut all = vec![common(0), common(1)];
    let own = super::kind_fields::of(kind).iter();
    all.extend(own.map(|(legend, fields)| (*legend, fields.iter().collect())));
    all.extend((2..GROUPS.len()).map(common));
    all.retain(|(_, fields)| !fields.is_empty());
    all
}

/// Every field that a kind of trial is prepared with.
pub(super) fn all(kind: &str) -> impl Iterator<Item = &'static Field> {
    groups(kind).into_iter().flat_map(|(_, fields)| fields)
}
