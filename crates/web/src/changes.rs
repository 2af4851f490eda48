//! What was changed of a record, by whom and when: shown with it, so that a slip of the hand can be seen and put right.

use records::change::{self, Change, Subject};

use crate::desk::Desk;
use crate::problem::Problem;

/// The changes of one record, the newest first.
pub(crate) async fn of(desk: &Desk, subject: Subject, id: i64) -> Result<Vec<Change>, Problem> {
    Ok(change::of(desk.store(), subject, id).await?)
}
