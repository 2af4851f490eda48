//! What is copied into a trial when it is prepared: the plant, the instruments, the limits.
//!
//! Every number carries its unit in its name, as in the trial file; everything may be unknown.

use crate::level::WaterSpace;

/// A day, as year, month, day; days are compared and nothing else is done with them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    /// Year.
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u32,
    /// Day of the month.
    pub day: u32,
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// How the water can be seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WaterSeenBy {
    /// One gauge glass.
    Glass,
    /// Two gauge glasses.
    TwoGlasses,
    /// Try cocks.
    TryCocks,
    /// A filling plug only.
    Plug,
    /// Nothing.
    Nothing,
}

/// What is burnt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Fuel {
    Butane,
    Propane,
    ButanePropane,
    Spirit,
    Coal,
    Charcoal,
    Electric,
}

impl Fuel {
    /// Is it a gas from a tank?
    pub fn is_gas(self) -> bool {
        matches!(self, Self::Butane | Self::Propane | Self::ButanePropane)
    }
}

/// What drives the feed pump.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Drive {
    Hand,
    Axle,
    Crosshead,
    Steam,
    Electric,
    Injector,
}

impl Drive {
    /// Does it pump whenever the engine turns, unless the bypass is open?
    pub fn goes_with_engine(self) -> bool {
        matches!(self, Self::Axle | Self::Crosshead)
    }
}

/// What the shell is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum ShellMaterial {
    Copper,
    Steel,
    Stainless,
    Brass,
    Bronze,
}

/// The shell of the boiler.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shell {
    /// Inside diameter, mm.
    pub bore_mm: Option<f64>,
    /// Plate thickness, mm.
    pub wall_mm: Option<f64>,
    /// How much softer than a plain cylinder the whole shell is: 1 for a plain one.
    pub compliance_factor: Option<f64>,
}

/// The feed pump.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FeedPump {
    /// Bore of the water end, mm.
    pub bore_mm: Option<f64>,
    /// Stroke, mm.
    pub stroke_mm: Option<f64>,
    /// Rod, mm.
    pub rod_mm: Option<f64>,
    /// Does it pump on both strokes?
    pub double_acting: bool,
    /// Bore of the steam end, mm.
    pub steam_bore_mm: Option<f64>,
}

/// The hydraulic pass that came with the boiler.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct HydraulicPass {
    /// Day of the test.
    pub on: Option<Day>,
    /// Pressure it was tested to, bar.
    pub pressure_bar: Option<f64>,
    /// Last day it holds.
    pub valid_until: Option<Day>,
    /// Was it after the last structural work?
    pub since_structural_work: Option<bool>,
}

/// The safety valve.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SafetyValve {
    /// Pressure it is set to lift at, bar.
    pub set_bar: Option<f64>,
    /// Seat bore, mm.
    pub bore_mm: Option<f64>,
    /// Lift, mm.
    pub lift_mm: Option<f64>,
    /// How many there are.
    pub count: Option<f64>,
}

/// The burner.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Burner {
    /// What it burns.
    pub fuel: Option<Fuel>,
    /// Jet bore, mm.
    pub jet_mm: Option<f64>,
    /// Gas pressure at the jet, bar gauge.
    pub supply_bar: Option<f64>,
    /// Rated heat, kW.
    pub rated_kw: Option<f64>,
    /// Share of that heat which reaches the water, %.
    pub efficiency_pct: Option<f64>,
}

/// One cylinder of the engine.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Cylinder {
    /// Bore, mm.
    pub bore_mm: Option<f64>,
    /// Stroke, mm.
    pub stroke_mm: Option<f64>,
    /// Rod, mm.
    pub rod_mm: Option<f64>,
    /// Does steam work on both sides of its piston? Where nobody said, it is taken so.
    pub single_acting: bool,
}

/// The gauge glass; heights above its own zero, but for `bottom_mm`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Glass {
    /// Its zero above the lowest inside point of the shell, mm.
    pub bottom_mm: Option<f64>,
    /// Length that can be seen, mm.
    pub visible_mm: Option<f64>,
    /// Low mark, mm.
    pub low_mark_mm: Option<f64>,
    /// High mark, mm.
    pub high_mark_mm: Option<f64>,
}

