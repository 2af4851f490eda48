//! The ready reckoners: what each asks, what it answers, and the asking itself, as data.
//!
//! A reckoner is one calculation of [`calc`] with a name, a list of inputs and a list of outputs. The
//! command, its help and the pages all read these lists; nothing about a field is written twice.
//!
//! ```
//! let answer = triallog::reckon::run("bar-litres", r#"{"p_working_bar": 4, "V_litre": 0.6}"#)?;
//! assert!(answer.json().contains("\"bar_litre\": 2.4"));
//! let refused = triallog::reckon::run("bar-litres", r#"{"p_working_bar": 4}"#).unwrap_err();
//! assert_eq!(refused.code(), "not_proven_V_litre_missing");
//! # Ok::<(), triallog::reckon::Refused>(())
//! ```

mod air;
mod balance;
mod bench;
mod burner;
mod engine;
mod field;
mod given;
mod heat;
mod help;
mod hold;
mod hydraulic;
mod level;
mod monoxide;
mod pump;
mod read;
mod refused;
mod shell;
mod valve;
mod water;
mod written;

pub use field::{Form, Input, Kind, LeftOut, Output, Reckoner};
pub use given::{Given, Got};
pub use help::{help, list};
pub use refused::{Reason, Refused};
pub use written::Reckoned;

/// Every reckoner, in the order of the trade's topics.
pub fn all() -> impl Iterator<Item = &'static Reckoner> {
    [
        water::RECKONERS,
        level::RECKONERS,
        balance::RECKONERS,
        hydraulic::RECKONERS,
        hold::RECKONERS,
        air::RECKONERS,
        valve::RECKONERS,
        burner::RECKONERS,
        heat::RECKONERS,
        monoxide::RECKONERS,
        pump::RECKONERS,
        engine::RECKONERS,
        shell::RECKONERS,
        bench::RECKONERS,
    ]
    .into_iter()
    .flatten()
}

/// The reckoner of that name.
///
/// # Errors
/// A refusal that names the nearest one.
pub fn named(name: &str) -> Result<&'static Reckoner, Refused> {
    all()
        .find(|r| r.name == name)
        .ok_or_else(|| Refused::unknown_reckoner(name))
}

/// Asks the reckoner of that name, its inputs being one JSON object.
///
/// # Errors
/// Every fault of the inputs, or why the figures cannot be reckoned with.
pub fn run(name: &str, json: &str) -> Result<Reckoned, Refused> {
    let reckoner = named(name)?;
    let pairs = read::object(json)?;
    let form = reckoner.form_for(&pairs);
    let given = read::given(&pairs, form, reckoner)?;
    let answer = (form.run)(&given).map_err(|unusable| Refused::by(&unusable, form))?;
    Ok(Reckoned {
        answer,
        assumed: given.assumed,
    })
}
