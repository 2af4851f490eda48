//! What is arithmetic in gaugeglass: steam, water spaces and the judging of trials.
//!
//! This crate is pure. It has no clock, reads no file and knows no database, and it never panics
//! on what it is given: figures that cannot be reckoned with come back as an [`Unusable`] that
//! names the field and its bounds. An unsafe boiler is not an error, it is a result.
//!
//! Missing knowledge widens an answer and never narrows it; without what a verdict needs the
//! answer is *not proven*, never *pass*. Nothing here certifies anything.
//!
//! ```
//! use calc::quantity::{Absolute, Gauge};
//!
//! // 4 bar on the gauge on a standard day is a little under 152 °C inside.
//! let inside = Gauge::from_bar(4.0).above(Absolute::STANDARD_ATMOSPHERE);
//! let steam = calc::steam::saturated(inside)?;
//! assert!((steam.temperature.degrees() - 151.94).abs() < 0.01);
//! # Ok::<(), calc::Unusable>(())
//! ```

pub mod air;
pub mod answer;
pub mod balance;
pub mod burner;
pub mod cautions;
pub mod compare;
pub mod engine;
pub mod feed_pump;
pub mod hydraulic;
pub mod level;
pub mod lubricator;
pub mod money;
pub mod monoxide;
pub mod normal;
pub mod packing;
pub mod properties;
pub mod quantity;
pub mod shell;
pub mod shell_water;
pub mod show;
pub mod side_by_side;
pub mod steam;
pub mod steam_pump;
pub mod thread;
pub mod trend;
pub mod trial;
pub mod uncertainty;
mod unusable;
pub mod valve;
pub mod water;

pub use unusable::Unusable;
