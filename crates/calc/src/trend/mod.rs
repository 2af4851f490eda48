//! How fast a level moves, whether that may be said yet, and how long until the low mark.

mod claim;
mod kendall;
mod runway;
mod slopes;

pub use claim::{Claim, least_readings, may_state};
pub use runway::{Falling, runway};
pub use slopes::{Series, trend};

/// One look at a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Seen {
    /// A level.
    At(f64),
    /// Nothing was read.
    Unread,
    /// Below the bottom of the glass.
    Below,
    /// Above the top of the glass.
    Above,
}
