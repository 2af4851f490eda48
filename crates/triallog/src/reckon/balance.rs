//! Balance of the water and the steam pump, as fields.

use calc::balance::{Balance, steam_doubt, steam_made};
use calc::steam_pump::{Gain, Push, force_margin, net_gain};

use super::field::{
    BAROMETER, Form, Reckoner, VERDICT, cold, lasting, may, need, or, out, pressure,
};

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "water-balance",
        title: "Balance of the water",
        asks: "How much steam was made, from feed and levels?",
        forms: &[
            Form {
                is: "a stretch of a trial",
                inputs: &[
                    need("feed_ml", "fed", "ml", 0.0, 1e7),
                    cold("T_feed_C", "feed"),
                    need(
                        "V_start_hot_ml",
                        "water in the boiler at the beginning",
                        "ml",
                        0.0,
                        1e7,
                    ),
                    need(
                        "V_end_hot_ml",
                        "water in the boiler at the end",
                        "ml",
                        0.0,
                        1e7,
                    ),
                    pressure("p_gauge_bar", "pressure"),
                    may(
                        "p_end_gauge_bar",
                        "pressure at the end, where it is another",
                        "bar",
                        0.0,
                        20.0,
                    ),
                    may(
                        "V_total_ml",
                        "whole inside; then the steam counts too",
                        "ml",
                        0.1,
                        1e7,
                    ),
                    BAROMETER,
                    lasting("duration_s", "how long"),
                    or(
                        "u_feed_rel",
                        "relative standard uncertainty of the feed",
                        "",
                        (0.0, 1.0),
                        0.02,
                    ),
                    or(
                        "u_V_each_ml",
                        "standard uncertainty of each level",
                        "ml",
                        (0.0, 1e5),
                        8.0,
                    ),
                    may(
                        "feed_other_kg",
                        "the feed by another method",
                        "kg",
                        0.0,
                        1e4,
                    ),
                ],
                outputs: &[
                    out("feed_kg", "fed", "kg"),
                    out("delta_boiler_kg", "more water in the boiler", "kg"),
                    out("steam_made_kg", "steam made", "kg"),
                    out("steam_rate_kg_h", "steam made", "kg/h"),
                    out("feed_difference_kg", "difference of the two methods", "kg"),
                    VERDICT,
                ],
                run: |g| {
                    steam_made(&Balance {
                        feed_ml: g.n("feed_ml")?,
                        feed: g.celsius("T_feed_C")?,
                        start_ml: g.n("V_start_hot_ml")?,
                        end_ml: g.n("V_end_hot_ml")?,
                        start: g.gauge("p_gauge_bar")?,
                        end: g
                            .maybe("p_end_gauge_bar")
                            .map(calc::quantity::Gauge::from_bar),
                        total_ml: g.maybe("V_total_ml"),
                        barometer: g.barometer("barometer_hPa")?,
                        seconds: g.n("duration_s")?,
                        u_feed: g.n("u_feed_rel")?,
                        u_level_ml: g.n("u_V_each_ml")?,
                        other_feed_kg: g.maybe("feed_other_kg"),
                    })
                },
            },
            Form {
                is: "how sure the steam made is",
                inputs: &[
                    need("feed_kg", "fed", "kg", 0.0, 1e4),
                    or(
                        "u_feed_rel",
                        "relative standard uncertainty of the feed",
                        "",
                        (0.0, 1.0),
                        0.02,
                    ),
                    or(
                        "u_V_each_ml",
                        "standard uncertainty of each level",
                        "ml",
                        (0.0, 1e5),
                        8.0,
                    ),
                    need(
                        "rho_f_kg_m3",
                        "density of the hot water",
                        "kg/m³",
                        500.0,
                        1100.0,
                    ),
                ],
                outputs: &[
                    out("u_steam_kg", "standard uncertainty", "kg"),
                    out("U_steam_kg", "expanded", "kg"),
                ],
                run: |g| {
                    steam_doubt(
                        g.n("feed_kg")?,
                        g.n("u_feed_rel")?,
                        g.n("u_V_each_ml")?,
                        g.n("rho_f_kg_m3")?,
                    )
                },
            },
        ],
    },
    Reckoner {
        name: "pump-gain",
        title: "What a steam pump gains",
        asks: "How much water does the pump feed for the steam it eats?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("d_steam_mm", "bore of the steam end", "mm", 0.5, 1000.0),
                need("d_water_mm", "bore of the water end", "mm", 0.5, 1000.0),
                need("stroke_mm", "stroke", "mm", 0.5, 1000.0),
                or(
                    "rod_mm",
                    "rod through the steam end",
                    "mm",
                    (0.0, 1000.0),
                    0.0,
                ),
                pressure("p_gauge_bar", "steam at the pump"),
                BAROMETER,
                or("vol_eff", "delivered over swept", "", (0.0, 1.05), 0.85),
                or(
                    "clearance_frac",
                    "clearance over stroke",
                    "",
                    (0.0, 1.0),
                    0.1,
                ),
                or(
                    "condensation_factor",
                    "steam drawn over steam indicated",
                    "",
                    (1.0, 20.0),
                    3.0,
                ),
            ],
            outputs: &[
                out("steam_per_cycle_g", "steam in a cycle", "g"),
                out("water_per_cycle_g", "water in a cycle", "g"),
                out("net_gain_ratio", "water over steam", ""),
                VERDICT,
            ],
            run: |g| {
                net_gain(&Gain {
                    steam_bore_mm: g.n("d_steam_mm")?,
                    water_bore_mm: g.n("d_water_mm")?,
                    stroke_mm: g.n("stroke_mm")?,
                    rod_mm: g.n("rod_mm")?,
                    pressure: g.gauge("p_gauge_bar")?,
                    barometer: g.barometer("barometer_hPa")?,
                    efficiency: g.n("vol_eff")?,
                    clearance: g.n("clearance_frac")?,
                    condensation: g.n("condensation_factor")?,
                })
            },
        }],
    },
    Reckoner {
        name: "pump-force",
        title: "Can a steam pump push",
        asks: "Will the pump push against the boiler?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("d_steam_mm", "bore of the steam end", "mm", 0.5, 1000.0),
                need("d_water_mm", "bore of the water end", "mm", 0.5, 1000.0),
                pressure("p_steam_gauge_bar", "steam at the pump"),
                pressure("p_boiler_gauge_bar", "pressure in the boiler"),
                or(
                    "dp_valves_bar",
                    "lost in valves and check",
                    "bar",
                    (0.001, 10.0),
                    0.3,
                ),
                or("mech_eff", "mechanical efficiency", "", (0.05, 1.0), 0.8),
                or(
                    "friction_N",
                    "friction of the dry pump",
                    "N",
                    (0.0, 10_000.0),
                    3.0,
                ),
            ],
            outputs: &[
                out("push_N", "push", "N"),
                out("need_N", "needed", "N"),
                out("force_margin", "push over need", ""),
                VERDICT,
            ],
            run: |g| {
                force_margin(&Push {
                    steam_bore_mm: g.n("d_steam_mm")?,
                    water_bore_mm: g.n("d_water_mm")?,
                    steam: g.gauge("p_steam_gauge_bar")?,
                    boiler: g.gauge("p_boiler_gauge_bar")?,
                    valves_bar: g.n("dp_valves_bar")?,
                    efficiency: g.n("mech_eff")?,
                    friction_n: g.n("friction_N")?,
                })
            },
        }],
    },
];
