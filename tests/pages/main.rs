//! Pages, black box over HTTP.

mod customer;
mod door;
mod folder;
mod gate;
mod jobs;
mod program;
mod trials_flags;
mod trials_hand;
mod trials_taken;
