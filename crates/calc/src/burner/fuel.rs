//! Fuels as data, and the air that they need.

use crate::Unusable;
use crate::answer::Answer;
use crate::unusable::within;

/// A gas fuel.
///
/// # Source
/// Net calorific value, saturated liquid and its heat of vaporisation, and the ratio of heat capacities
/// of the ideal gas near 20 °C: handbook values, not re-read against one edition; what a can holds
/// differs more from them (tins sold as butane are usually mixtures). How the liquid thins with warmth
/// is a straight line near 20 °C of which no source was kept: trade practice, good to about a tenth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gas {
    /// Molar mass, kg/mol.
    pub molar_kg: f64,
    /// Ratio of heat capacities near 20 °C.
    pub gamma: f64,
    /// Net calorific value, J/kg.
    pub net_j_kg: f64,
    /// Density of the liquid at 20 °C, kg/m³.
    pub liquid_kg_m3: f64,
    /// How much less dense the liquid is for each kelvin, kg/(m³ K).
    pub thinner_per_k: f64,
    /// Heat of vaporisation near 20 °C, J/kg.
    pub vaporising_j_kg: f64,
    /// Parts by mass: n-butane, isobutane, propane.
    pub parts: [f64; 3],
}

/// Molar masses of n-butane, isobutane and propane, kg/mol (IUPAC standard atomic weights).
pub(crate) const MOLAR: [f64; 3] = [0.058_122_2, 0.058_122_2, 0.044_095_6];

/// Critical temperature, K, critical pressure, bar, and Wagner's four constants: n-butane, isobutane,
/// propane (Reid, Prausnitz, Poling, The Properties of Gases and Liquids, 4th edition 1987, appendix A).
const WAGNER: [[f64; 6]; 3] = [
    [425.2, 38.0, -6.887_09, 1.151_57, -1.998_73, -3.130_03],
    [407.81, 36.29, -6.955_79, 1.500_90, -2.527_17, -1.497_76],
    [369.8, 42.5, -6.722_19, 1.332_36, -2.138_68, -1.385_51],
];

impl Gas {
    /// n-butane.
    pub const N_BUTANE: Self = Self {
        molar_kg: MOLAR[0],
        gamma: 1.095,
        net_j_kg: 45.72e6,
        liquid_kg_m3: 578.6,
        thinner_per_k: 1.12,
        vaporising_j_kg: 366_500.0,
        parts: [1.0, 0.0, 0.0],
    };
    /// Isobutane.
    pub const ISOBUTANE: Self = Self {
        molar_kg: MOLAR[1],
        gamma: 1.097,
        net_j_kg: 45.6e6,
        liquid_kg_m3: 556.9,
        thinner_per_k: 1.17,
        vaporising_j_kg: 334_300.0,
        parts: [0.0, 1.0, 0.0],
    };
    /// Propane.
    pub const PROPANE: Self = Self {
        molar_kg: MOLAR[2],
        gamma: 1.131,
        net_j_kg: 46.33e6,
        liquid_kg_m3: 500.1,
        thinner_per_k: 1.42,
        vaporising_j_kg: 344_300.0,
        parts: [0.0, 0.0, 1.0],
    };
    /// Seven parts of n-butane and three of propane by mass.
    pub const MIX_70_30: Self = Self {
        molar_kg: 1.0 / (0.7 / MOLAR[0] + 0.3 / MOLAR[2]),
        gamma: 1.106,
        net_j_kg: 45.903e6,
        liquid_kg_m3: 552.0,
        thinner_per_k: 1.2,
        vaporising_j_kg: 360_000.0,
        parts: [0.7, 0.0, 0.3],
    };

    /// The gas of that name: `n_butane`, `isobutane`, `propane`, `butane70_propane30_mass`, or as in a
    /// trial file `butane` and `butane-propane-70-30`.
    pub fn named(name: &str) -> Option<Self> {
        Some(match name {
            "n_butane" | "butane" => Self::N_BUTANE,
            "isobutane" => Self::ISOBUTANE,
            "propane" => Self::PROPANE,
            "butane70_propane30_mass" | "butane-propane-70-30" => Self::MIX_70_30,
            _ => return None,
        })
    }

    /// Vapour pressure of the liquid, bar absolute; a mixture after Raoult.
    ///
    /// # Formula
    /// Wagner: `ln(p/p_c) = (a τ + b τ^1.5 + c τ³ + d τ⁶) T_c/T`, `τ = 1 − T/T_c`; mixture
    /// `p = Σ x_i p_i` with mole fractions `x_i`.
    ///
    /// # Source
    /// Reid, Prausnitz, Poling, The Properties of Gases and Liquids, 4th edition 1987, appendix A;
    /// within 0.6 % of reference equations from −20 to 50 °C. Raoult's law reads about 3.5 % high for a
    /// real mixture.
    ///
    /// # Example
    /// ```
    /// assert!((calc::burner::Gas::N_BUTANE.vapour_bar(20.0) - 2.08).abs() < 0.03);
    /// ```
    pub fn vapour_bar(&self, celsius: f64) -> f64 {
        let moles: Vec<f64> = self.parts.iter().zip(MOLAR).map(|(p, m)| p / m).collect();
        let all: f64 = moles.iter().sum();
        let pure = vapour_bar_of_each(celsius);
        moles.iter().zip(pure).map(|(n, p)| n / all * p).sum()
    }

