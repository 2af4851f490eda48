//! What the workshop keeps, in one SQLite file that one writer writes.
//!
//! - An acknowledged row is on the disk: the answer goes out after a commit with `synchronous=FULL`.
//! - The trial log is append-only and hash-chained; a correction is an entry.
//! - The same key twice is one row; with other content it is refused.
//! - Nothing is deleted by one click: it is withdrawn, and can be put back.
//!
//! This is the only crate that names the database. Every statement is a constant, and one test
//! prepares each of them against the migrated schema.

pub mod appointments;
pub mod at_bench;
pub mod backup;
pub mod barred;
pub mod change;
pub mod components;
mod connect;
pub mod customers;
pub mod defects;
pub mod doctor;
mod error;
pub mod estimates;
pub mod examinations;
pub mod example;
pub mod fitted;
mod form_key;
mod hash;
mod ids;
pub mod instruments;
pub mod jobs;
pub mod log;
pub mod look_back;
pub mod looks;
pub mod owed;
pub mod papers;
pub mod parts;
pub mod payments;
pub mod pictures;
#[cfg(any(test, feature = "ten-years"))]
pub mod plans;
pub mod plants;
pub mod procedures;
pub mod publish;
pub mod reckonings;
pub mod retests;
pub mod sessions;
pub mod shares;
pub mod sittings;
pub mod states;
pub mod stock;
mod store;
#[cfg(any(test, feature = "ten-years"))]
pub mod ten_years;
pub mod time;
pub mod unknown_boilers;
pub mod variations;
pub mod workshop;
mod writer;

pub use error::Error;
pub use form_key::was_kept;
pub use hash::{fresh_key, sha256};
pub use ids::{
    AppointmentId, BenchSpellId, ComparisonId, ComponentId, CustomerId, DefectId, EstimateId,
    ExaminationId, FittedId, InstrumentId, JobId, LookId, LookLineId, NewsId, PaperId, PartId,
    PaymentId, PictureId, PieceId, PlantId, ReckoningId, SessionId, ShareId, SittingId, StateId,
    StockId, StockMoveId, TrialId, UnknownBoilerId, VariationId,
};
pub use store::{Store, file_of};
pub use time::{Day, Stamp};
pub use writer::{QUEUE, Saving, Work, Write};

#[cfg(test)]
mod tests;
