//! The engine, as fields.

use calc::Unusable;
use calc::engine::{
    Admission, Cylinder, Expansion, PistonSpeed, admission_steam, brake_power,
    cylinder_condensation, mean_pressure, piston_speed, power,
};
use calc::feed_pump::Acting;

use super::field::{
    BAROMETER, Form, Input, Kind, LeftOut, Reckoner, VERDICT, may, need, or, other, out, pressure,
};
use super::given::Given;

const BORE: Input = need("bore_mm", "bore", "mm", 0.5, 1000.0);
const STROKE: Input = need("stroke_mm", "stroke", "mm", 0.5, 2000.0);
const ROD: Input = or("rod_mm", "rod", "mm", (0.0, 1000.0), 0.0);
const RPM: Input = need("rpm", "revolutions a minute", "1/min", 0.0, 50_000.0);
const CUTOFF: Input = or(
    "cutoff_frac",
    "part of the stroke over which steam is let in",
    "",
    (0.0, 1.0),
    0.75,
)
.code("cutoff_out_of_range");
const CLEARANCE: Input = or(
    "clearance_frac",
    "clearance over stroke",
    "",
    (0.0, 0.5),
    0.08,
);
const BACK: Input = or("back_gauge_bar", "exhaust", "bar", (-0.5, 10.0), 0.1);
const ACTING: Input = other(
    "acting",
    "faces that work",
    "",
    Kind::OneOf(&["single", "double"]),
    LeftOut::Word("double"),
);

