//! Jets, gas and its tank, as fields.

use calc::Unusable;
use calc::burner::{
    FlowDoubt, Gas, Jet, RunTime, combustion_air, flow_doubt, jet, jet_change, run_time,
    tank_pressure,
};

use super::field::{
    BAROMETER, Form, Input, Kind, LeftOut, Reckoner, cold, may, need, or, other, out,
};
use super::given::Given;

const GASES: &[&str] = &[
    "n_butane",
    "isobutane",
    "propane",
    "butane70_propane30_mass",
];

const GAS: Input = other(
    "gas",
    "gas",
    "",
    Kind::OneOf(GASES),
    LeftOut::Word("n_butane"),
);
const JET: Input = need("jet_mm", "bore of the jet", "mm", 0.01, 20.0);
const BEFORE: Input = need("p_gauge_bar", "pressure before the jet", "bar", 0.0, 20.0);
const CD: Input = or("Cd", "coefficient of discharge", "", (0.1, 1.0), 0.8);

fn the_jet(g: &Given) -> Result<Jet, Unusable> {
    let gas = g.word("gas").and_then(Gas::named).unwrap_or(Gas::N_BUTANE);
    Ok(Jet {
        gas: Gas {
            gamma: g.maybe("gamma").unwrap_or(gas.gamma),
            molar_kg: g.maybe("M_kg_mol").unwrap_or(gas.molar_kg),
            net_j_kg: g.maybe("LHV_J_kg").unwrap_or(gas.net_j_kg),
            ..gas
        },
        bore_mm: g.n("jet_mm")?,
        pressure: g.gauge("p_gauge_bar")?,
        barometer: g.barometer("barometer_hPa")?,
        gas_at: g.celsius("T_C")?,
        discharge: g.n("Cd")?,
        tank: g.maybe_celsius("T_tank_C"),
        u_bore_mm: g.maybe("u_d_mm"),
        u_discharge: g.maybe("u_Cd_rel"),
    })
}

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "gas-jet",
        title: "Gas through a jet",
        asks: "How much gas passes this jet, and how much heat?",
        forms: &[
            Form {
                is: "a jet under pressure",
                inputs: &[
                    GAS,
                    JET,
                    BEFORE,
                    cold("T_C", "gas before the jet"),
                    CD,
                    BAROMETER,
                    may(
                        "gamma",
                        "ratio of heat capacities, instead of the gas's",
                        "",
                        1.01,
                        1.7,
                    ),
                    may(
                        "M_kg_mol",
                        "molar mass, instead of the gas's",
                        "kg/mol",
                        0.002,
                        0.2,
                    ),
                    may(
                        "LHV_J_kg",
                        "net calorific value, instead of the gas's",
                        "J/kg",
                        1e6,
                        2e8,
                    ),
                    may("T_tank_C", "liquid in the tank", "°C", -20.0, 50.0),
                    may("u_d_mm", "standard uncertainty of the bore", "mm", 0.0, 1.0),
                    may(
                        "u_Cd_rel",
                        "relative standard uncertainty of the coefficient",
                        "",
                        0.0,
                        1.0,
                    ),
                ],
                outputs: &[
                    out("choked", "is it choked?", ""),
                    out(
                        "critical_ratio",
                        "pressure ratio below which it is choked",
                        "",
                    ),
                    out("mass_g_per_min", "gas", "g/min"),
                    out("heat_input_W", "heat", "W"),
                ],
                run: |g| jet(&the_jet(g)?),
            },
            Form {
                is: "how sure a flow is",
                inputs: &[
                    need("d_mm", "bore of the jet", "mm", 0.01, 20.0),
                    or(
                        "u_d_mm",
                        "standard uncertainty of the bore",
                        "mm",
                        (0.0, 1.0),
                        0.005,
                    ),
                    or(
                        "u_Cd_rel",
                        "relative standard uncertainty of the coefficient",
                        "",
                        (0.0, 1.0),
                        0.1,
                    ),
                    or(
                        "u_p_rel_abs",
                        "relative standard uncertainty of the absolute pressure",
                        "",
                        (0.0, 1.0),
                        0.02,
                    ),
                ],
                outputs: &[
                    out(
                        "u_flow_rel",
                        "relative standard uncertainty of the flow",
                        "",
                    ),
                    out("U_flow_pct", "expanded", "%"),
                ],
                run: |g| {
                    flow_doubt(&FlowDoubt {
                        bore_mm: g.n("d_mm")?,
                        u_bore_mm: g.n("u_d_mm")?,
                        u_discharge: g.n("u_Cd_rel")?,
                        u_pressure: g.n("u_p_rel_abs")?,
                    })
                },
            },
        ],
    },
    Reckoner {
        name: "jet-change",
        title: "Another jet on the same rig",
        asks: "How much more does the second jet pass than the first?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("d1_mm", "bore of the first", "mm", 0.01, 20.0),
                need("d2_mm", "bore of the second", "mm", 0.01, 20.0),
                or("Cd1", "coefficient of the first", "", (0.1, 1.0), 0.8),
                or("Cd2", "coefficient of the second", "", (0.1, 1.0), 0.8),
            ],
            outputs: &[out("flow_ratio", "second over first", "")],
            run: |g| jet_change((g.n("d1_mm")?, g.n("Cd1")?), (g.n("d2_mm")?, g.n("Cd2")?)),
        }],
    },
    Reckoner {
        name: "combustion-air",
        title: "Air for a flame",
        asks: "How much air does this gas need, and how much CO₂ can its flue show?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("C", "carbon atoms of a molecule", "", 0.5, 30.0),
                need("H", "hydrogen atoms of a molecule", "", 0.0, 70.0),
                or("O2_frac_air", "oxygen in the air", "", (0.1, 1.0), 0.2095),
            ],
            outputs: &[
                out("air_mol_per_mol", "air by volume", "mol/mol"),
                out("air_kg_per_kg", "air by mass", "kg/kg"),
                out("CO2_max_dry_pct", "most CO₂ in the dry gases", "%"),
            ],
            run: |g| combustion_air(g.n("C")?, g.n("H")?, g.n("O2_frac_air")?),
        }],
    },
    Reckoner {
        name: "tank-pressure",
        title: "Pressure in a gas tank",
        asks: "What pressure does the gas give at this temperature?",
        forms: &[Form {
            is: "",
            inputs: &[
                cold("T_C", "liquid"),
                or(
                    "mix_mass_butane",
                    "n-butane in the mixture, by mass",
                    "",
                    (0.0, 1.0),
                    0.7,
                ),
                or(
                    "mix_mass_propane",
                    "propane in the mixture, by mass",
                    "",
                    (0.0, 1.0),
                    0.3,
                ),
            ],
            outputs: &[
                out("p_n_butane_bar_abs", "n-butane", "bar absolute"),
                out("p_isobutane_bar_abs", "isobutane", "bar absolute"),
                out("p_propane_bar_abs", "propane", "bar absolute"),
                out("p_mix_raoult_bar_abs", "the mixture", "bar absolute"),
                out("p_mix_50C_bar_abs", "the mixture at 50 °C", "bar absolute"),
                out(
                    "tank_test_bar_abs",
                    "water test of the tank, twice that",
                    "bar absolute",
                ),
            ],
            run: |g| {
                tank_pressure(
                    g.celsius("T_C")?,
                    g.n("mix_mass_butane")?,
                    g.n("mix_mass_propane")?,
                )
            },
        }],
    },
    Reckoner {
        name: "gas-run-time",
        title: "How long a tank lasts",
        asks: "How long does this tank feed this jet, at most?",
        forms: &[Form {
            is: "",
            inputs: &[
                GAS,
                need("tank_ml", "whole inside of the tank", "ml", 0.1, 1e5),
                or("fill_frac", "how full of liquid", "", (0.01, 1.0), 0.8),
                cold("T_C", "liquid and gas"),
                JET,
                BEFORE,
                CD,
                BAROMETER,
            ],
            outputs: &[
                out("gas_mass_g", "gas in the tank", "g"),
                out("flow_g_per_min", "gas through the jet", "g/min"),
                out(
                    "run_time_min_if_pressure_held",
                    "run time if the pressure held",
                    "min",
                ),
            ],
            run: |g| {
                run_time(&RunTime {
                    tank_ml: g.n("tank_ml")?,
                    fill_frac: g.n("fill_frac")?,
                    liquid: g.celsius("T_C")?,
                    jet: the_jet(g)?,
                })
            },
        }],
    },
];
