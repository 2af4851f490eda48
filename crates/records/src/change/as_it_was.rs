//! Putting back what a change changed: held to what was seen, and proven before it is kept.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use super::{Change, Subject, row, words};
use crate::error::Error;
use crate::store::Store;
use crate::writer::Write;

/// How the values that a change touched stand now.
///
/// # Errors
/// [`Error::Missing`].
pub async fn stands(store: &Store, change: &Change) -> Result<Map<String, Value>, Error> {
    let subject = change.of().ok_or(Error::Missing("record"))?;
    let mut reader = store.readers().acquire().await?;
    let now = row(&mut reader, subject, change.subject_id).await?;
    Ok(touched(now.ok_or(Error::Missing(subject.word()))?, change))
}

fn touched(mut row: Map<String, Value>, change: &Change) -> Map<String, Value> {
    let keys = change.was();
    row.retain(|key, _| keys.contains_key(key));
    row
}

/// A record as it would be with what was there before a change.
///
/// # Errors
/// [`Error::Refused`] when what was there is none of what the record is read as.
pub fn over<T: Serialize + DeserializeOwned>(record: &T, change: &Change) -> Result<T, Error> {
    let cannot = || Error::Refused("this cannot be put back".to_owned());
    let Ok(Value::Object(mut row)) = serde_json::to_value(record) else {
        return Err(cannot());
    };
    for (key, was) in change.was() {
        let stands = row.get_mut(&key).ok_or_else(cannot)?;
        *stands = match (&*stands, was.as_i64()) {
            // The database knows no other yes and no.
            (Value::Bool(_), Some(yes_or_no)) => Value::Bool(yes_or_no != 0),
            _ => was,
        };
    }
    serde_json::from_value(Value::Object(row)).map_err(|_| cannot())
}

/// A row that is about to be put back, as it stands before that.
pub struct Held {
    subject: Subject,
    id: i64,
    row: Map<String, Value>,
    was: Map<String, Value>,
}

/// Takes hold of what a change touched, if it still stands as it was seen.
///
/// # Errors
/// [`Error::Missing`]; [`Error::Refused`] when somebody changed it in between.
pub async fn hold(
    w: &mut Write,
    change: &Change,
    seen: &Map<String, Value>,
) -> Result<Held, Error> {
    let subject = change.of().ok_or(Error::Missing("record"))?;
    let id = change.subject_id;
    let now = row(w.conn(), subject, id).await?;
    let now = now.ok_or(Error::Missing(subject.word()))?;
    if touched(now.clone(), change) != *seen {
        return Err(Error::Refused(
            "it was changed in between: open it again and look how it stands".to_owned(),
        ));
    }
    Ok(Held {
        subject,
        id,
        row: now,
        was: change.was(),
    })
}

impl Held {
    /// Whether all that was to be put back is back, and nothing else is different; `follows` are the times
    /// and counts that go with it by themselves.
    ///
    /// # Errors
    /// [`Error::Refused`], which undoes it.
    pub async fn proven(self, w: &mut Write, follows: &[&str]) -> Result<(), Error> {
        let now = row(w.conn(), self.subject, self.id).await?;
        for (key, value) in now.unwrap_or_default() {
            if follows.contains(&key.as_str()) {
                continue;
            }
            let due = self.was.get(&key).or_else(|| self.row.get(&key));
            if due == Some(&value) {
                continue;
            }
            let (ours, key) = (self.was.contains_key(&key), words(&key));
            return Err(Error::Refused(if ours {
                format!("{key} cannot be put back as it was")
            } else {
                format!("this cannot be put back alone: {key} would change with it")
            }));
        }
        Ok(())
    }
}
