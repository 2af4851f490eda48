//! Two hands, two figures for one thing: both are kept and both count, until a person picks one; the pick is in the log.

use axum::extract::{Path, State};
use axum::response::Response;
use records::TrialId;

use super::entries::append;
use super::load::Judged;
use super::logbook::ReadBy;
use super::own_entry::made_of;
use super::tree::quoted;
use super::typed::Typed;
use crate::desk::Desk;
use crate::form::Posted;
use crate::problem::{Problem, see};

/// How close together two readings are of one moment, s.
const ONE_MOMENT_S: f64 = 20.0;

/// What can differ: key, unit, and by how much two hands may read it differently.
const COMPARED: [(&str, &str, f64); 3] = [
    ("level_mm", "mm", 1.0),
    ("pressure_bar", "bar", 0.1),
    ("co_ppm", "ppm", 5.0),
];

/// Two figures for one thing.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Conflict {
    pub(super) key: &'static str,
    pub(super) unit: &'static str,
    pub(super) one: ReadBy,
    pub(super) other: ReadBy,
    pub(super) differ: String,
    pub(super) at: String,
}

/// Every pair of readings of one moment by two hands that differ.
pub(super) fn of(trial: &Judged) -> Vec<Conflict> {
    let mut all = Vec::new();
    for (key, unit, may) in COMPARED {
        let read = trial.log.read_by(key);
        for (n, one) in read.iter().enumerate() {
            let other = read
                .iter()
                .skip(n + 1)
                .find(|o| o.by != one.by && (o.t_s - one.t_s).abs() <= ONE_MOMENT_S);
            let Some(other) = other else { continue };
            let differ = (one.value - other.value).abs();
            if differ > may {
                all.push(Conflict {
                    key,
                    unit,
                    one: one.clone(),
                    other: other.clone(),
                    differ: calc::show::fixed(differ, if unit == "bar" { 2 } else { 0 }),
                    at: trial.clock(other.t_s),
                });
            }
        }
    }
    all
}

/// Picks one of two: the other figure is taken back by a correction, and the pick stands beside it.
pub(super) async fn pick(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let id = TrialId::new(id);
    let trial = Judged::load(desk.store(), id).await?;
    let (keep, key) = (posted.form.get("keep"), posted.form.get("figure"));
    let conflict = of(&trial)
        .into_iter()
        .find(|c| c.key == key && (c.one.id == keep || c.other.id == keep));
    let Some(conflict) = conflict else {
        return Ok(see(&trial.address()));
    };
    let (kept, dropped) = if conflict.one.id == keep {
        (&conflict.one, &conflict.other)
    } else {
        (&conflict.other, &conflict.one)
    };
    let words = format!(
        "{} {} of {} ({}) holds, not {} {} of {} ({})",
        kept.typed,
        conflict.unit,
        kept.by,
        kept.id,
        dropped.typed,
        conflict.unit,
        dropped.by,
        dropped.id
    );
    let entries = [
        format!(
            "\"corrects\":{},\"reading\":{{\"{}\":null}},\"note\":{}",
            quoted(&dropped.id),
            conflict.key,
            quoted(&words)
        ),
        format!("\"keeps\":\"pick\",\"note\":{}", quoted(&words)),
    ];
    for (n, fields) in entries.into_iter().enumerate() {
        let (sent, coming) = made_of(id, &posted.key, n, fields);
        append(&desk, sent, coming).await?;
    }
    Ok(see(&trial.address()))
}
