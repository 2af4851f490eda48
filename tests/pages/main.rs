//! Pages, black box over HTTP.

mod trials_flags;
mod trials_hand;
mod trials_taken;
