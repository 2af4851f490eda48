//! The burner: what its jet passes, how long the tank lasts and how it cools, what the heat does.

mod charge;
mod efficiency;
mod fuel;
mod jet;
mod tank;

pub use charge::{FuelAndCharge, fuel_against_charge};
pub use efficiency::{Raising, Steaming, raising, steaming};
pub use fuel::{Fuel, Gas, combustion_air};
pub use jet::{FlowDoubt, Jet, flow_doubt, jet, jet_change};
pub use tank::{Cooling, RunTime, run_time, tank_cooling, tank_pressure};
