//! No page reads a large table from end to end, however long the book has become.

use sqlx::Connection;

use super::fresh;
use crate::{Store, connect, file_of, log, plans, ten_years};

/// What is read through, without what may be.
async fn found(store: &Store) -> Vec<plans::Scan> {
    let mut all = plans::scans(store).await.unwrap();
    all.retain(|s| !plans::WHOLE.iter().any(|(name, _)| *name == s.statement));
    all
}

#[tokio::test]
async fn no_statement_reads_a_large_table_from_end_to_end() {
    let (folder, store) = fresh().await;
    ten_years::furnish(&store, 0.2).await.unwrap();
    assert_eq!(found(&store).await, [], "as the workshop has it");
    for (name, why) in plans::WHOLE {
        let all = plans::scans(&store).await.unwrap();
        assert!(
            all.iter().any(|s| s.statement == *name),
            "{name} needs no exception any more ({why})"
        );
    }
    // The same once the database has counted what is in its tables.
    let mut conn = connect::copier(&file_of(folder.path())).await.unwrap();
    sqlx::raw_sql("analyze").execute(&mut conn).await.unwrap();
    conn.close().await.unwrap();
    store.close().await;
    drop(store);
    let store = Store::open(folder.path()).await.unwrap();
    assert_eq!(found(&store).await, [], "with its tables counted");
}

/// Without an index the test above finds what it is there to find.
#[tokio::test]
async fn a_table_that_is_read_through_is_found_out() {
    let (folder, store) = fresh().await;
    assert_eq!(found(&store).await, []);
    let mut conn = connect::copier(&file_of(folder.path())).await.unwrap();
    for undo in [
        "drop index job_by_number",
        "drop index picture_by_subject",
        "drop index unknown_boiler_by_defect",
    ] {
        sqlx::raw_sql(undo).execute(&mut conn).await.unwrap();
    }
    conn.close().await.unwrap();
    let names: Vec<&str> = found(&store).await.iter().map(|s| s.statement).collect();
    for name in ["jobs::BY_NUMBER", "pictures::OF", "defects::CHANGE"] {
        assert!(names.contains(&name), "{name}: {names:?}");
    }
}

#[tokio::test]
async fn what_is_generated_is_a_whole_book() {
    let (_folder, store) = fresh().await;
    let made = ten_years::furnish(&store, 0.02).await.unwrap();
    assert!(
        made.jobs > 40 && made.trials > 80 && made.entries > 8_000 && made.pictures > 300,
        "{made:?}"
    );
    let report = log::verify::verify(&store, None).await.unwrap();
    assert!(report.faults.is_empty(), "{}", report.line());
    assert_eq!(report.entries, usize::try_from(made.entries).unwrap());
}
