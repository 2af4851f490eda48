//! What may stand in a trial file, as data: names, order, kinds of value, bounds.
//!
//! The order of the keys here is the order in which they are written; a misspelt key is a fault
//! because it is not here.

mod entry;
mod head;
mod plant;

pub use entry::{ENTRY, EVENTS, HOLD_POINTS, KEEPS, READING};
pub use head::{FILE, INSTRUMENTS, KINDS, LIMITS};
pub use plant::{BOILER_VOLUME_ML, FUELS, PLANT, PRESSURE_BAR};

/// What a value may be.
#[derive(Debug)]
pub enum Shape {
    /// A finite number between two bounds, both allowed.
    Number(f64, f64),
    /// Text of at most this many characters.
    Text(usize),
    /// `true` or `false`.
    Bool,
    /// One of these words.
    OneOf(&'static [&'static str]),
    /// A hold point: one of the names in [`HOLD_POINTS`], or one of the owner's beginning `own-`.
    HoldPoint,
    /// `close`, `witness` or a hold point.
    Signature,
    /// A day: `2026-11-24`.
    Day,
    /// A moment with its offset after RFC 3339.
    Moment,
    /// A thing with these keys.
    Object(&'static [Key]),
    /// A list of things of one shape.
    List(&'static Shape),
    /// Text or a number.
    TextOrNumber,
    /// A calibration table: rows of a level and what was poured for it.
    Rows(&'static [Key]),
}

/// One key of an object.
#[derive(Debug)]
pub struct Key {
    /// Its name, with the unit in it.
    pub name: &'static str,
    /// What its value may be.
    pub shape: Shape,
    /// Must it be there?
    pub required: bool,
    /// May it be `null`, which withdraws what an earlier entry said?
    pub nullable: bool,
}

pub(crate) const fn key(name: &'static str, shape: Shape) -> Key {
    Key {
        name,
        shape,
        required: false,
        nullable: false,
    }
}

pub(crate) const fn must(name: &'static str, shape: Shape) -> Key {
    Key {
        name,
        shape,
        required: true,
        nullable: false,
    }
}

/// A reading: its value may be `null` in a correction.
pub(crate) const fn read(name: &'static str, shape: Shape) -> Key {
    Key {
        name,
        shape,
        required: false,
        nullable: true,
    }
}
