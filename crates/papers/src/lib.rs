//! What is drawn in gaugeglass: charts and pictures, first as a display list, then written out.
//!
//! A drawing is a list of [`Prim`]s, each with a [`Role`] that says what it stands for. The list knows nothing of
//! SVG; [`Svg`] is written from it, and paper can be written from the same list, so that both show the same lines.
//! The crate reads trials through `calc` and does no judging of its own.
//!
//! ```
//! use papers::{TrialPlot, chart};
//!
//! let plot = TrialPlot { title: "Steam trial 3".into(), pressure: vec![(0.0, 0.0), (600.0, 2.0)], now_s: 600.0, ..TrialPlot::default() };
//! let svg = chart::trial(&plot);
//! assert!(svg.as_str().contains("Highest pressure 2.00 bar"));
//! ```

pub mod chart;
pub mod curve;
pub mod glass;
mod lanes;
pub mod overlay;
mod plot;
mod prim;
pub mod qr;
pub mod ruler;
mod scale;
pub mod section;
pub mod strip;
mod svg;

pub use plot::{FlagAt, Lane, RunwayAhead, Severity, TrialPlot};
pub use prim::{Anchor, Drawing, Point, Prim, Role, Sign, Under, Words};
pub use svg::Svg;
