//! The safety valve: can it carry the whole fire, does it lift where it should, does it shut.

mod capacity;
mod judge;
mod rise;

pub use capacity::{Area, Capacity, Lift, capacity, lift_area, required_area};
pub use judge::{Accumulation, LiftAndReseat, Reseat, accumulation, set_and_reseat};
pub use rise::{ClosedIn, closed_rise};
