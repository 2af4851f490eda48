//! The hydraulic test, as fields.

use calc::Unusable;
use calc::hydraulic::{FullShell, Metal, Pumped, TrappedAir, lost_drop, shell_drift, trapped_air};

use calc::uncertainty::PressureGauge;

use super::field::{
    BAROMETER, Form, Input, Kind, LeftOut, Reckoner, VERDICT, cold, may, need, or, other, out,
    truth,
};
use super::given::Given;

const METALS: &[&str] = &["copper", "steel", "brass", "stainless", "bronze"];

pub(super) const MATERIAL: Input = other(
    "material",
    "metal of the shell",
    "",
    Kind::OneOf(METALS),
    LeftOut::Word("copper"),
);
pub(super) const BORE: Input = or("D_mm", "inside diameter", "mm", (1.0, 10_000.0), 100.0);
pub(super) const WALL: Input = or("wall_mm", "wall", "mm", (0.01, 1000.0), 2.5);
pub(super) const YOUNG: Input = may(
    "E_Pa",
    "Young's modulus, instead of the metal's",
    "Pa",
    1e9,
    1e12,
);
pub(super) const POISSON: Input = may(
    "poisson",
    "Poisson's ratio, instead of the metal's",
    "",
    0.0,
    0.5,
);
pub(super) const ALPHA: Input = may(
    "alpha_per_K",
    "expansion, instead of the metal's",
    "1/K",
    0.0,
    1e-4,
);
pub(super) const FACTOR: Input = or(
    "compliance_factor",
    "how much softer than a plain cylinder; 1.3 with flat ends",
    "",
    (0.1, 10.0),
    1.0,
);
pub(super) const VOLUME: Input = need("V_ml", "whole inside", "ml", 0.1, 1e7);

/// A gauge; needed where its class decides.
pub(super) const GAUGE: [Input; 4] = [
    may(
        "gauge_class",
        "accuracy class of the gauge",
        "% of span",
        0.01,
        20.0,
    ),
    may(
        "gauge_span_bar",
        "full scale of the gauge",
        "bar",
        0.01,
        200.0,
    ),
    may(
        "gauge_resolution_bar",
        "smallest step read",
        "bar",
        0.0,
        50.0,
    ),
    truth(
        "gauge_in_service",
        "the gauge has no current calibration: its class counts one and a half times",
    ),
];

/// What a gauge is, where anything is known of it.
pub(super) fn gauge(g: &Given) -> Result<Option<PressureGauge>, Unusable> {
    let Some(class) = g.maybe("gauge_class") else {
        return Ok(None);
    };
    let worn = if g.truth("gauge_in_service") == Some(true) {
        1.5
    } else {
        1.0
    };
    Ok(Some(PressureGauge {
        class_pct: class * worn,
        span_bar: g.n("gauge_span_bar")?,
        resolution_bar: g.n("gauge_resolution_bar")?,
    }))
}

pub(super) fn shell(g: &Given) -> Result<FullShell, Unusable> {
    let metal = g
        .word("material")
        .and_then(Metal::named)
        .unwrap_or(Metal::COPPER);
    Ok(FullShell {
        bore_mm: g.n("D_mm")?,
        wall_mm: g.n("wall_mm")?,
        metal: Metal {
            young_pa: g.maybe("E_Pa").unwrap_or(metal.young_pa),
            poisson: g.maybe("poisson").unwrap_or(metal.poisson),
            expansion_per_k: g.maybe("alpha_per_K").unwrap_or(metal.expansion_per_k),
        },
        compliance_factor: g.n("compliance_factor")?,
    })
}

