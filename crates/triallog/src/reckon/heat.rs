//! What a tank gives up and what the fire's heat does, as fields.

use calc::Unusable;
use calc::burner::{
    Cooling, Fuel, FuelAndCharge, Raising, Steaming, fuel_against_charge, raising, steaming,
    tank_cooling,
};

use super::field::{
    BAROMETER, Form, Input, Kind, LeftOut, Reckoner, VERDICT, cold, may, need, or, other, out,
    pressure,
};
use super::given::Given;

const FUELS: &[&str] = &[
    "n_butane",
    "isobutane",
    "propane",
    "butane70_propane30_mass",
    "spirit",
    "coal",
    "charcoal",
];

const NET: Input = or(
    "LHV_J_kg",
    "net calorific value",
    "J/kg",
    (1e6, 2e8),
    45.72e6,
);
const METAL_C: Input = or(
    "c_metal_J_kgK",
    "heat capacity of the metal",
    "J/(kg K)",
    (50.0, 2000.0),
    385.0,
);
const BURNT: Input = need("gas_kg", "fuel burnt", "kg", 1e-5, 10_000.0);

fn charge(g: &Given) -> Result<FuelAndCharge, Unusable> {
    let named = g.word("fuel").and_then(Fuel::named);
    let fuel = named.ok_or(Unusable::Missing { field: "fuel" })?;
    let poured = g
        .maybe("fuel_ml")
        .zip(fuel.kg_m3)
        .map(|(ml, rho)| ml * rho / 1000.0);
    let grams = g.maybe("fuel_g").or(poured);
    Ok(FuelAndCharge {
        fuel: Fuel {
            net_j_kg: g.maybe("LHV_J_kg").unwrap_or(fuel.net_j_kg),
            ..fuel
        },
        fuel_g: grams.ok_or(Unusable::Missing { field: "fuel_g" })?,
        water_ml: g.n("water_ml")?,
        at_low_mark_ml: g.n("low_mark_ml")?,
        start: g.celsius("T_start_C")?,
        pressure: g.gauge("p_gauge_bar")?,
        barometer: g.barometer("barometer_hPa")?,
        least_efficiency: g.n("efficiency_least")?,
        most_efficiency: g.n("efficiency_most")?,
    })
}

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "tank-cooling",
        title: "How a tank cools itself",
        asks: "How fast does the tank cool while gas is drawn, and where would it end?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("gas_kg_s", "gas drawn", "kg/s", 0.0, 0.1),
                need("liquid_kg", "liquid in the tank", "kg", 0.0001, 100.0),
                or(
                    "c_liquid_J_kgK",
                    "heat capacity of the liquid",
                    "J/(kg K)",
                    (50.0, 5000.0),
                    2410.0,
                ),
                or("tank_kg", "the tank itself", "kg", (0.0, 1000.0), 0.1),
                or(
                    "c_tank_J_kgK",
                    "heat capacity of the tank's metal",
                    "J/(kg K)",
                    (50.0, 5000.0),
                    385.0,
                ),
                or(
                    "UA_W_K",
                    "heat that comes back from around",
                    "W/K",
                    (0.0001, 1000.0),
                    0.08,
                ),
                or(
                    "h_fg_J_kg",
                    "heat of vaporisation",
                    "J/kg",
                    (1e4, 5e6),
                    366_500.0,
                ),
                cold("T_amb_C", "around the tank"),
            ],
            outputs: &[
                out("latent_W", "heat that the gas takes", "W"),
                out("initial_K_per_min", "cooling at first", "K/min"),
                out(
                    "steady_drop_K",
                    "where it would end, below the surroundings",
                    "K",
                ),
                out("time_constant_min", "time constant", "min"),
                out("minutes_to_0_C", "time to 0 °C", "min"),
            ],
            run: |g| {
                tank_cooling(&Cooling {
                    gas_kg_s: g.n("gas_kg_s")?,
                    liquid_kg: g.n("liquid_kg")?,
                    liquid_j_kgk: g.n("c_liquid_J_kgK")?,
                    tank_kg: g.n("tank_kg")?,
                    tank_j_kgk: g.n("c_tank_J_kgK")?,
                    gain_w_k: g.n("UA_W_K")?,
                    vaporising_j_kg: g.n("h_fg_J_kg")?,
                    ambient: g.celsius("T_amb_C")?,
                })
            },
        }],
    },
    Reckoner {
        name: "raising-efficiency",
        title: "Efficiency of raising steam",
        asks: "How much of the fuel's heat went into water and metal?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("water_kg", "water in the boiler", "kg", 0.001, 10_000.0),
                cold("T_start_C", "water at the beginning"),
                pressure("p_end_gauge_bar", "pressure at the end"),
                may("metal_kg", "metal that heats with it", "kg", 0.0, 10_000.0),
                METAL_C,
                BURNT,
                NET,
                BAROMETER,
            ],
            outputs: &[
                out("water_heat_J", "heat into the water", "J"),
                out("metal_heat_J", "heat into the metal", "J"),
                out("eff_water_only", "efficiency by the water", ""),
                out("eff_water_and_metal", "efficiency with the metal", ""),
            ],
            run: |g| {
                raising(&Raising {
                    water_kg: g.n("water_kg")?,
                    start: g.celsius("T_start_C")?,
                    pressure: g.gauge("p_end_gauge_bar")?,
                    barometer: g.barometer("barometer_hPa")?,
                    metal_kg: g.maybe("metal_kg"),
                    metal_j_kgk: g.n("c_metal_J_kgK")?,
                    fuel_kg: g.n("gas_kg")?,
                    net_j_kg: g.n("LHV_J_kg")?,
                })
            },
        }],
    },
    Reckoner {
        name: "steaming-efficiency",
        title: "Efficiency of steaming",
        asks: "How much of the fuel's heat went into steam at a steady level?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("steam_kg", "steam made", "kg", 1e-4, 10_000.0),
                or("dryness", "steam in the wet steam", "", (0.5, 1.0), 0.97),
                pressure("p_gauge_bar", "pressure"),
                cold("T_feed_C", "feed"),
                BURNT,
                NET,
                BAROMETER,
            ],
            outputs: &[
                out("heat_to_steam_J", "heat into the steam", "J"),
                out("efficiency_net_cv", "efficiency", ""),
                out(
                    "equiv_evap_from_at_100C_kg",
                    "evaporation from and at 100 °C",
                    "kg",
                ),
            ],
            run: |g| {
                steaming(&Steaming {
                    steam_kg: g.n("steam_kg")?,
                    dryness: g.n("dryness")?,
                    pressure: g.gauge("p_gauge_bar")?,
                    barometer: g.barometer("barometer_hPa")?,
                    feed: g.celsius("T_feed_C")?,
                    fuel_kg: g.n("gas_kg")?,
                    net_j_kg: g.n("LHV_J_kg")?,
                })
            },
        }],
    },
    Reckoner {
        name: "fuel-against-charge",
        title: "Fuel against charge",
        asks: "Can this fuel boil this water down to the low mark?",
        forms: &[Form {
            is: "",
            inputs: &[
                other("fuel", "fuel", "", Kind::OneOf(FUELS), LeftOut::Needed),
                may("fuel_g", "fuel, by weight", "g", 0.01, 1e6),
                may(
                    "fuel_ml",
                    "fuel, by volume; where it is not weighed",
                    "ml",
                    0.01,
                    1e6,
                ),
                need("water_ml", "charge of water, cold", "ml", 0.1, 1e7),
                or(
                    "low_mark_ml",
                    "water at the low mark, hot",
                    "ml",
                    (0.0, 1e7),
                    0.0,
                ),
                cold("T_start_C", "charge"),
                or(
                    "p_gauge_bar",
                    "pressure it steams at",
                    "bar",
                    (0.0, 18.0),
                    0.0,
                ),
                BAROMETER,
                or(
                    "efficiency_least",
                    "least part of the heat into the water",
                    "",
                    (0.01, 0.95),
                    0.25,
                ),
                or(
                    "efficiency_most",
                    "most part of the heat into the water",
                    "",
                    (0.01, 0.95),
                    0.65,
                ),
                may(
                    "LHV_J_kg",
                    "net calorific value, instead of the fuel's",
                    "J/kg",
                    1e6,
                    2e8,
                ),
            ],
            outputs: &[
                out("can_reach_low_mark", "can it: yes, no or not_proven", ""),
                out("fuel_heat_kJ", "heat of the fuel", "kJ"),
                out("heat_to_low_mark_kJ", "heat down to the low mark", "kJ"),
                out("steam_least_kg", "steam at least", "kg"),
                out("steam_most_kg", "steam at most", "kg"),
                out("water_above_low_mark_kg", "water above the low mark", "kg"),
                out(
                    "fuel_that_is_safe_g",
                    "fuel that cannot outlast the water",
                    "g",
                ),
                VERDICT,
            ],
            run: |g| fuel_against_charge(&charge(g)?),
        }],
    },
];
