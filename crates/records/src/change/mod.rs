//! What changed, by whom, from what to what; and withdrawing, which can be undone.

mod as_it_was;
mod lists;
mod names;
mod subject;

use serde_json::{Map, Value};
use sqlx::{Column, Row, SqliteConnection, TypeInfo, ValueRef};

use crate::error::Error;
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

pub use as_it_was::{Held, hold, over, stands};
#[cfg(any(test, feature = "ten-years"))]
pub(crate) use lists::STATEMENTS as LIST_STATEMENTS;
pub use lists::{of, of_job, of_news};
#[cfg(any(test, feature = "ten-years"))]
pub(crate) use names::STATEMENTS as NAME_STATEMENTS;
#[cfg(any(test, feature = "ten-years"))]
pub(crate) use subject::STATEMENTS as SUBJECT_STATEMENTS;
pub use subject::Subject;

const INSERT: &str = "insert into change (job_id, subject, subject_id, what, by, at, before, after) values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)";
const FIND: &str =
    "select id, subject, subject_id, what, by, at, before, after from change where id = ?1";
const ERASE: &str = "update change set what = 'erased', before = null, after = null where subject = 'customer' and subject_id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("change::INSERT", INSERT),
    ("change::FIND", FIND),
    ("change::ERASE", ERASE),
];

/// A row as it stood before a change.
pub(crate) struct Before {
    subject: Subject,
    id: i64,
    row: Map<String, Value>,
}

/// Takes down how a row stands, before it is changed.
pub(crate) async fn before(w: &mut Write, subject: Subject, id: i64) -> Result<Before, Error> {
    let row = row(w.conn(), subject, id)
        .await?
        .ok_or(Error::Missing(subject.word()))?;
    Ok(Before { subject, id, row })
}

impl Before {
    /// Keeps what is different now. Nothing different: no row.
    pub(crate) async fn changed(self, w: &mut Write) -> Result<(), Error> {
        self.keep(w, "changed").await
    }

    async fn keep(mut self, w: &mut Write, what: &str) -> Result<(), Error> {
        let mut after = row(w.conn(), self.subject, self.id)
            .await?
            .unwrap_or_default();
        let job = job_of(self.subject, self.id, &after);
        after.retain(|key, value| self.row.get(key) != Some(value));
        self.row.retain(|key, _| after.contains_key(key));
        if after.is_empty() {
            return Ok(());
        }
        insert(w, self.subject, self.id, job, what, Some(self.row), after).await
    }
}

/// Keeps that a row was made.
pub(crate) async fn made(w: &mut Write, subject: Subject, id: i64) -> Result<(), Error> {
    let mut after = row(w.conn(), subject, id).await?.unwrap_or_default();
    let job = job_of(subject, id, &after);
    after.retain(|_, value| !value.is_null() && value != "");
    insert(w, subject, id, job, "made", None, after).await
}

/// Withdraws a row, or puts it back. Nothing is deleted.
///
/// # Errors
/// [`Error::Missing`].
pub async fn withdraw(
    w: &mut Write,
    subject: Subject,
    id: i64,
    withdrawn: bool,
) -> Result<(), Error> {
    let before = before(w, subject, id).await?;
    let at = withdrawn.then(|| w.now());
    sqlx::query(subject.withdrawal())
        .bind(id)
        .bind(at)
        .execute(w.conn())
        .await?;
    before
        .keep(w, if withdrawn { "withdrawn" } else { "put back" })
        .await
}

pub(crate) async fn erase_customer(w: &mut Write, id: i64) -> Result<(), Error> {
    sqlx::query(ERASE).bind(id).execute(w.conn()).await?;
    Ok(())
}

/// One change that was kept.
#[derive(Clone, Debug, sqlx::FromRow)]
pub struct Change {
    /// Its row.
    pub id: i64,
    /// What was changed: `defect`, `part` …
    pub subject: String,
    /// Which one.
    pub subject_id: i64,
    /// Which one in words, in a list of the changes of many; empty in a record's own.
    #[sqlx(default)]
    pub line: String,
    /// `made`, `changed`, `withdrawn`, `put back`.
    pub what: String,
    /// By whom.
    pub by: String,
    /// When.
    pub at: Stamp,
    /// JSON of what was there, only what differs.
    pub before: Option<String>,
    /// JSON of what is there now.
    pub after: Option<String>,
    /// The rows it speaks of, as people know them, where they were looked up.
    #[sqlx(skip)]
    pub(crate) names: names::Names,
}

impl Change {
    /// What differs, key by key: the key, what was there, what is there now.
    #[must_use]
    pub fn differences(&self) -> Vec<(String, String, String)> {
        let was = self.was();
        self.became()
            .iter()
            .map(|(key, now)| {
                (
                    words(key),
                    self.says(key, was.get(key)),
                    self.says(key, Some(now)),
                )
            })
            .collect()
    }

    /// What was done, as people say it: what the log calls made was entered by somebody.
    #[must_use]
    pub fn did(&self) -> &str {
        if self.what == "made" {
            "entered"
        } else {
            &self.what
        }
    }

    /// A value as a person reads it; a row by its name, where that was looked up.
    #[must_use]
    pub fn says(&self, key: &str, value: Option<&Value>) -> String {
        let row = value.and_then(Value::as_i64);
        let name = row.and_then(|id| self.names.get(&(key.to_owned(), id)));
        name.cloned().unwrap_or_else(|| shown(key, value))
    }

