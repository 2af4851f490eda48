//! The store as a whole: statements, round trips, the log, faults.

mod appointments;
mod as_it_was;
mod book;
mod deferral;
mod examinations;
mod example;
mod folder;
mod instruments;
mod look_back;
mod money;
mod pictures;
mod plans;
mod procedures;
mod returns;
mod rules;
mod stock;
mod trial_log;
mod unknown_boilers;

use crate::Store;
use crate::plans::statements;

/// A store in a folder of its own.
pub(crate) async fn fresh() -> (tempfile::TempDir, Store) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(folder.path()).await.unwrap();
    (folder, store)
}

#[tokio::test]
async fn every_statement_prepares_against_the_migrated_schema() {
    use sqlx::{Executor, SqlSafeStr};
    let (_folder, store) = fresh().await;
    let mut conn = store.readers().acquire().await.unwrap();
    for (name, sql) in statements() {
        if let Err(error) = conn.prepare(sql.into_sql_str()).await {
            panic!("{name}: {error}");
        }
    }
}

/// A statement that is in no list would escape the test above.
#[test]
fn every_named_statement_is_in_its_list() {
    let listed: Vec<&str> = statements().into_iter().map(|(_, sql)| sql).collect();
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut waiting = vec![root];
    let mut found = 0;
    while let Some(folder) = waiting.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                // What generates a book works on tables of its own, which are not there when it has.
                if !path.ends_with("ten_years") {
                    waiting.push(path);
                }
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            let text = text.replace(": &str =\n    \"", ": &str = \"");
            for piece in text.split(": &str = \"").skip(1) {
                let sql = piece.split("\";").next().unwrap();
                let verb = sql.split_whitespace().next().unwrap_or("");
                if [
                    "select", "with", "insert", "update", "delete", "vacuum", "pragma",
                ]
                .contains(&verb)
                {
                    found += 1;
                    assert!(
                        listed.contains(&sql),
                        "{}: a statement in no list: {sql}",
                        path.display()
                    );
                }
            }
        }
    }
    assert!(found > 50, "only {found} statements were found to look at");
}