/// The plant under trial, as far as it is known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plant {
    /// Its name.
    pub name: Option<String>,
    /// Working pressure, bar.
    pub working_pressure_bar: Option<f64>,
    /// The whole inside, ml.
    pub volume_ml: Option<f64>,
    /// What the shell is made of.
    pub shell_material: Option<ShellMaterial>,
    /// The shell.
    pub shell: Shell,
    /// Weight of metal that is heated, kg.
    pub metal_kg: Option<f64>,
    /// The hydraulic pass.
    pub hydraulic_pass: Option<HydraulicPass>,
    /// How the water is seen, where it is said.
    pub water_seen_by: Option<WaterSeenBy>,
    /// Water it is charged with, ml.
    pub charge_ml: Option<f64>,
    /// Fuel it is charged with, ml.
    pub fuel_charge_ml: Option<f64>,
    /// Safety valve.
    pub safety_valve: Option<SafetyValve>,
    /// Burner.
    pub burner: Option<Burner>,
    /// Evaporation of an earlier trial and its uncertainty (k = 2), kg/h.
    pub past_evaporation_kg_h: Option<(f64, Option<f64>)>,
    /// What drives the feed pump.
    pub feed_drive: Option<Drive>,
    /// The feed pump.
    pub feed_pump: Option<FeedPump>,
    /// Size of the gas tank, ml.
    pub gas_tank_ml: Option<f64>,
    /// Size of the lubricator, ml.
    pub lubricator_ml: Option<f64>,
    /// Share of the stroke over which steam is let in, %.
    pub cutoff_pct: Option<f64>,
    /// Clearance at the end of the stroke, % of what the piston sweeps.
    pub clearance_pct: Option<f64>,
    /// Size of the feed tank, ml.
    pub feed_tank_ml: Option<f64>,
    /// The engine's cylinders.
    pub cylinders: Vec<Cylinder>,
    /// Gauge glass.
    pub glass: Option<Glass>,
    /// Shape of the water space.
    pub water_space: Option<WaterSpace>,
}

impl Plant {
    /// Water that a level in the glass stands for, ml; none where the shape or the glass's place on it is
    /// not known, or past the ends of a poured table.
    ///
    /// ```
    /// use calc::level::WaterSpace;
    /// use calc::trial::Plant;
    /// let points = vec![(0.0, 600.0), (10.0, 700.0)];
    /// let plant = Plant { water_space: Some(WaterSpace::Calibrated { points }), ..Plant::default() };
    /// assert_eq!(plant.water_ml(5.0), Some(650.0));
    /// assert_eq!(plant.water_ml(11.0), None);
    /// ```
    pub fn water_ml(&self, level_mm: f64) -> Option<f64> {
        let space = self.water_space.as_ref().filter(|s| s.check().is_ok())?;
        let at = match space {
            WaterSpace::Calibrated { points } => {
                let (first, last) = (points.first()?.0, points.last()?.0);
                Some(level_mm).filter(|mm| (first..=last).contains(mm))?
            }
            _ => level_mm + self.glass?.bottom_mm?,
        };
        Some(space.volume_ml(at))
    }
}

/// One instrument; what is unknown widens the uncertainty.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Instrument {
    /// Its mark.
    pub id: Option<String>,
    /// Full scale of a pressure gauge, bar.
    pub full_scale_bar: Option<f64>,
    /// Accuracy class of a pressure gauge after EN 837-1: limit of error, % of span.
    pub accuracy_class: Option<f64>,
    /// Smallest step that can be read, in the instrument's unit.
    pub resolution: Option<f64>,
    /// Limit of error of a thermometer, K.
    pub accuracy_c: Option<f64>,
    /// How closely a thermometer repeats itself, K, as a standard uncertainty.
    pub repeatability_c: Option<f64>,
    /// When it was calibrated.
    pub calibrated_on: Option<Day>,
    /// When it is due again.
    pub calibration_due: Option<Day>,
}

