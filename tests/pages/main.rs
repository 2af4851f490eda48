//! Pages, black box over HTTP.

mod appointments;
mod bench;
mod compare;
mod customer;
mod door;
mod folder;
mod gate;
mod hold_matrix;
mod holds;
mod instruments;
mod jobs;
mod look_back;
mod money;
mod parts;
mod phones;
mod pictures;
mod pictures_slow;
mod program;
mod receipt;
mod reckoner;
mod trials_flags;
mod trials_hand;
mod trials_kinds;
mod trials_next;
mod trials_taken;
mod unknown_boiler;
