//! The trial as it is written: one trial as JSON, every fault named, one canonical form.
//!
//! What is typed here is stored and hashed, so the numbers keep the digits that they were typed
//! with; what they mean is [`calc`]'s.
//!
//! ```
//! let text = r#"{"format": "gaugeglass-trial/1", "kind": "steam", "entries": [
//!     {"t_s": 0, "event": "fire-lit"},
//!     {"t_s": 60, "reading": {"level_seen": "below"}}]}"#;
//! let file = triallog::TrialFile::read(text)?;
//! let judged = calc::trial::assess(file.trial(), None);
//! assert!(judged.flags.iter().any(|f| f.rule.name() == "water-out-of-sight"));
//! # Ok::<(), triallog::Faults>(())
//! ```

mod assessment;
mod build;
mod build_entry;
mod check;
mod cross;
mod fault;
mod json;
pub mod reckon;
pub mod schema;
mod table;
mod tree;
mod trial;

pub use assessment::{assessment_json, assessment_report};
pub use cross::{COARSE_GLASS_MM, MOST_IN_STEAM_BAR};
pub use fault::{Fault, Faults};
pub use table::read_table;
pub use trial::{Head, LogEntry, TrialFile, assemble, read_entry, read_head};