fn cylinder(g: &Given) -> Result<Cylinder, Unusable> {
    Ok(Cylinder {
        bore_mm: g.n("bore_mm")?,
        stroke_mm: g.n("stroke_mm")?,
        rod_mm: g.n("rod_mm")?,
        acting: g
            .word("acting")
            .and_then(Acting::named)
            .unwrap_or(Acting::Double),
    })
}

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "engine-power",
        title: "Power of an engine",
        asks: "What indicated power does this mean pressure make?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("mep_bar", "mean effective pressure", "bar", -20.0, 20.0),
                STROKE,
                BORE,
                ROD,
                RPM,
                ACTING,
            ],
            outputs: &[
                out("indicated_W", "indicated power, an estimate", "W"),
                out("mean_piston_speed_m_s", "mean piston speed", "m/s"),
            ],
            run: |g| power(g.n("mep_bar")?, &cylinder(g)?, g.n("rpm")?),
        }],
    },
    Reckoner {
        name: "mean-pressure",
        title: "Mean effective pressure",
        asks: "What mean pressure may be expected at this cutoff?",
        forms: &[Form {
            is: "",
            inputs: &[
                pressure("p_gauge_bar", "steam at the engine"),
                CUTOFF,
                CLEARANCE,
                BACK,
                or(
                    "diagram_factor",
                    "real diagram over ideal",
                    "",
                    (0.1, 1.0),
                    0.7,
                ),
                BAROMETER,
            ],
            outputs: &[
                out("mep_theory_bar", "ideal diagram", "bar"),
                out("mep_expected_bar", "to be expected", "bar"),
            ],
            run: |g| {
                mean_pressure(&Expansion {
                    steam: g.gauge("p_gauge_bar")?,
                    back: g.gauge("back_gauge_bar")?,
                    barometer: g.barometer("barometer_hPa")?,
                    cutoff: g.n("cutoff_frac")?,
                    clearance: g.n("clearance_frac")?,
                    diagram: g.n("diagram_factor")?,
                })
            },
        }],
    },
    Reckoner {
        name: "engine-steam",
        title: "Steam an engine eats",
        asks: "How much steam does this engine eat?",
        forms: &[Form {
            is: "",
            inputs: &[
                pressure("p_gauge_bar", "steam at the engine"),
                CUTOFF,
                CLEARANCE,
                BORE,
                STROKE,
                ROD,
                RPM,
                ACTING,
                or(
                    "missing_ratio",
                    "steam that condenses unseen over indicated",
                    "",
                    (0.0, 10.0),
                    1.0,
                ),
                other(
                    "cushion_steam",
                    "exhaust steam stays in the clearance",
                    "",
                    Kind::Truth,
                    LeftOut::Truth(true),
                ),
                BACK,
                BAROMETER,
            ],
            outputs: &[
                out("theory_kg_h", "steam indicated", "kg/h"),
                out("with_missing_kg_h", "steam in all", "kg/h"),
            ],
            run: |g| {
                admission_steam(&Admission {
                    steam: g.gauge("p_gauge_bar")?,
                    back: g.gauge("back_gauge_bar")?,
                    barometer: g.barometer("barometer_hPa")?,
                    cutoff: g.n("cutoff_frac")?,
                    clearance: g.n("clearance_frac")?,
                    cylinder: cylinder(g)?,
                    rpm: g.n("rpm")?,
                    missing: g.n("missing_ratio")?,
                    cushion: g.truth("cushion_steam") != Some(false),
                })
            },
        }],
    },
    Reckoner {
        name: "piston-speed",
        title: "How fast an engine may run",
        asks: "Is the piston too fast, and at what speed would it be?",
        forms: &[Form {
            is: "",
            inputs: &[
                STROKE,
                RPM,
                or(
                    "limit_m_s",
                    "most mean piston speed",
                    "m/s",
                    (0.05, 20.0),
                    1.0,
                ),
                or(
                    "crank_over_rod",
                    "crank throw over connecting rod",
                    "",
                    (0.0, 0.9),
                    0.25,
                ),
                may("flywheel_mm", "flywheel over the rim", "mm", 1.0, 10_000.0),
            ],
            outputs: &[
                out("mean_piston_speed_m_s", "mean piston speed", "m/s"),
                out("rpm_at_limit", "speed at the limit", "1/min"),
                out("peak_acceleration_m_s2", "peak acceleration", "m/s²"),
                out("rim_m_s", "rim of the flywheel", "m/s"),
                VERDICT,
            ],
            run: |g| {
                piston_speed(&PistonSpeed {
                    stroke_mm: g.n("stroke_mm")?,
                    rpm: g.n("rpm")?,
                    limit_m_s: g.n("limit_m_s")?,
                    crank_over_rod: g.n("crank_over_rod")?,
                    flywheel_mm: g.maybe("flywheel_mm"),
                })
            },
        }],
    },
    Reckoner {
        name: "cylinder-condensation",
        title: "Steam that condenses unseen",
        asks: "How much steam may go missing on the cold cylinder? (a cross-check)",
        forms: &[Form {
            is: "",
            inputs: &[
                or(
                    "C",
                    "constant; 6 to 8 without a jacket",
                    "",
                    (1.0, 20.0),
                    7.0,
                ),
                CUTOFF,
                BORE,
                need("rpm", "revolutions a minute", "1/min", 1.0, 50_000.0),
            ],
            outputs: &[out("missing_over_indicated", "missing over indicated", "")],
            run: |g| {
                cylinder_condensation(g.n("C")?, g.n("cutoff_frac")?, g.n("bore_mm")?, g.n("rpm")?)
            },
        }],
    },
    Reckoner {
        name: "brake-power",
        title: "Power at the shaft",
        asks: "What power does this torque make?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("torque_Nm", "torque", "N m", 0.0, 10_000.0),
                RPM,
                may("indicated_W", "indicated power", "W", 1e-6, 1e6),
            ],
            outputs: &[
                out("brake_W", "power at the shaft", "W"),
                out(
                    "mech_eff_if_indicated_5W",
                    "mechanical efficiency, had 5 W been indicated",
                    "",
                ),
                out("mech_eff", "mechanical efficiency", ""),
            ],
            run: |g| brake_power(g.n("torque_Nm")?, g.n("rpm")?, g.maybe("indicated_W")),
        }],
    },
];
