//! Components of a plant, in a tree, with particulars in the words of the trial file.

use std::collections::BTreeMap;

use serde_json::value::RawValue;

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{ComponentId, PlantId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const FIND: &str = "select * from component where id = ?1";
const OF_PLANT: &str = "select * from component where plant_id = ?1 order by withdrawn_at is not null, coalesce(parent_id, id), parent_id is not null, id";
const MAKE: &str =
    "insert into component (plant_id, parent_id, kind, name, particulars, note, made_at, joints)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) returning id";
const CHANGE: &str = "update component set parent_id = ?2, kind = ?3, name = ?4, particulars = ?5, note = ?6, joints = ?7 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("components::FIND", FIND),
    ("components::OF_PLANT", OF_PLANT),
    ("components::MAKE", MAKE),
    ("components::CHANGE", CHANGE),
];

/// What a component can be.
pub const KINDS: [&str; 9] = [
    "boiler",
    "engine",
    "feed-pump",
    "burner",
    "safety-valve",
    "glass",
    "lubricator",
    "tank",
    "fitting",
];

/// What can hold the seams of a boiler; the first is not known.
pub const JOINTS: [&str; 6] = [
    "",
    "soft solder",
    "silver solder",
    "welded",
    "riveted",
    "riveted and soldered",
];

/// A component as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Component {
    /// Its row.
    pub id: ComponentId,
    /// The plant.
    pub plant_id: PlantId,
    /// The component it belongs to.
    pub parent_id: Option<ComponentId>,
    /// One of [`KINDS`].
    pub kind: String,
    /// Name.
    pub name: String,
    /// JSON in the keys of a trial file's `plant`, numbers as typed. What is unknown is not there.
    pub particulars: String,
    /// A private note.
    pub note: String,
    /// What holds its seams, one of [`JOINTS`]; empty while nobody knows, and where it has none.
    pub joints: String,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// A component as written on the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewComponent {
    /// The component it belongs to.
    pub parent_id: Option<ComponentId>,
    /// One of [`KINDS`].
    pub kind: String,
    /// Name.
    pub name: String,
    /// JSON in the keys of a trial file's `plant`.
    pub particulars: String,
    /// A private note.
    pub note: String,
    /// What holds its seams, one of [`JOINTS`].
    pub joints: String,
}

/// One component.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: ComponentId) -> Result<Component, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("component"))
}

/// All components of a plant, each after the one it belongs to, withdrawn ones last.
///
/// # Errors
/// Only the database's.
pub async fn of_plant(store: &Store, plant: PlantId) -> Result<Vec<Component>, Error> {
    Ok(sqlx::query_as(OF_PLANT)
        .bind(plant)
        .fetch_all(store.readers())
        .await?)
}

/// The same within a transaction.
pub(crate) async fn of_plant_in(w: &mut Write, plant: PlantId) -> Result<Vec<Component>, Error> {
    Ok(sqlx::query_as(OF_PLANT)
        .bind(plant)
        .fetch_all(w.conn())
        .await?)
}

/// The particulars of the components that stand, laid together as one `plant` of a trial file, numbers as typed.
///
/// # Errors
/// [`Error::Damaged`] when a component's particulars cannot be read.
pub fn together(components: &[Component], name: &str) -> Result<String, Error> {
    let mut keys: BTreeMap<String, Box<RawValue>> = BTreeMap::new();
    for component in components.iter().filter(|c| c.withdrawn_at.is_none()) {
        let own: BTreeMap<String, Box<RawValue>> = serde_json::from_str(&component.particulars)
            .map_err(|e| {
                Error::Damaged(format!(
                    "the particulars of component {}: {e}",
                    component.id
                ))
            })?;
        // The first component of a kind counts: a second boiler is another trial.
        for (key, value) in own {
            keys.entry(key).or_insert(value);
        }
    }
    let mut fields = vec![format!("\"name\":{}", serde_json::Value::from(name))];
    fields.extend(
        keys.iter()
            .filter(|(k, _)| *k != "name")
            .map(|(k, v)| format!("{}:{v}", serde_json::Value::from(k.as_str()))),
    );
    Ok(format!("{{{}}}", fields.join(",")))
}

/// Writes a component down.
///
/// # Errors
/// [`Error::Rule`] when kind, name or particulars cannot be.
pub async fn make(w: &mut Write, plant: PlantId, new: &NewComponent) -> Result<ComponentId, Error> {
    let now = w.now();
    let id: ComponentId = sqlx::query_scalar(MAKE)
        .bind(plant)
        .bind(new.parent_id)
        .bind(&new.kind)
        .bind(&new.name)
        .bind(&new.particulars)
        .bind(&new.note)
        .bind(now)
        .bind(&new.joints)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Component, id.get()).await?;
    Ok(id)
}

/// Changes a component. Trials that copied its particulars keep what they copied.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: ComponentId, new: &NewComponent) -> Result<(), Error> {
    let before = change::before(w, Subject::Component, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(new.parent_id)
        .bind(&new.kind)
        .bind(&new.name)
        .bind(&new.particulars)
        .bind(&new.note)
        .bind(&new.joints)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
