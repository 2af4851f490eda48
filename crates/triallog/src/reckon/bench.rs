//! Packing, threads, cautions and the lubricator, as fields.

use calc::Unusable;
use calc::cautions::{About, FUELS, PLACES, TRIALS, cautions};
use calc::lubricator::{Drained, Oil, Outside, condensing_bound, oil_fed, oil_suits};
use calc::packing::{Gland, rings};
use calc::thread::{ba, metric, whitworth};

use super::field::{
    BAROMETER, Form, Input, Kind, LeftOut, Reckoner, VERDICT, cold, lasting, may, need, or, other,
    out, pressure,
};

const ENGAGED: Input = or("engagement", "depth of thread engaged", "", (0.5, 1.0), 0.8);
const MAJOR: Input = need("major_mm", "outside diameter", "mm", 0.5, 300.0);

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "packing",
        title: "Gland packing",
        asks: "What section, how long, and how many rings?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("box_bore_mm", "bore of the box", "mm", 0.5, 1000.0),
                need("rod_mm", "rod", "mm", 0.1, 1000.0),
                need("box_depth_mm", "depth of the box", "mm", 0.1, 1000.0),
                or(
                    "gland_nose_mm",
                    "how far the gland's nose reaches in",
                    "mm",
                    (0.0, 1000.0),
                    0.0,
                ),
            ],
            outputs: &[
                out("section_mm", "section", "mm"),
                out("ring_length_mean_mm", "length of a ring", "mm"),
                out("ring_count", "rings", ""),
            ],
            run: |g| {
                rings(&Gland {
                    box_mm: g.n("box_bore_mm")?,
                    rod_mm: g.n("rod_mm")?,
                    depth_mm: g.n("box_depth_mm")?,
                    nose_mm: g.n("gland_nose_mm")?,
                })
            },
        }],
    },
    Reckoner {
        name: "thread-ba",
        title: "A BA thread",
        asks: "What are the sizes of this BA number, and what drill taps it?",
        forms: &[Form {
            is: "",
            inputs: &[
                other("ba", "number", "", Kind::Whole(0.0, 25.0), LeftOut::Needed),
                ENGAGED,
            ],
            outputs: &[
                out("pitch_mm", "pitch", "mm"),
                out("major_formula_mm", "outside diameter by the formula", "mm"),
                out("major_rounded_mm", "outside diameter", "mm"),
                out("depth_mm", "depth", "mm"),
                out("core_formula_mm", "core", "mm"),
                out("tap_drill_80pct_mm", "drill for 80 %", "mm"),
                out("tap_drill_mm", "drill for the depth engaged", "mm"),
            ],
            run: |g| ba(g.n("ba")?, g.n("engagement")?),
        }],
    },
    Reckoner {
        name: "thread-whitworth",
        title: "A thread of Whitworth form",
        asks: "What are the sizes of this thread, and what drill taps it?",
        forms: &[Form {
            is: "",
            inputs: &[
                MAJOR,
                need("tpi", "threads an inch", "1/in", 3.0, 120.0),
                ENGAGED,
            ],
            outputs: &[
                out("pitch_mm", "pitch", "mm"),
                out("depth_mm", "depth", "mm"),
                out("core_mm", "core", "mm"),
                out("tap_drill_80pct_mm", "drill for 80 %", "mm"),
                out("tap_drill_mm", "drill for the depth engaged", "mm"),
            ],
            run: |g| whitworth(g.n("major_mm")?, g.n("tpi")?, g.n("engagement")?),
        }],
    },
    Reckoner {
        name: "thread-metric",
        title: "A metric thread",
        asks: "What drill taps this metric thread?",
        forms: &[Form {
            is: "",
            inputs: &[MAJOR, need("pitch_mm", "pitch", "mm", 0.1, 10.0)],
            outputs: &[
                out("tap_drill_mm", "drill", "mm"),
                out("core_mm", "core of the screw", "mm"),
            ],
            run: |g| metric(g.n("major_mm")?, g.n("pitch_mm")?),
        }],
    },
    Reckoner {
        name: "cautions",
        title: "Cautions for a document",
        asks: "Which cautions does a document of this kind carry?",
        forms: &[Form {
            is: "",
            inputs: &[
                other(
                    "trial",
                    "kind of trial",
                    "",
                    Kind::OneOf(TRIALS),
                    LeftOut::Needed,
                ),
                other("fuel", "fuel", "", Kind::OneOf(FUELS), LeftOut::Unused),
                other(
                    "place",
                    "place",
                    "",
                    Kind::OneOf(PLACES),
                    LeftOut::Word("indoors"),
                ),
                other(
                    "seams",
                    "what holds the seams",
                    "",
                    Kind::OneOf(&["soft", "silver", "other"]),
                    LeftOut::Unused,
                ),
            ],
            outputs: &[
                out("must_include_codes", "codes", ""),
                out("texts", "texts, one for each code", ""),
            ],
            run: |g| {
                let trial = g
                    .word("trial")
                    .ok_or(Unusable::Missing { field: "trial" })?;
                Ok(cautions(About {
                    trial,
                    fuel: g.word("fuel"),
                    place: g.word("place"),
                    seams: g.word("seams"),
                }))
            },
        }],
    },
    Reckoner {
        name: "lubricator",
        title: "Oil fed by a lubricator",
        asks: "How much oil does the displacement lubricator feed?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("condensate_ml", "condensate drained", "ml", 0.0, 10_000.0),
                lasting("time_s", "over how long"),
                may("steam_g", "steam used meanwhile", "g", 0.001, 1e7),
                need("reservoir_ml", "reservoir", "ml", 0.1, 10_000.0),
                may(
                    "bound_ml_h",
                    "most that can condense in it",
                    "ml/h",
                    0.0,
                    1e5,
                ),
            ],
            outputs: &[
                out("oil_ml_per_h", "oil fed", "ml/h"),
                out("reservoir_life_h", "reservoir lasts", "h"),
                out("oil_ml_per_kg_steam", "oil for a kg of steam", "ml/kg"),
                VERDICT,
            ],
            run: |g| {
                oil_fed(&Drained {
                    condensate_ml: g.n("condensate_ml")?,
                    seconds: g.n("time_s")?,
                    steam_g: g.maybe("steam_g"),
                    reservoir_ml: g.n("reservoir_ml")?,
                    bound_ml_h: g.maybe("bound_ml_h"),
                })
            },
        }],
    },
    Reckoner {
        name: "lubricator-bound",
        title: "The most a lubricator can feed",
        asks: "How much can condense in this lubricator at most?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("surface_cm2", "outside surface", "cm²", 0.1, 10_000.0),
                or(
                    "h_W_m2K",
                    "heat that still air takes",
                    "W/(m² K)",
                    (1.0, 100.0),
                    10.0,
                ),
                pressure("p_gauge_bar", "steam in it"),
                cold("T_amb_C", "air around it"),
                BAROMETER,
            ],
            outputs: &[
                out("condensate_g_h", "condensate", "g/h"),
                out("oil_ml_h_upper_bound", "oil at most", "ml/h"),
            ],
            run: |g| {
                condensing_bound(&Outside {
                    surface_cm2: g.n("surface_cm2")?,
                    air_w_m2k: g.n("h_W_m2K")?,
                    pressure: g.gauge("p_gauge_bar")?,
                    barometer: g.barometer("barometer_hPa")?,
                    ambient: g.celsius("T_amb_C")?,
                })
            },
        }],
    },
    Reckoner {
        name: "oil",
        title: "Which oil goes where",
        asks: "Does this oil suit the steam space, or the bearings?",
        forms: &[Form {
            is: "",
            inputs: &[
                other(
                    "goes_to",
                    "where it goes",
                    "",
                    Kind::OneOf(&["steam-space", "bearings"]),
                    LeftOut::Word("steam-space"),
                ),
                other(
                    "sold_as",
                    "what the tin says",
                    "",
                    Kind::OneOf(&["steam-cylinder-oil", "bearing-oil"]),
                    LeftOut::Unused,
                ),
                may("grade_vg", "ISO viscosity grade", "mm²/s", 2.0, 3200.0),
            ],
            outputs: &[VERDICT],
            run: |g| {
                oil_suits(&Oil {
                    for_cylinders: g.word("sold_as").map(|word| word == "steam-cylinder-oil"),
                    grade_vg: g.maybe("grade_vg"),
                    into_steam: g.word("goes_to") != Some("bearings"),
                })
            },
        }],
    },
];
