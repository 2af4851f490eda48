//! How the database reads what each statement asks for: whether any of them goes through a large table from end to end.
//!
//! Asked of the database's own program for a statement, which also holds what its triggers do: a table that is entered at
//! its first or last row and then stepped through is read from end to end, unless the index says that only the few rows
//! that are still open lie in it.

use std::collections::HashMap;

use sqlx::{AssertSqlSafe, Row, SqliteConnection};

use crate::error::Error;
use crate::store::Store;

/// Tables that grow with every year of the workshop; the indexes on them, and the words of the full-text index, with them.
pub const LARGE: &[&str] = &[
    "appointment",
    "appointment_job",
    "bench_spell",
    "change",
    "component",
    "customer",
    "defect",
    "entry",
    "estimate",
    "examination",
    "examination_picture",
    "fitted",
    "form_key",
    "instrument",
    "comparison",
    "job",
    "job_place",
    "look",
    "look_line",
    "news",
    "paper",
    "part",
    "payment",
    "phone",
    "picture",
    "piece",
    "plant",
    "publication",
    "published_defect",
    "published_picture",
    "published_variation",
    "reckoning",
    "retest_due",
    "sent_from",
    "share",
    "sitting",
    "stock_move",
    "temporary_state",
    "trial",
    "trial_join",
    "typed",
    "unknown_boiler",
    "variation",
    "word_index_content",
    "word_index_docsize",
    "word_index_data",
    "word_index_idx",
];

/// Indexes that hold only what is still open, however long the book is: reading one through reads no more than the bench shows.
pub const FEW: &[(&str, &str)] = &[
    ("trial_by_state", "trials that are not sealed"),
    ("job_open", "jobs that have not gone home"),
    ("bench_spell_running", "sittings that have begun"),
    ("look_open", "looks that go on"),
    ("defect_no_steam", "no-steam defects that stand"),
    ("state_standing", "what is off or plugged for now"),
];

/// Statements that may read a large table through, each with its reason: no page asks any of them.
pub const WHOLE: &[(&str, &str)] = &[
    (
        "log::verify::TRIALS",
        "verify reads every chain; that is what it is for",
    ),
    (
        "log::verify::STRAYS",
        "verify reads every chain; that is what it is for",
    ),
    (
        "pictures::check::ALL",
        "verify reads every picture; that is what it is for",
    ),
    (
        "backup::HEADS",
        "the last link alone: it stops at the first row it meets",
    ),
    (
        "backup::COUNT",
        "a copy that was just made is counted to be checked",
    ),
    (
        "change::RetestRule withdrawal",
        "a rule is set and never withdrawn; a new one is a new day for every plant",
    ),
    (
        "retests::SET_RULE",
        "a new rule is a new day for every plant",
    ),
];

/// One table that a statement reads from end to end.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Scan {
    /// The statement's name.
    pub statement: &'static str,
    /// The table, or the index of it.
    pub reads: String,
}

/// What is known of a root page: its table, and its own name.
type Roots = HashMap<i64, (String, String)>;

