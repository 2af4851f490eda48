//! The hold and the test pressure, as fields.

use calc::Unusable;
use calc::hydraulic::{Attained, Hold, Seen, allowed_drop_bar, judge_hold, proof_pressure};

use super::field::{
    BAROMETER, Form, Kind, LeftOut, Reckoner, VERDICT, lasting, may, need, or, other, out, truth,
};
use super::given::Given;
use super::hydraulic::{
    ALPHA, BORE, FACTOR, GAUGE, MATERIAL, POISSON, VOLUME, WALL, YOUNG, gauge, shell,
};

fn hold(g: &Given) -> Result<Hold, Unusable> {
    let start = g.gauge("p_start_gauge_bar")?;
    Ok(Hold {
        shell: shell(g)?,
        shell_ml: g.n("V_ml")?,
        air_ml: g.n("air_at_atm_ml")?,
        start,
        end: g.gauge("p_end_gauge_bar")?,
        start_water: g.maybe_celsius("T_start_C"),
        end_water: g.maybe_celsius("T_end_C"),
        hold_s: g.n("hold_s")?,
        required_s: g.n("required_hold_s")?,
        allowed_bar: g
            .maybe("allowed_drop_bar")
            .unwrap_or_else(|| allowed_drop_bar(start)),
        resolution_bar: g.n("gauge_resolution_bar")?,
        u_each_k: g.n("u_T_each_K")?,
        barometer: g.barometer("barometer_hPa")?,
        seen: match g.word("seen") {
            Some("dry") => Seen::Dry,
            Some("weep_at_fitting") => Seen::WeepAtFitting,
            Some("weep_at_shell") => Seen::WeepAtShell,
            Some("bulge") => Seen::Bulge,
            _ => Seen::Unsaid,
        },
        pump_isolated: g.truth("pump_isolated"),
        stood_min: g.maybe("stood_min"),
    })
}

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "pressure-hold",
        title: "The hold of a hydraulic test",
        asks: "Did it hold, did it only cool, or can nobody say?",
        forms: &[Form {
            is: "",
            inputs: &[
                need(
                    "p_start_gauge_bar",
                    "pressure at the beginning",
                    "bar",
                    0.0,
                    40.0,
                ),
                need("p_end_gauge_bar", "pressure at the end", "bar", 0.0, 40.0),
                may("T_start_C", "water at the beginning", "°C", -20.0, 250.0),
                may("T_end_C", "water at the end", "°C", -20.0, 250.0),
                lasting("hold_s", "how long it was held"),
                VOLUME,
                or(
                    "air_at_atm_ml",
                    "air left, at the atmosphere's pressure",
                    "ml",
                    (0.0, 1e7),
                    0.0,
                ),
                may(
                    "allowed_drop_bar",
                    "what it may fall; 2 % of the beginning where left out",
                    "bar",
                    0.0,
                    40.0,
                ),
                need(
                    "gauge_resolution_bar",
                    "smallest step read",
                    "bar",
                    0.0,
                    10.0,
                ),
                or(
                    "u_T_each_K",
                    "standard uncertainty of each temperature against the other",
                    "K",
                    (0.0, 10.0),
                    0.3,
                ),
                or(
                    "required_hold_s",
                    "how long it must be held",
                    "s",
                    (0.0, 1e6),
                    600.0,
                ),
                MATERIAL,
                BORE,
                WALL,
                YOUNG,
                POISSON,
                ALPHA,
                FACTOR,
                BAROMETER,
                other(
                    "seen",
                    "what was seen",
                    "",
                    Kind::OneOf(&["dry", "weep_at_fitting", "weep_at_shell", "bulge"]),
                    LeftOut::Unused,
                ),
                truth("pump_isolated", "the pump was shut off from the shell"),
                may(
                    "stood_min",
                    "how long the water had stood in the shell",
                    "min",
                    0.0,
                    1e6,
                ),
            ],
            outputs: &[
                out(
                    "temperature_correction_bar",
                    "what the water's temperature did",
                    "bar",
                ),
                out("drop_corrected_bar", "fall without it", "bar"),
                out("U_drop_bar", "its expanded uncertainty", "bar"),
                out("leak_ml_per_min", "leak that would make it", "ml/min"),
                VERDICT,
            ],
            run: |g| judge_hold(&hold(g)?),
        }],
    },
    Reckoner {
        name: "proof-pressure",
        title: "The test pressure reached",
        asks: "Was the test pressure reached for certain, and not passed by too much?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("p_working_bar", "working pressure", "bar", 0.01, 40.0),
                or(
                    "multiple",
                    "test pressure over working pressure",
                    "",
                    (1.0, 3.0),
                    2.0,
                ),
                need(
                    "p_indicated_bar",
                    "highest pressure read",
                    "bar",
                    0.0,
                    200.0,
                ),
                GAUGE[0],
                GAUGE[1],
                GAUGE[2],
                GAUGE[3],
                or(
                    "over_target_pct",
                    "by how much it may be passed",
                    "%",
                    (0.0, 100.0),
                    6.0,
                ),
            ],
            outputs: &[
                out("required_bar", "test pressure", "bar"),
                out("U_bar", "expanded uncertainty of the reading", "bar"),
                out("reached", "reached: yes, no or not_proven", ""),
                out("overshoot_pct", "over the test pressure", "%"),
                out("overshoot", "overshoot: ok, caution or stop", ""),
                VERDICT,
            ],
            run: |g| {
                proof_pressure(&Attained {
                    working_bar: g.n("p_working_bar")?,
                    multiple: g.n("multiple")?,
                    indicated_bar: g.n("p_indicated_bar")?,
                    gauge: gauge(g)?,
                    over_target_pct: g.n("over_target_pct")?,
                })
            },
        }],
    },
];
