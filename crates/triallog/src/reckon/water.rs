//! Steam, swell, the glass and the water spaces, as fields.

use calc::Unusable;
use calc::answer::Answer;
use calc::properties::{Asked, tables};
use calc::quantity::{Absolute, Temperature};
use calc::shell_water::{Lying, Standing, calibrated, lying, standing};
use calc::water::{Boiling, Charge, CoolGlass, GlassLevel, glass_reading, saturation, swell};

use super::field::{
    BAROMETER, Form, Input, Kind, LeftOut, Output, Reckoner, VERDICT, cold, may, need, or, other,
    out, pressure,
};
use super::given::Given;

const STATE: &[Output] = &[
    out("v_m3_per_kg", "specific volume", "m³/kg"),
    out("h_kJ_per_kg", "enthalpy", "kJ/kg"),
    out("u_kJ_per_kg", "internal energy", "kJ/kg"),
    out("s_kJ_per_kgK", "entropy", "kJ/(kg K)"),
    out("cp_kJ_per_kgK", "heat capacity", "kJ/(kg K)"),
    out("kappa_T_per_Pa", "isothermal compressibility", "1/Pa"),
    out("beta_per_K", "expansion", "1/K"),
    out("rho_kg_m3", "density", "kg/m³"),
    out("p_sat_MPa", "boiling pressure", "MPa"),
    out("T_sat_K", "boiling temperature", "K"),
    out("T_sat_C", "boiling temperature", "°C"),
];

fn properties(g: &Given) -> Result<Answer, Unusable> {
    let at = g.maybe("T_K").map(Temperature::from_kelvin);
    let under = g.maybe("p_MPa").map(|p| Absolute::from_pascals(p * 1e6));
    let both = || {
        let at = at.ok_or(Unusable::Missing { field: "T_K" })?;
        Ok((at, under.ok_or(Unusable::Missing { field: "p_MPa" })?))
    };
    let region = g.maybe("region").unwrap_or(0.0);
    if region == 1.0 {
        let (at, under) = both()?;
        return tables(Asked::Water(at, under));
    }
    if region == 2.0 {
        let (at, under) = both()?;
        return tables(Asked::Steam(at, under));
    }
    match (at, under) {
        (Some(_), Some(_)) if region == 4.0 => Err(Unusable::Contradiction {
            field: "p_MPa",
            says: "on the boiling line a temperature settles the pressure: give one of the two",
        }),
        (Some(at), Some(under)) => {
            tables(Asked::Water(at, under)).or_else(|_| tables(Asked::Steam(at, under)))
        }
        (Some(at), None) => tables(Asked::BoilsAt(at)),
        (None, Some(under)) => tables(Asked::BoilsUnder(under)),
        (None, None) => Err(Unusable::Missing { field: "T_K" }),
    }
}

const LEVEL_DOUBT: Input = or(
    "u_level_mm",
    "standard uncertainty of the level",
    "mm",
    (0.0, 100.0),
    0.5,
);

const LEVEL: &[Output] = &[
    out("volume_ml", "water", "ml"),
    out("dV_dh_ml_per_mm", "water for a millimetre", "ml/mm"),
    out("full_ml", "whole inside", "ml"),
    out(
        "crown_cover_mm",
        "water over the highest tube at the low mark",
        "mm",
    ),
    VERDICT,
];