    /// What kind of record it is of.
    #[must_use]
    pub fn of(&self) -> Option<Subject> {
        Subject::from_word(&self.subject)
    }

    /// What was there, key by key, of what differs.
    #[must_use]
    pub fn was(&self) -> Map<String, Value> {
        read(self.before.as_deref())
    }

    /// What was there then, key by key.
    #[must_use]
    pub fn became(&self) -> Map<String, Value> {
        read(self.after.as_deref())
    }
}

/// What was kept, without the count that an appointment's calendar entry goes by: nobody changes that.
fn read(text: Option<&str>) -> Map<String, Value> {
    let read = text.and_then(|t| serde_json::from_str(t).ok());
    let mut values: Map<String, Value> = read.unwrap_or_default();
    values.remove("changes");
    values
}

/// A key as it is read: without its underscores, and without what it is counted in.
#[must_use]
pub fn words(key: &str) -> String {
    let bare = key.strip_suffix("_pence").or(key.strip_suffix("_id"));
    bare.unwrap_or(key).replace('_', " ")
}

/// A value as a person reads it: days and moments as they are written everywhere, pence with their point.
fn shown(key: &str, value: Option<&Value>) -> String {
    let moment = key.ends_with("_at") || key.ends_with("_since");
    let day = ["_on", "_day", "_to", "_until"]
        .iter()
        .any(|end| key.ends_with(end));
    match value {
        None | Some(Value::Null) => String::new(),
        Some(Value::String(text)) if day => {
            let read = Day::read(text);
            read.map_or_else(|| text.clone(), |d| d.full())
        }
        Some(Value::String(text)) => text.clone(),
        Some(Value::Number(n)) => match n.as_i64() {
            Some(ms) if moment => Stamp::from_millis(ms).full(),
            Some(pence) if key.ends_with("_pence") => {
                let minus = if pence < 0 { "−" } else { "" };
                format!("{minus}{}.{:02}", pence.abs() / 100, pence.abs() % 100)
            }
            _ => n.to_string(),
        },
        Some(other) => other.to_string(),
    }
}

/// One change.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: i64) -> Result<Change, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("change"))
}

/// The same change, knowing by name what it speaks of and what the record speaks of `now`.
///
/// # Errors
/// Only the database's.
pub async fn named(
    store: &Store,
    mut change: Change,
    now: &Map<String, Value>,
) -> Result<Change, Error> {
    names::learn_one(store, &mut change, now).await?;
    Ok(change)
}

fn job_of(subject: Subject, id: i64, row: &Map<String, Value>) -> Option<i64> {
    if subject == Subject::Job {
        Some(id)
    } else {
        row.get("job_id").and_then(Value::as_i64)
    }
}

async fn insert(
    w: &mut Write,
    subject: Subject,
    id: i64,
    job: Option<i64>,
    what: &str,
    before: Option<Map<String, Value>>,
    after: Map<String, Value>,
) -> Result<(), Error> {
    let (at, by) = (w.now(), w.by().to_owned());
    sqlx::query(INSERT)
        .bind(job)
        .bind(subject.word())
        .bind(id)
        .bind(what)
        .bind(by)
        .bind(at)
        .bind(before.map(|b| Value::Object(b).to_string()))
        .bind(Value::Object(after).to_string())
        .execute(w.conn())
        .await?;
    Ok(())
}

/// A whole row as JSON, whatever its columns.
async fn row(
    from: &mut SqliteConnection,
    subject: Subject,
    id: i64,
) -> Result<Option<Map<String, Value>>, Error> {
    let Some(row) = sqlx::query(subject.row())
        .bind(id)
        .fetch_optional(from)
        .await?
    else {
        return Ok(None);
    };
    let mut map = Map::new();
    for column in row.columns() {
        let name = column.name();
        let raw = row.try_get_raw(name)?;
        let value = match raw.type_info().name() {
            _ if raw.is_null() => Value::Null,
            "INTEGER" => row.try_get::<i64, _>(name)?.into(),
            "REAL" => row.try_get::<f64, _>(name)?.into(),
            _ => row.try_get::<String, _>(name)?.into(),
        };
        map.insert(name.to_owned(), value);
    }
    Ok(Some(map))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_changed_is_read_as_it_is_said() {
        let change = Change {
            id: 1,
            subject: "part".into(),
            subject_id: 1,
            line: String::new(),
            what: "changed".into(),
            by: "Ada".into(),
            at: Stamp::from_millis(0),
            before: Some(r#"{"price_pence": 90, "state_since": null, "count": 1}"#.into()),
            after: Some(
                r#"{"price_pence": 1205, "state_since": 1795576929873, "count": 3, "component_id": 7, "promised_on": "2026-12-03"}"#.into(),
            ),
            names: [(("component_id".into(), 7), "feed pump".into())].into(),
        };
        let since = Stamp::from_millis(1_795_576_929_873).full();
        let mut differences = change.differences();
        differences.sort();
        assert_eq!(
            differences,
            [
                ("component".into(), String::new(), "feed pump".into()),
                ("count".into(), "1".into(), "3".into()),
                ("price".into(), "0.90".into(), "12.05".into()),
                ("promised on".into(), String::new(), "3 Dec 2026".into()),
                ("state since".into(), String::new(), since),
            ]
        );
    }
}
