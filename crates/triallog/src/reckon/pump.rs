//! The feed pump, as fields.

use calc::feed_pump::{
    Acting, Catch, FeedMargin, Strokes, TankFall, by_strokes, by_tank, delivery, margin,
};

use super::field::{
    Form, Input, Kind, LeftOut, Reckoner, VERDICT, cold, lasting, need, or, other, out, truth,
};
use super::given::Given;

/// Which faces of a piston work.
pub(super) const ACTING: Input = other(
    "acting",
    "faces that work",
    "",
    Kind::OneOf(&["single", "double"]),
    LeftOut::Word("single"),
);

pub(super) fn acting(g: &Given) -> Acting {
    g.word("acting")
        .and_then(Acting::named)
        .unwrap_or(Acting::Single)
}

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "feed-pump",
        title: "What a feed pump delivers",
        asks: "How much does the pump really move, of what it sweeps?",
        forms: &[
            Form {
                is: "a catch",
                inputs: &[
                    need("bore_mm", "bore", "mm", 0.5, 1000.0),
                    need("stroke_mm", "stroke", "mm", 0.5, 1000.0),
                    or("rod_mm", "rod", "mm", (0.0, 1000.0), 0.0),
                    ACTING,
                    need("cycles", "cycles counted", "", 1.0, 1e6),
                    need("catch_ml", "caught", "ml", 0.0, 1e6),
                    lasting("time_s", "in how long"),
                    cold("T_C", "water"),
                    or(
                        "catch_resolution_ml",
                        "smallest step of the measure",
                        "ml",
                        (0.0, 1000.0),
                        0.5,
                    ),
                    truth(
                        "open_discharge",
                        "caught at an open pipe, without pressure against the pump",
                    ),
                ],
                outputs: &[
                    out("swept_ml_per_cycle", "swept in a cycle", "ml"),
                    out("displacement_ml_min", "swept", "ml/min"),
                    out("delivery_ml_min", "delivered", "ml/min"),
                    out("vol_eff", "delivered over swept", ""),
                    out("slip", "slip", ""),
                    out("delivery_kg_h", "delivered", "kg/h"),
                    VERDICT,
                ],
                run: |g| {
                    delivery(&Catch {
                        bore_mm: g.n("bore_mm")?,
                        stroke_mm: g.n("stroke_mm")?,
                        rod_mm: g.n("rod_mm")?,
                        acting: acting(g),
                        cycles: g.n("cycles")?,
                        catch_ml: g.n("catch_ml")?,
                        seconds: g.n("time_s")?,
                        water: g.celsius("T_C")?,
                        catch_step_ml: g.n("catch_resolution_ml")?,
                        open_discharge: g.truth("open_discharge"),
                    })
                },
            },
            Form {
                is: "feed by counted strokes",
                inputs: &[
                    need("bore_mm", "bore", "mm", 0.5, 1000.0),
                    need("stroke_mm", "stroke", "mm", 0.5, 1000.0),
                    or("rod_mm", "rod", "mm", (0.0, 1000.0), 0.0),
                    ACTING,
                    need("cycles", "cycles counted", "", 1.0, 1e6),
                    need(
                        "vol_eff",
                        "delivered over swept, from a catch",
                        "",
                        0.0,
                        1.05,
                    ),
                    or(
                        "u_vol_eff_rel",
                        "its relative standard uncertainty",
                        "",
                        (0.0, 1.0),
                        0.03,
                    ),
                    cold("T_C", "water"),
                ],
                outputs: &[
                    out("feed_kg", "fed", "kg"),
                    out("swept_ml_per_cycle", "swept in a cycle", "ml"),
                ],
                run: |g| {
                    by_strokes(&Strokes {
                        bore_mm: g.n("bore_mm")?,
                        stroke_mm: g.n("stroke_mm")?,
                        rod_mm: g.n("rod_mm")?,
                        acting: acting(g),
                        cycles: g.n("cycles")?,
                        efficiency: g.n("vol_eff")?,
                        u_efficiency: g.n("u_vol_eff_rel")?,
                        water: g.celsius("T_C")?,
                    })
                },
            },
            Form {
                is: "feed by the fall of the tank",
                inputs: &[
                    need(
                        "tank_cm2",
                        "surface of the water in the tank",
                        "cm²",
                        0.1,
                        1e5,
                    ),
                    need("fall_mm", "how far it fell", "mm", -1e4, 1e4),
                    or("added_ml", "poured in meanwhile", "ml", (0.0, 1e7), 0.0),
                    or(
                        "u_fall_mm",
                        "standard uncertainty of the fall",
                        "mm",
                        (0.0, 100.0),
                        0.5,
                    ),
                    cold("T_C", "water"),
                ],
                outputs: &[out("feed_kg", "fed", "kg")],
                run: |g| {
                    by_tank(&TankFall {
                        surface_cm2: g.n("tank_cm2")?,
                        fall_mm: g.n("fall_mm")?,
                        added_ml: g.n("added_ml")?,
                        u_fall_mm: g.n("u_fall_mm")?,
                        water: g.celsius("T_C")?,
                    })
                },
            },
        ],
    },
    Reckoner {
        name: "feed-margin",
        title: "Feed against evaporation",
        asks: "Is the feed enough for what the boiler evaporates?",
        forms: &[Form {
            is: "",
            inputs: &[
                need(
                    "delivery_ml_min",
                    "what the pump delivers",
                    "ml/min",
                    0.0,
                    1e6,
                ),
                or(
                    "bypass_frac",
                    "part that the bypass sends back",
                    "",
                    (0.0, 1.0),
                    0.0,
                ),
                need(
                    "evaporation_kg_h",
                    "what the boiler evaporates",
                    "kg/h",
                    1e-4,
                    1e5,
                ),
                or(
                    "required_factor",
                    "how many times that the feed must be",
                    "",
                    (1.0, 10.0),
                    1.25,
                ),
            ],
            outputs: &[
                out("net_feed_kg_h", "feed into the boiler", "kg/h"),
                out("margin", "feed over evaporation", ""),
                VERDICT,
            ],
            run: |g| {
                margin(&FeedMargin {
                    delivery_ml_min: g.n("delivery_ml_min")?,
                    bypass_frac: g.n("bypass_frac")?,
                    evaporation_kg_h: g.n("evaporation_kg_h")?,
                    required: g.n("required_factor")?,
                })
            },
        }],
    },
];