    /// Density of the liquid, kg/m³, as a straight line about 20 °C.
    pub fn liquid_kg_m3(&self, celsius: f64) -> f64 {
        self.liquid_kg_m3 - self.thinner_per_k * (celsius - 20.0)
    }
}

/// Vapour pressures of n-butane, isobutane and propane, bar absolute.
pub(crate) fn vapour_bar_of_each(celsius: f64) -> [f64; 3] {
    let kelvin = celsius + 273.15;
    WAGNER.map(|[t_c, p_c, a, b, c, d]| {
        let tau = (1.0 - kelvin / t_c).max(0.0);
        let sum = a * tau + b * tau.powf(1.5) + c * tau.powi(3) + d * tau.powi(6);
        p_c * (sum * t_c / kelvin).exp()
    })
}

/// Any fuel, as heat by the gram.
///
/// # Source
/// Ethanol 26.8 MJ/kg and 789 kg/m³, coal and charcoal 27 to 33 MJ/kg, taken as 30: handbook values.
/// Coal differs by seam, so its figure is trade practice, to be changed where the coal is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fuel {
    /// Net calorific value, J/kg.
    pub net_j_kg: f64,
    /// Density as it is poured or filled at 20 °C, kg/m³, where that has a meaning.
    pub kg_m3: Option<f64>,
}

impl Fuel {
    /// The fuel of that name: a gas, `spirit`, `coal` or `charcoal`.
    pub fn named(name: &str) -> Option<Self> {
        if let Some(gas) = Gas::named(name) {
            return Some(Self {
                net_j_kg: gas.net_j_kg,
                kg_m3: Some(gas.liquid_kg_m3),
            });
        }
        Some(match name {
            "spirit" => Self {
                net_j_kg: 26.8e6,
                kg_m3: Some(789.0),
            },
            "coal" | "charcoal" => Self {
                net_j_kg: 30.0e6,
                kg_m3: None,
            },
            _ => return None,
        })
    }
}

/// The air that a hydrocarbon needs, and the most CO₂ its dry gases can show.
///
/// # Formula
/// `n_air = (c + h/4)/x_O2`, `m_air/m_fuel = n_air M_air/M_fuel`,
/// `CO2_max = c/(c + n_air (1 − x_O2))`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `carbon` | c | atoms | 0.5 to 30 |
/// | `hydrogen` | h | atoms | 0 to 70 |
/// | `oxygen_in_air` | x_O2 | mole fraction | 0.1 to 1 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// Combustion arithmetic; atomic masses 12.0107 and 1.00794, air 28.9646 g/mol.
///
/// # Example
/// ```
/// let answer = calc::burner::combustion_air(3.0, 8.0, 0.2095)?;
/// assert!(answer.number("air_kg_per_kg").is_some_and(|a| (a - 15.68).abs() < 0.01));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn combustion_air(carbon: f64, hydrogen: f64, oxygen_in_air: f64) -> Result<Answer, Unusable> {
    let c = within("C", carbon, 0.5, 30.0)?;
    let h = within("H", hydrogen, 0.0, 70.0)?;
    let x = within("O2_frac_air", oxygen_in_air, 0.1, 1.0)?;
    let moles = (c + h / 4.0) / x;
    let molar = 12.0107 * c + 1.007_94 * h;
    let by_mass = moles * 28.9646 / molar;
    let co2 = c / (c + moles * (1.0 - x)) * 100.0;
    let mut answer = Answer::of("Combustion arithmetic");
    let symbols = [("c", c), ("h", h), ("x_O2", x), ("n", moles)];
    answer.step("n = (c + h / 4) / x_O2", &symbols, moles, "mol/mol");
    answer.step(
        "a = n × 28.9646 / (12.0107 × c + 1.00794 × h)",
        &symbols,
        by_mass,
        "kg/kg",
    );
    answer.step("CO2 = c / (c + n × (1 − x_O2)) × 100", &symbols, co2, "%");
    answer.put("air_mol_per_mol", moles, "mol/mol");
    answer.put("air_kg_per_kg", by_mass, "kg/kg");
    answer.put("CO2_max_dry_pct", co2, "%");
    answer.cautions = &["ventilation", "co_alarm", "defer_to_codes"];
    Ok(answer)
}
