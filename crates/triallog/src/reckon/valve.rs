//! The safety valve, as fields.

use calc::valve::{
    Accumulation, Area, Capacity, ClosedIn, Lift, LiftAndReseat, Reseat, accumulation, capacity,
    closed_rise, lift_area, required_area, set_and_reseat,
};

use super::field::{
    BAROMETER, Form, Input, Kind, LeftOut, Reckoner, VERDICT, may, need, or, other, out, pressure,
    truth,
};
use super::hydraulic::{GAUGE, gauge};

const SET: Input = need("set_gauge_bar", "set pressure", "bar", 0.01, 18.0);
const OVER: Input = or(
    "overpressure_frac",
    "allowed above the set pressure, as a part of it",
    "",
    (0.0, 1.0),
    0.1,
);
const K_DR: Input = or(
    "K_dr",
    "derated coefficient of discharge",
    "",
    (0.01, 1.0),
    0.5,
);
const EXPONENT: Input = or(
    "k",
    "isentropic exponent of the steam",
    "",
    (1.01, 1.7),
    1.135,
);
const WORKING: Input = need("p_working_bar", "working pressure", "bar", 0.01, 20.0);

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "valve-capacity",
        title: "What a safety valve lets through",
        asks: "How much steam does this valve carry at its relieving pressure?",
        forms: &[Form {
            is: "",
            inputs: &[
                SET,
                OVER,
                BAROMETER,
                need(
                    "area_mm2",
                    "least area in the way of the steam",
                    "mm²",
                    0.001,
                    10_000.0,
                ),
                K_DR,
                EXPONENT,
                may(
                    "max_evaporation_kg_h",
                    "most steam the boiler makes",
                    "kg/h",
                    0.001,
                    10_000.0,
                ),
            ],
            outputs: &[
                out("p0_bar_abs", "relieving pressure", "bar absolute"),
                out("C", "flow function of the exponent", ""),
                out(
                    "critical_ratio",
                    "pressure ratio below which it is choked",
                    "",
                ),
                out("Kb", "correction for what it blows against", ""),
                out("Qm_iso_kg_h", "steam by the ISO form", "kg/h"),
                out("Qm_napier_kg_h", "steam by Napier", "kg/h"),
                out("Qm_lower_kg_h", "the lower of both", "kg/h"),
                out("choked", "is it choked?", ""),
                out("margin", "carried over made", ""),
                VERDICT,
            ],
            run: |g| {
                capacity(&Capacity {
                    set: g.gauge("set_gauge_bar")?,
                    overpressure_frac: g.n("overpressure_frac")?,
                    barometer: g.barometer("barometer_hPa")?,
                    area_mm2: g.n("area_mm2")?,
                    discharge: g.n("K_dr")?,
                    exponent: g.n("k")?,
                    evaporation_kg_h: g.maybe("max_evaporation_kg_h"),
                })
            },
        }],
    },
    Reckoner {
        name: "valve-area",
        title: "The safety valve a boiler needs",
        asks: "What area and bore carry all the steam that this boiler makes?",
        forms: &[Form {
            is: "",
            inputs: &[
                need(
                    "max_evaporation_kg_h",
                    "most steam the boiler makes",
                    "kg/h",
                    0.001,
                    10_000.0,
                ),
                SET,
                OVER,
                BAROMETER,
                K_DR,
                EXPONENT,
            ],
            outputs: &[
                out("area_required_mm2", "least area", "mm²"),
                out("equivalent_bore_mm", "bore of that area", "mm"),
                out(
                    "lift_for_full_bore_mm",
                    "lift at which the bore rules",
                    "mm",
                ),
            ],
            run: |g| {
                required_area(&Area {
                    evaporation_kg_h: g.n("max_evaporation_kg_h")?,
                    set: g.gauge("set_gauge_bar")?,
                    overpressure_frac: g.n("overpressure_frac")?,
                    barometer: g.barometer("barometer_hPa")?,
                    discharge: g.n("K_dr")?,
                    exponent: g.n("k")?,
                })
            },
        }],
    },
    Reckoner {
        name: "valve-lift",
        title: "Area under a lifted valve",
        asks: "What rules: the gap under the disc, or the bore?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("bore_mm", "bore of the seat", "mm", 0.1, 500.0),
                need("lift_mm", "lift of the disc", "mm", 0.0, 500.0),
                other(
                    "seat",
                    "shape of the seat",
                    "",
                    Kind::OneOf(&["flat"]),
                    LeftOut::Word("flat"),
                ),
            ],
            outputs: &[
                out("curtain_mm2", "gap under the disc", "mm²"),
                out("bore_mm2", "bore", "mm²"),
                out("effective_mm2", "the lesser of both", "mm²"),
                out(
                    "lift_for_full_bore_mm",
                    "lift at which the bore rules",
                    "mm",
                ),
            ],
            run: |g| {
                lift_area(&Lift {
                    bore_mm: g.n("bore_mm")?,
                    lift_mm: g.n("lift_mm")?,
                })
            },
        }],
    },
    Reckoner {
        name: "accumulation",
        title: "The accumulation trial",
        asks: "Did the safety valve hold the pressure of the whole fire?",
        forms: &[Form {
            is: "",
            inputs: &[
                WORKING,
                need("p_max_bar", "highest pressure read", "bar", 0.0, 200.0),
                GAUGE[0],
                GAUGE[1],
                GAUGE[2],
                GAUGE[3],
                or(
                    "limit_pct",
                    "how far above the working pressure it may rise",
                    "%",
                    (0.0, 100.0),
                    10.0,
                ),
                truth("stop_valve_open", "the stop valve was open"),
                truth("still_rising", "the pressure was still rising at the end"),
            ],
            outputs: &[
                out("limit_bar", "limit", "bar"),
                out("U_bar", "expanded uncertainty of the reading", "bar"),
                out("rise_pct", "rise above the working pressure", "%"),
                out("alert", "stop where the limit was passed", ""),
                VERDICT,
            ],
            run: |g| {
                accumulation(&Accumulation {
                    working_bar: g.n("p_working_bar")?,
                    highest_bar: g.n("p_max_bar")?,
                    gauge: gauge(g)?,
                    limit_pct: g.n("limit_pct")?,
                    stop_valve_open: g.truth("stop_valve_open"),
                    still_rising: g.truth("still_rising"),
                })
            },
        }],
    },
    Reckoner {
        name: "valve-set",
        title: "Where a safety valve lifts and shuts",
        asks: "Does it lift at the working pressure, and shut again?",
        forms: &[Form {
            is: "",
            inputs: &[
                WORKING,
                need("lift_bar", "it lifted at", "bar", 0.001, 25.0),
                may("reseat_bar", "it shut at", "bar", 0.0, 25.0),
                truth("reseated", "it shut again"),
            ],
            outputs: &[
                out("set_tolerance_bar", "how far off it may lift", "bar"),
                out("blowdown_bar", "from lift to reseat", "bar"),
                out("blowdown_pct", "the same, of the lift", "%"),
                out("set_verdict", "verdict on the lift", ""),
                out("reseat_verdict", "verdict on the reseat", ""),
                VERDICT,
            ],
            run: |g| {
                set_and_reseat(&LiftAndReseat {
                    working_bar: g.n("p_working_bar")?,
                    lift_bar: g.n("lift_bar")?,
                    reseat: match (g.truth("reseated"), g.maybe("reseat_bar")) {
                        (Some(false), _) => Reseat::Never,
                        (_, Some(bar)) => Reseat::At(bar),
                        (_, None) => Reseat::Unseen,
                    },
                })
            },
        }],
    },
    Reckoner {
        name: "closed-rise",
        title: "A boiler closed in over its fire",
        asks: "How fast does the pressure climb with everything shut?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("water_kg", "water in the boiler", "kg", 0.001, 10_000.0),
                or(
                    "metal_kg",
                    "metal that heats with it",
                    "kg",
                    (0.0, 10_000.0),
                    0.0,
                ),
                or(
                    "c_metal_J_kgK",
                    "heat capacity of the metal",
                    "J/(kg K)",
                    (50.0, 2000.0),
                    385.0,
                ),
                need("net_heat_W", "heat that stays in", "W", 0.0, 1e6),
                pressure("p_gauge_bar", "pressure"),
                BAROMETER,
            ],
            outputs: &[
                out("dTsat_dp_K_per_bar", "slope of the boiling line", "K/bar"),
                out("rise_bar_per_min", "rise of pressure", "bar/min"),
                out("steam_equiv_kg_h", "the same heat as steam", "kg/h"),
                out("seconds_for_a_tenth_more", "time to a tenth above", "s"),
            ],
            run: |g| {
                closed_rise(&ClosedIn {
                    water_kg: g.n("water_kg")?,
                    metal_kg: g.n("metal_kg")?,
                    metal_j_kgk: g.n("c_metal_J_kgK")?,
                    net_w: g.n("net_heat_W")?,
                    pressure: g.gauge("p_gauge_bar")?,
                    barometer: g.barometer("barometer_hPa")?,
                })
            },
        }],
    },
];