/// Air in a shell at a pressure, where there is any.
fn air(g: &Given, amount: &'static str) -> Result<Option<TrappedAir>, Unusable> {
    let at_atmosphere_ml = g.n(amount)?;
    if at_atmosphere_ml == 0.0 {
        return Ok(None);
    }
    let barometer = g.barometer("barometer_hPa")?;
    Ok(Some(TrappedAir {
        at_atmosphere_ml,
        shell_ml: g.n("V_ml")?,
        pressure: g.gauge("p_gauge_bar")?.above(barometer),
        barometer,
    }))
}

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "shell-drift",
        title: "What a kelvin does to a full shell",
        asks: "How many bar does one kelvin make in a shell full of water?",
        forms: &[Form {
            is: "",
            inputs: &[
                MATERIAL,
                BORE,
                WALL,
                cold("T_C", "water"),
                YOUNG,
                POISSON,
                ALPHA,
                FACTOR,
                or(
                    "air_ml",
                    "air left, at the atmosphere's pressure",
                    "ml",
                    (0.0, 1e7),
                    0.0,
                ),
                may(
                    "V_ml",
                    "whole inside; needed where there is air",
                    "ml",
                    0.1,
                    1e7,
                ),
                may(
                    "p_gauge_bar",
                    "pressure; needed where there is air",
                    "bar",
                    0.0,
                    40.0,
                ),
                BAROMETER,
            ],
            outputs: &[
                out("kappa_water_per_Pa", "compressibility of the water", "1/Pa"),
                out("kappa_shell_per_Pa", "give of the shell", "1/Pa"),
                out("beta_water_per_K", "expansion of the water", "1/K"),
                out("kappa_air_per_Pa", "give of the air", "1/Pa"),
                out("dp_dT_bar_per_K", "pressure for one kelvin", "bar/K"),
                out(
                    "zero_drift_C",
                    "water at which warmth makes no pressure, without air",
                    "°C",
                ),
            ],
            run: |g| shell_drift(&shell(g)?, g.celsius("T_C")?, air(g, "air_ml")?),
        }],
    },
    Reckoner {
        name: "trapped-air",
        title: "Air left in a shell",
        asks: "How much air was left in, going by the water pumped?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("pumped_ml", "water pumped in", "ml", 0.0, 1e7),
                VOLUME,
                MATERIAL,
                BORE,
                WALL,
                cold("T_C", "water"),
                need("p_gauge_bar", "pressure reached", "bar", 0.01, 40.0),
                BAROMETER,
                or(
                    "u_pumped_ml",
                    "standard uncertainty of the pumped water",
                    "ml",
                    (0.0, 1e7),
                    0.0,
                ),
                YOUNG,
                POISSON,
                ALPHA,
                FACTOR,
            ],
            outputs: &[
                out("elastic_ml", "what water and shell alone take", "ml"),
                out("air_at_atm_ml", "air at the atmosphere's pressure", "ml"),
                out("air_pct_of_volume", "air as a part of the inside", "%"),
                out("air_stored_energy_J", "energy stored in it", "J"),
                VERDICT,
            ],
            run: |g| {
                trapped_air(&Pumped {
                    shell: shell(g)?,
                    shell_ml: g.n("V_ml")?,
                    pumped_ml: g.n("pumped_ml")?,
                    u_pumped_ml: g.n("u_pumped_ml")?,
                    pressure: g.gauge("p_gauge_bar")?,
                    barometer: g.barometer("barometer_hPa")?,
                    water: g.celsius("T_C")?,
                })
            },
        }],
    },
    Reckoner {
        name: "lost-drop",
        title: "One drop lost",
        asks: "How far does the pressure of a full shell fall when a drop leaves it?",
        forms: &[Form {
            is: "",
            inputs: &[
                VOLUME,
                or("lost_ml", "water lost", "ml", (0.0, 1e7), 0.05),
                MATERIAL,
                BORE,
                WALL,
                cold("T_C", "water"),
                or(
                    "air_at_atm_ml",
                    "air left, at the atmosphere's pressure",
                    "ml",
                    (0.0, 1e7),
                    0.0,
                ),
                may(
                    "p_gauge_bar",
                    "pressure; needed where there is air",
                    "bar",
                    0.0,
                    40.0,
                ),
                BAROMETER,
                YOUNG,
                POISSON,
                ALPHA,
                FACTOR,
            ],
            outputs: &[out("pressure_fall_bar", "fall of pressure", "bar")],
            run: |g| {
                let left = air(g, "air_at_atm_ml")?;
                lost_drop(
                    &shell(g)?,
                    g.n("V_ml")?,
                    g.n("lost_ml")?,
                    g.celsius("T_C")?,
                    left,
                )
            },
        }],
    },
];