fn glass(g: &Given) -> Result<Answer, Unusable> {
    let level = match g.maybe("height_above_lower_nut_true_mm") {
        Some(level) => GlassLevel::True(level),
        None => GlassLevel::Shown(g.n("height_above_lower_nut_shown_mm").map_err(|_| {
            Unusable::Missing {
                field: "height_above_lower_nut_true_mm",
            }
        })?),
    };
    glass_reading(&CoolGlass {
        pressure: g.gauge("p_gauge_bar")?,
        barometer: g.barometer("barometer_hPa")?,
        level,
        glass: g.celsius("T_glass_C")?,
    })
}

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "steam-properties",
        title: "Water and steam by the tables",
        asks: "What are water's and steam's properties at a temperature and a pressure?",
        forms: &[Form {
            is: "",
            inputs: &[
                may(
                    "region",
                    "1 water, 2 steam, 4 boiling; found where left out",
                    "",
                    1.0,
                    4.0,
                ),
                may("T_K", "temperature", "K", 273.15, 1073.15),
                may("p_MPa", "pressure, absolute", "MPa", 1e-6, 100.0),
            ],
            outputs: STATE,
            run: |g| match g.maybe("region") {
                Some(r) if r != 1.0 && r != 2.0 && r != 4.0 => Err(Unusable::OutOfRange {
                    field: "region",
                    value: r,
                    least: 1.0,
                    most: 4.0,
                }),
                _ => properties(g),
            },
        }],
    },
    Reckoner {
        name: "saturation",
        title: "Boiling water and its steam",
        asks: "At this gauge pressure, how hot is it, and what does the water weigh?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("p_gauge_bar", "pressure", "bar", -1.0, 20.0),
                BAROMETER,
                may(
                    "u_p_bar",
                    "standard uncertainty of the pressure",
                    "bar",
                    0.0,
                    5.0,
                ),
            ],
            outputs: &[
                out("p_abs_Pa", "pressure, absolute", "Pa"),
                out("T_sat_C", "boiling temperature", "°C"),
                out("rho_f_kg_m3", "density of the water", "kg/m³"),
                out("rho_g_kg_m3", "density of the steam", "kg/m³"),
                out("h_f_kJ_kg", "enthalpy of the water", "kJ/kg"),
                out("h_fg_kJ_kg", "heat of evaporation", "kJ/kg"),
                out("u_f_kJ_kg", "internal energy of the water", "kJ/kg"),
            ],
            run: |g| {
                saturation(&Boiling {
                    pressure: g.gauge("p_gauge_bar")?,
                    barometer: g.barometer("barometer_hPa")?,
                    u_bar: g.maybe("u_p_bar"),
                })
            },
        }],
    },
    Reckoner {
        name: "swell",
        title: "Swell of a charge",
        asks: "How much room does this cold charge take when it is hot?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("V_cold_ml", "charge, cold", "ml", 0.1, 1e7),
                cold("T_cold_C", "charge"),
                pressure("p_gauge_bar", "pressure, hot"),
                BAROMETER,
                may("V_total_ml", "whole inside of the boiler", "ml", 0.1, 1e7),
                or(
                    "alpha_shell_per_K",
                    "expansion of the shell",
                    "1/K",
                    (0.0, 1e-4),
                    1.69e-5,
                ),
            ],
            outputs: &[
                out("V_hot_simple_ml", "hot, simply", "ml"),
                out("V_hot_closed_ml", "hot, in a closed boiler", "ml"),
                out("swell_simple_pct", "swell", "%"),
                out("mass_kg", "charge", "kg"),
            ],
            run: |g| {
                swell(&Charge {
                    cold_ml: g.n("V_cold_ml")?,
                    cold: g.celsius("T_cold_C")?,
                    pressure: g.gauge("p_gauge_bar")?,
                    barometer: g.barometer("barometer_hPa")?,
                    total_ml: g.maybe("V_total_ml"),
                    shell_per_k: g.n("alpha_shell_per_K")?,
                })
            },
        }],
    },
    Reckoner {
        name: "glass-reading",
        title: "What a cool glass shows",
        asks: "How much lower does the glass show than the water stands?",
        forms: &[Form {
            is: "",
            inputs: &[
                pressure("p_gauge_bar", "pressure"),
                BAROMETER,
                may(
                    "height_above_lower_nut_true_mm",
                    "true level above the lower nut",
                    "mm",
                    0.0,
                    10_000.0,
                ),
                may(
                    "height_above_lower_nut_shown_mm",
                    "level shown, where that is known instead",
                    "mm",
                    0.0,
                    10_000.0,
                ),
                or("T_glass_C", "water in the glass", "°C", (0.01, 250.0), 60.0),
            ],
            outputs: &[
                out("height_shown_mm", "level shown", "mm"),
                out("height_true_mm", "true level", "mm"),
                out(
                    "shown_over_true",
                    "shown over true, the other way round",
                    "",
                ),
            ],
            run: glass,
        }],
    },
    Reckoner {
        name: "shell-level",
        title: "Water in a shell",
        asks: "How much water is at this level, and how much is a millimetre?",
        forms: &[
            Form {
                is: "a lying shell",
                inputs: &[
                    need("D_inside_mm", "inside diameter", "mm", 1.0, 10_000.0),
                    need("L_inside_mm", "inside length", "mm", 1.0, 10_000.0),
                    need(
                        "level_mm_from_bottom",
                        "level above the lowest inside point",
                        "mm",
                        -10_000.0,
                        20_000.0,
                    ),
                    other(
                        "tubes",
                        "flues and tubes",
                        "mm",
                        Kind::Tubes,
                        LeftOut::Unused,
                    ),
                    LEVEL_DOUBT,
                    or(
                        "tilt_mm",
                        "how much higher it stands at one end",
                        "mm",
                        (0.0, 10_000.0),
                        0.0,
                    ),
                    may(
                        "low_mark_mm_from_bottom",
                        "low mark above the lowest inside point",
                        "mm",
                        0.0,
                        10_000.0,
                    ),
                ],
                outputs: LEVEL,
                run: |g| {
                    lying(&Lying {
                        bore_mm: g.n("D_inside_mm")?,
                        length_mm: g.n("L_inside_mm")?,
                        level_mm: g.n("level_mm_from_bottom")?,
                        tubes: g.table("tubes").unwrap_or(&[]).to_vec(),
                        u_level_mm: g.n("u_level_mm")?,
                        tilt_mm: g.n("tilt_mm")?,
                        low_mark_mm: g.maybe("low_mark_mm_from_bottom"),
                    })
                },
            },
            Form {
                is: "a standing shell",
                inputs: &[
                    need("D_inside_mm", "inside diameter", "mm", 1.0, 10_000.0),
                    need(
                        "level_mm",
                        "level above the lowest inside point",
                        "mm",
                        -10_000.0,
                        20_000.0,
                    ),
                    other(
                        "through_tube_od_mm",
                        "outside diameters of the tubes",
                        "mm",
                        Kind::Numbers(0.0, 10_000.0),
                        LeftOut::Unused,
                    ),
                    may(
                        "firebox_od_mm",
                        "outside diameter of the firebox",
                        "mm",
                        0.1,
                        10_000.0,
                    ),
                    may(
                        "firebox_crown_mm",
                        "height of its crown",
                        "mm",
                        0.1,
                        10_000.0,
                    ),
                    LEVEL_DOUBT,
                ],
                outputs: LEVEL,
                run: |g| {
                    let firebox = match (g.maybe("firebox_od_mm"), g.maybe("firebox_crown_mm")) {
                        (None, None) => None,
                        _ => Some((g.n("firebox_od_mm")?, g.n("firebox_crown_mm")?)),
                    };
                    standing(&Standing {
                        bore_mm: g.n("D_inside_mm")?,
                        level_mm: g.n("level_mm")?,
                        tubes_mm: g.numbers("through_tube_od_mm").unwrap_or(&[]).to_vec(),
                        firebox,
                        u_level_mm: g.n("u_level_mm")?,
                    })
                },
            },
        ],
    },
    Reckoner {
        name: "calibrated-level",
        title: "Water by a poured table",
        asks: "How much water is at this level, by the table that was poured?",
        forms: &[Form {
            is: "",
            inputs: &[
                other(
                    "table_mm_ml",
                    "rows of level and ml poured",
                    "mm, ml",
                    Kind::Table,
                    LeftOut::Needed,
                ),
                need("level_mm", "level", "mm", -1e5, 1e5),
                LEVEL_DOUBT,
                may("geometry_ml", "the same level by geometry", "ml", 0.0, 1e7),
            ],
            outputs: &[
                out("volume_ml", "water", "ml"),
                out("dV_dh_ml_per_mm", "water for a millimetre", "ml/mm"),
                out("geometry_off_pct", "geometry over table", "%"),
                VERDICT,
            ],
            run: |g| {
                let table = g.table("table_mm_ml")?;
                calibrated(
                    table,
                    g.n("level_mm")?,
                    g.n("u_level_mm")?,
                    g.maybe("geometry_ml"),
                )
            },
        }],
    },
];
