//! The example workshop: all invented.

use crate::error::Error;
use crate::workshop;
use crate::writer::Write;

/// Furnishes an empty folder with the example workshop.
///
/// # Errors
/// Only the database's.
pub async fn furnish(w: &mut Write) -> Result<(), Error> {
    workshop::set(w, "Curlew Yard Works", "Tamsin Arkwell", true).await
}
