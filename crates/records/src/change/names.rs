//! Rows that a change speaks of, as people know them: a component by its name, a trial by its number.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use serde_json::{Map, Value};

use super::Change;
use crate::error::Error;
use crate::store::Store;

const COMPONENT: &str = "select name from component where id = ?1";
const CUSTOMER: &str = "select name from customer where id = ?1";
const DEFECT: &str = "select 'defect ' || serial from defect where id = ?1";
const JOB: &str = "select printf('%02d-%03d', year % 100, serial) from job where id = ?1";
const PART: &str = "select name from part where id = ?1";
const PLANT: &str = "select name from plant where id = ?1";
const SITTING: &str = "select 'sitting ' || serial from sitting where id = ?1";
const TRIAL: &str = "select 'trial ' || serial from trial where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("change::names::COMPONENT", COMPONENT),
    ("change::names::CUSTOMER", CUSTOMER),
    ("change::names::DEFECT", DEFECT),
    ("change::names::JOB", JOB),
    ("change::names::PART", PART),
    ("change::names::PLANT", PLANT),
    ("change::names::SITTING", SITTING),
    ("change::names::TRIAL", TRIAL),
];

/// The names of the rows that a change speaks of, by its key and their number.
pub(crate) type Names = BTreeMap<(String, i64), String>;

fn statement(key: &str) -> Option<&'static str> {
    Some(match key {
        "component_id" | "parent_id" => COMPONENT,
        "customer_id" => CUSTOMER,
        "defect_id" => DEFECT,
        "job_id" | "return_of" => JOB,
        "part_id" | "cleared_by_part" | "deferred_part_id" => PART,
        "plant_id" => PLANT,
        "sitting_id" | "cleared_by_sitting" | "ended_by_sitting" => SITTING,
        "trial_id" | "cleared_by_trial" => TRIAL,
        _ => return None,
    })
}

/// The names found so far, by statement and row; none where there is no such row any more.
type Known = BTreeMap<(&'static str, i64), Option<String>>;

/// Looks up, each row once, what the changed ones among them speak of; what was entered says all that on its own page.
pub(super) async fn learn(store: &Store, mut kept: Vec<Change>) -> Result<Vec<Change>, Error> {
    let mut known = Known::new();
    for change in kept.iter_mut().filter(|c| c.what != "made") {
        let values = change.was().into_iter().chain(change.became());
        look_up(store, &mut known, &mut change.names, values).await?;
    }
    Ok(kept)
}

/// Looks up what one change speaks of, and the record by now, where it has changed again since.
pub(super) async fn learn_one(
    store: &Store,
    change: &mut Change,
    now: &Map<String, Value>,
) -> Result<(), Error> {
    let values = change.was().into_iter().chain(change.became());
    let values = values.chain(now.clone());
    look_up(store, &mut Known::new(), &mut change.names, values).await
}

async fn look_up(
    store: &Store,
    known: &mut Known,
    names: &mut Names,
    values: impl Iterator<Item = (String, Value)>,
) -> Result<(), Error> {
    for (key, value) in values {
        let (Some(statement), Some(id)) = (statement(&key), value.as_i64()) else {
            continue;
        };
        let name = match known.entry((statement, id)) {
            Entry::Occupied(there) => there.into_mut(),
            Entry::Vacant(free) => {
                let name = sqlx::query_scalar(statement).bind(id);
                free.insert(name.fetch_optional(store.readers()).await?)
            }
        };
        if let Some(name) = name {
            names.insert((key, id), name.clone());
        }
    }
    Ok(())
}
