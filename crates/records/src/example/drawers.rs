//! What the example workshop keeps in its drawers.

use crate::error::Error;
use crate::stock::{self, Moved, NewStock};
use crate::writer::Write;

/// Name, unit, how many, buy more at, pence for one, where it lies, what for.
type Kept = (
    &'static str,
    &'static str,
    i64,
    i64,
    i64,
    &'static str,
    &'static str,
);

const KEPT: [Kept; 5] = [
    (
        "Graphited yarn, 3 mm",
        "cm",
        140,
        50,
        4,
        "drawer 2",
        "pump and piston glands",
    ),
    (
        "Graphited yarn, 2 mm",
        "cm",
        35,
        50,
        3,
        "drawer 2",
        "valve rods, cocks",
    ),
    (
        "Gas jet, 0.20 mm",
        "pieces",
        3,
        1,
        210,
        "tin 4",
        "ceramic burners",
    ),
    (
        "Fibre washer, 1/8 in",
        "pieces",
        42,
        10,
        6,
        "tin 7",
        "unions",
    ),
    (
        "Steam cylinder oil",
        "ml",
        800,
        200,
        1,
        "shelf B",
        "displacement lubricators",
    ),
];

pub(super) async fn furnish(w: &mut Write) -> Result<(), Error> {
    for (name, unit, count, least, pence, lies, note) in KEPT {
        let new = NewStock {
            name: name.into(),
            unit: unit.into(),
            least: Some(least),
            price_pence: Some(pence),
            supplier: "Reedmace Model Stores".into(),
            lies: lies.into(),
            note: note.into(),
        };
        let id = stock::make(w, &new).await?;
        stock::moved(w, id, Moved::Counted(count)).await?;
    }
    Ok(())
}
