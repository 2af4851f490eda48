//! The low-pressure air test, as fields.

use calc::air::{AirHold, AirTest, Stored, cap, energy, leak};
use calc::quantity::Absolute;
use calc::{Unusable, answer::Answer};

use super::field::{Form, Input, Reckoner, VERDICT, lasting, may, need, or, out, truth};
use super::given::Given;

const fn barometer(name: &'static str, words: &'static str) -> Input {
    or(name, words, "hPa", (850.0, 1085.0), 1013.25).code("barometer_out_of_range_850_1085")
}

const PASSED: Input = truth(
    "hydraulic_test_passed",
    "it passed a hydraulic test since the last structural work",
);

/// The cap goes before the leak where enough is known to hold the air against it.
fn capped_leak(g: &Given) -> Result<Answer, Unusable> {
    let start = g.gauge("p1_gauge_bar")?;
    let passed = g.truth("hydraulic_test_passed");
    let working = g.maybe("p_working_bar");
    if let Some(working_bar) = working.or(passed.is_some().then_some(40.0)) {
        let judged = cap(&AirTest {
            working_bar,
            volume_ml: g.n("V_ml")?,
            pressure: start,
            hydraulic_passed: passed,
        })?;
        if working.is_some() && judged.verdict == Some(calc::answer::Finding::Stop) {
            return Err(Unusable::Refused {
                code: "STOP_air_over_cap",
                field: "p1_gauge_bar",
                says: "so much air is over the cap: let it off",
                finding: judged.verdict,
            });
        }
    }
    leak(&AirHold {
        volume_ml: g.n("V_ml")?,
        start,
        end: g.gauge("p2_gauge_bar")?,
        start_air: g.maybe_celsius("T1_C"),
        end_air: g.maybe_celsius("T2_C"),
        start_barometer: g.barometer("baro1_hPa")?,
        end_barometer: g.barometer("baro2_hPa")?,
        seconds: g.n("dt_s")?,
        u_difference_pa: g.n("u_dp_Pa")?,
        u_difference_k: g.n("u_dT_K")?,
    })
}

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "air-leak",
        title: "Leak by falling air pressure",
        asks: "How much air leaks, once warmth and weather are taken off?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("V_ml", "whole inside", "ml", 0.0, 1e7),
                need(
                    "p1_gauge_bar",
                    "pressure at the beginning",
                    "bar",
                    -0.5,
                    10.0,
                ),
                may("T1_C", "air at the beginning", "°C", -20.0, 250.0),
                barometer("baro1_hPa", "barometer at the beginning"),
                need("p2_gauge_bar", "pressure at the end", "bar", -0.5, 10.0),
                may("T2_C", "air at the end", "°C", -20.0, 250.0),
                barometer("baro2_hPa", "barometer at the end"),
                lasting("dt_s", "between the readings"),
                or(
                    "u_dp_Pa",
                    "standard uncertainty of the pressure difference",
                    "Pa",
                    (0.0, 1e5),
                    50.0,
                ),
                or(
                    "u_dT_K",
                    "standard uncertainty of the temperature difference",
                    "K",
                    (0.0, 50.0),
                    0.1,
                ),
                PASSED,
                may(
                    "p_working_bar",
                    "working pressure, to hold the air against its cap",
                    "bar",
                    0.01,
                    40.0,
                ),
            ],
            outputs: &[
                out(
                    "leak_std_ml_per_min",
                    "leak at 101.325 kPa and 20 °C",
                    "ml/min",
                ),
                out("U_leak_ml_per_min", "its expanded uncertainty", "ml/min"),
                out(
                    "naive_uncorrected_ml_per_min",
                    "what the gauge alone would say",
                    "ml/min",
                ),
                VERDICT,
            ],
            run: capped_leak,
        }],
    },
    Reckoner {
        name: "air-energy",
        title: "Energy of compressed air",
        asks: "How much energy does this air store, and water in its place?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("V_ml", "whole inside", "ml", 0.1, 1e7),
                need("p_gauge_bar", "pressure", "bar", 0.0, 40.0),
                or(
                    "atm_Pa",
                    "atmosphere",
                    "Pa",
                    (85_000.0, 108_500.0),
                    101_325.0,
                ),
                or("gamma", "ratio of heat capacities", "", (1.01, 1.7), 1.4),
            ],
            outputs: &[
                out("isentropic_J", "isentropic energy", "J"),
                out("brode_J", "Brode's energy", "J"),
                out("isothermal_J", "isothermal energy", "J"),
                out(
                    "isothermal_exergy_J",
                    "isothermal energy free to do work",
                    "J",
                ),
                out("water_full_copper_J", "the same shell full of water", "J"),
            ],
            run: |g| {
                energy(&Stored {
                    volume_ml: g.n("V_ml")?,
                    pressure: g.gauge("p_gauge_bar")?,
                    atmosphere: Absolute::from_pascals(g.n("atm_Pa")?),
                    gamma: g.n("gamma")?,
                })
            },
        }],
    },
    Reckoner {
        name: "air-cap",
        title: "How much air at most",
        asks: "How much air may be put on, and is this too much?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("p_working_bar", "working pressure", "bar", 0.01, 40.0),
                need("V_ml", "whole inside", "ml", 0.0, 1e7),
                need(
                    "p_air_gauge_bar",
                    "air meant to be put on",
                    "bar",
                    0.0,
                    40.0,
                ),
                PASSED,
            ],
            outputs: &[
                out("cap_bar", "most air", "bar"),
                out("brode_J", "Brode's energy", "J"),
                out("cap_by_energy_bar", "most air by its energy", "bar"),
                out("relief_set_bar", "relief valve of the supply", "bar"),
                VERDICT,
            ],
            run: |g| {
                cap(&AirTest {
                    working_bar: g.n("p_working_bar")?,
                    volume_ml: g.n("V_ml")?,
                    pressure: g.gauge("p_air_gauge_bar")?,
                    hydraulic_passed: g.truth("hydraulic_test_passed"),
                })
            },
        }],
    },
];