/// Every statement of the store, by name.
#[must_use]
pub fn statements() -> Vec<(&'static str, &'static str)> {
    let mut all = crate::log::statements();
    for list in [
        crate::at_bench::STATEMENTS,
        crate::appointments::STATEMENTS,
        crate::backup::STATEMENTS,
        crate::barred::STATEMENTS,
        crate::change::STATEMENTS,
        crate::change::LIST_STATEMENTS,
        crate::change::NAME_STATEMENTS,
        crate::change::SUBJECT_STATEMENTS,
        crate::components::STATEMENTS,
        crate::connect::STATEMENTS,
        crate::customers::STATEMENTS,
        crate::defects::STATEMENTS,
        crate::estimates::STATEMENTS,
        crate::examinations::STATEMENTS,
        crate::fitted::STATEMENTS,
        crate::form_key::STATEMENTS,
        crate::instruments::STATEMENTS,
        crate::instruments::COMPARISON_STATEMENTS,
        crate::jobs::STATEMENTS,
        crate::look_back::STATEMENTS,
        crate::looks::STATEMENTS,
        crate::owed::STATEMENTS,
        crate::papers::STATEMENTS,
        crate::parts::STATEMENTS,
        crate::pictures::STATEMENTS,
        crate::pictures::check::STATEMENTS,
        crate::pictures::shown::STATEMENTS,
        crate::payments::STATEMENTS,
        crate::plants::STATEMENTS,
        crate::procedures::STATEMENTS,
        crate::publish::STATEMENTS,
        crate::reckonings::STATEMENTS,
        crate::retests::STATEMENTS,
        crate::retests::kept::STATEMENTS,
        crate::sessions::STATEMENTS,
        crate::shares::STATEMENTS,
        crate::sittings::STATEMENTS,
        crate::states::STATEMENTS,
        crate::stock::STATEMENTS,
        crate::store::STATEMENTS,
        crate::unknown_boilers::STATEMENTS,
        crate::variations::STATEMENTS,
        crate::workshop::STATEMENTS,
        crate::writer::STATEMENTS,
    ] {
        all.extend_from_slice(list);
    }
    all
}

/// Every large table that a statement reads from end to end.
///
/// # Errors
/// Only the database's.
pub async fn scans(store: &Store) -> Result<Vec<Scan>, Error> {
    let mut conn = store.readers().acquire().await?;
    let roots: Vec<(i64, String, String)> =
        sqlx::query_as("select rootpage, tbl_name, name from sqlite_master where rootpage > 0")
            .fetch_all(&mut *conn)
            .await?;
    let roots: Roots = roots
        .into_iter()
        .map(|(page, table, name)| (page, (table, name)))
        .collect();
    let mut all = Vec::new();
    for (statement, sql) in statements() {
        for reads in read_through(&mut conn, &roots, sql).await? {
            all.push(Scan { statement, reads });
        }
    }
    Ok(all)
}

/// What one statement reads from end to end, of the large tables.
async fn read_through(
    conn: &mut SqliteConnection,
    roots: &Roots,
    sql: &str,
) -> Result<Vec<String>, Error> {
    let verb = sql.split_whitespace().next().unwrap_or("");
    if !["select", "with", "insert", "update", "delete"].contains(&verb) {
        return Ok(Vec::new());
    }
    let steps = sqlx::query(AssertSqlSafe(format!("explain {sql}")))
        .fetch_all(conn)
        .await?;
    let mut opened: HashMap<i64, i64> = HashMap::new();
    let mut entered: Vec<i64> = Vec::new();
    let mut found = Vec::new();
    let mut skipped_to = 0;
    for step in &steps {
        let (at, what): (i64, String) = (step.try_get("addr")?, step.try_get("opcode")?);
        let (cursor, page): (i64, i64) = (step.try_get("p1")?, step.try_get("p2")?);
        // A trigger's own program begins anew.
        if at == 0 {
            opened.clear();
            entered.clear();
            skipped_to = 0;
        }
        // Stepped over, for it asks after promises to come, which this book does not make: all its references are kept at once.
        if at < skipped_to {
            continue;
        }
        match what.as_str() {
            "FkIfZero" => skipped_to = page,
            "OpenRead" | "OpenWrite" | "ReopenIdx" => {
                opened.insert(cursor, page);
            }
            "Rewind" | "Last" => entered.push(cursor),
            "Next" | "Prev" if !entered.contains(&cursor) => {}
            "Next" | "Prev" | "Count" => {
                let known = opened.get(&cursor).and_then(|page| roots.get(page));
                if let Some((table, name)) = known
                    && LARGE.contains(&table.as_str())
                    && !FEW.iter().any(|(few, _)| few == name)
                    && !found.contains(name)
                {
                    found.push(name.clone());
                }
            }
            _ => {}
        }
    }
    Ok(found)
}
