//! Quantities that must not be mixed up: gauge and absolute pressure, temperature.
//!
//! Each holds one SI number behind named doors, so that a bare number never becomes a pressure and
//! a gauge pressure never becomes an absolute one without naming the barometer. Factors are built
//! from exact definitions.

const POUND_FORCE_NEWTONS: f64 = 0.453_592_37 * 9.806_65;
const INCH_METRES: f64 = 0.025_4;
const PSI_PASCALS: f64 = POUND_FORCE_NEWTONS / (INCH_METRES * INCH_METRES);
const BAR_PASCALS: f64 = 100_000.0;
const ZERO_CELSIUS_KELVIN: f64 = 273.15;

/// Gauge pressure: above the atmosphere, as a workshop gauge reads it.
///
/// ```
/// use calc::quantity::Gauge;
/// assert!((Gauge::from_psi(60.0).bar() - 4.136_854).abs() < 1e-6);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Gauge {
    pascals: f64,
}

impl Gauge {
    /// From bar on the gauge.
    pub const fn from_bar(bar: f64) -> Self {
        Self {
            pascals: bar * BAR_PASCALS,
        }
    }

    /// From pounds-force per square inch on the gauge.
    pub const fn from_psi(psi: f64) -> Self {
        Self {
            pascals: psi * PSI_PASCALS,
        }
    }

    /// In bar.
    pub const fn bar(self) -> f64 {
        self.pascals / BAR_PASCALS
    }

    /// In pounds-force per square inch.
    pub const fn psi(self) -> f64 {
        self.pascals / PSI_PASCALS
    }

    /// In pascals, above the atmosphere.
    pub const fn pascals(self) -> f64 {
        self.pascals
    }

    /// The absolute pressure, the gauge standing in an atmosphere of `barometer`.
    pub const fn above(self, barometer: Absolute) -> Absolute {
        Absolute {
            pascals: self.pascals + barometer.pascals,
        }
    }
}

/// Absolute pressure: above nothing at all.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Absolute {
    pascals: f64,
}

impl Absolute {
    /// 1013.25 hPa, taken where nobody read the barometer.
    pub const STANDARD_ATMOSPHERE: Self = Self { pascals: 101_325.0 };

    /// From bar absolute.
    pub const fn from_bar(bar: f64) -> Self {
        Self {
            pascals: bar * BAR_PASCALS,
        }
    }

    /// From hectopascals, as a barometer reads.
    pub const fn from_hectopascals(hectopascals: f64) -> Self {
        Self {
            pascals: hectopascals * 100.0,
        }
    }

    /// In bar absolute.
    pub const fn bar(self) -> f64 {
        self.pascals / BAR_PASCALS
    }

    /// In pascals.
    pub const fn pascals(self) -> f64 {
        self.pascals
    }

    /// From pascals.
    pub const fn from_pascals(pascals: f64) -> Self {
        Self { pascals }
    }

    /// In hectopascals.
    pub const fn hectopascals(self) -> f64 {
        self.pascals / 100.0
    }

    /// In megapascals, which is what the steam tables take.
    pub const fn megapascals(self) -> f64 {
        self.pascals / 1e6
    }
}

/// Temperature on the Celsius scale. A difference of temperatures is another thing.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Temperature {
    kelvin: f64,
}

impl Temperature {
    /// From degrees Celsius.
    pub const fn from_celsius(degrees: f64) -> Self {
        Self {
            kelvin: degrees + ZERO_CELSIUS_KELVIN,
        }
    }

    /// In degrees Celsius.
    pub const fn degrees(self) -> f64 {
        self.kelvin - ZERO_CELSIUS_KELVIN
    }

    /// From kelvin.
    pub const fn from_kelvin(kelvin: f64) -> Self {
        Self { kelvin }
    }

    /// In kelvin.
    pub const fn kelvin(self) -> f64 {
        self.kelvin
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gauge_pressure_needs_a_barometer_to_become_absolute() {
        let inside = Gauge::from_bar(4.0).above(Absolute::from_hectopascals(990.0));
        assert!((inside.bar() - 4.99).abs() < 1e-12);
    }

    #[test]
    fn psi_and_bar_come_back_as_they_went() {
        for bar in [0.0, 0.2, 1.0, 3.999, 10.0] {
            let back = Gauge::from_psi(Gauge::from_bar(bar).psi()).bar();
            assert!((back - bar).abs() < 1e-12, "{bar} came back as {back}");
        }
    }
}