impl Instrument {
    /// Standard uncertainty of an absolute claim read from a pressure gauge, bar; none without
    /// class and span.
    ///
    /// # Formula
    /// `u = √((class % · span / √3)² + (resolution / √12)²)`
    ///
    /// # Source
    /// EN 837-1:1996 (class is a limit of error, % of span); JCGM 100.
    ///
    /// # Example
    /// ```
    /// use calc::trial::Instrument;
    /// let gauge = Instrument {
    ///     full_scale_bar: Some(16.0), accuracy_class: Some(1.6), ..Instrument::default()
    /// };
    /// assert!((gauge.pressure_u_bar().unwrap_or(0.0) - 0.1478).abs() < 1e-4);
    /// ```
    pub fn pressure_u_bar(&self) -> Option<f64> {
        let limit = self.accuracy_class? / 100.0 * self.full_scale_bar?;
        let step = self.resolution.unwrap_or(0.0);
        Some((limit * limit / 3.0 + step * step / 12.0).sqrt())
    }
}

/// The instruments that the trial is read with.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Instruments {
    /// Pressure gauge.
    pub pressure: Option<Instrument>,
    /// Second pressure gauge.
    pub pressure_second: Option<Instrument>,
    /// Gauge glass.
    pub level: Option<Instrument>,
    /// Thermometer.
    pub temperature: Option<Instrument>,
    /// Carbon monoxide meter.
    pub co: Option<Instrument>,
    /// Stopwatch.
    pub stopwatch: Option<Instrument>,
    /// Scale.
    pub scale: Option<Instrument>,
}

/// The limits of a trial. The defaults are trade practice or the sources named in the trial file's
/// rules; each can be changed to suit a local code.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Limits {
    /// Is this the boiler's first hydraulic test, and not a repeat?
    pub first_test: bool,
    pub hydraulic_factor_first: f64,
    pub hydraulic_factor_repeat: f64,
    pub hydraulic_hold_s: f64,
    pub over_target_pct: f64,
    pub allowed_drop_pct: f64,
    pub trapped_air_caution_pct: f64,
    pub trapped_air_stop_pct: f64,
    pub air_max_bar: f64,
    pub air_energy_max_j: f64,
    pub pressure_caution_pct: f64,
    pub pressure_stop_pct: f64,
    pub reading_every_s: f64,
    pub runway_caution_s: f64,
    pub runway_stop_s: f64,
    pub co_peak_caution_ppm: f64,
    pub co_15min_caution_ppm: f64,
    pub co_15min_stop_ppm: f64,
    pub co_8h_stop_ppm: f64,
    pub co_peak_stop_ppm: f64,
    pub co_co2_caution: f64,
    pub co_co2_stop: f64,
    pub piston_speed_m_s: f64,
    pub piston_speed_proof_m_s: f64,
    pub gauge_disagree_sigma: f64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            first_test: true,
            hydraulic_factor_first: 2.0,
            hydraulic_factor_repeat: 1.5,
            hydraulic_hold_s: 600.0,
            over_target_pct: 6.0,
            allowed_drop_pct: 2.0,
            trapped_air_caution_pct: 2.0,
            trapped_air_stop_pct: 5.0,
            air_max_bar: 0.5,
            air_energy_max_j: 250.0,
            pressure_caution_pct: 103.0,
            pressure_stop_pct: 110.0,
            reading_every_s: 300.0,
            runway_caution_s: 360.0,
            runway_stop_s: 150.0,
            co_peak_caution_ppm: 30.0,
            co_15min_caution_ppm: 20.0,
            co_15min_stop_ppm: 100.0,
            co_8h_stop_ppm: 20.0,
            co_peak_stop_ppm: 200.0,
            co_co2_caution: 0.004,
            co_co2_stop: 0.008,
            piston_speed_m_s: 1.0,
            piston_speed_proof_m_s: 2.0,
            gauge_disagree_sigma: 2.0,
        }
    }
}
