//! The trial log: append-only from the first entry, hash-chained, one chain a trial.

mod append;
pub mod phones;
mod seal;
mod trial;
pub mod verify;

pub use append::{FromPhone, Made, Place, Sent, Stored, append, append_in, is_behind, is_kept};
pub use seal::{Sealed, seal};
pub use trial::{
    Entry, NewTrial, Trial, before, entries, find, of_job, of_open_jobs, prepare, running, withdraw,
};

#[cfg(any(test, feature = "ten-years"))]
pub(crate) fn statements() -> Vec<(&'static str, &'static str)> {
    [
        append::STATEMENTS,
        phones::STATEMENTS,
        seal::STATEMENTS,
        trial::STATEMENTS,
        verify::STATEMENTS,
    ]
    .concat()
}
