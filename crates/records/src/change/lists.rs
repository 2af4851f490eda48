//! The lists of changes: of a job, of a record, of a record with its lines; each goes on by key.

use super::{Change, Subject, names};
use crate::error::Error;
use crate::ids::JobId;
use crate::store::Store;
use crate::time::Stamp;

// Which of the job's own records it was is said by its number or its words.
const OF_JOB: &str = "select c.id, c.subject, c.subject_id, c.what, c.by, c.at, c.before, c.after, coalesce(case c.subject
        when 'defect' then (select x.serial || ', ' || x.what from defect x where x.id = c.subject_id)
        when 'sitting' then (select cast(x.serial as text) from sitting x where x.id = c.subject_id)
        when 'look' then (select x.serial || ', ' || x.asks from look x where x.id = c.subject_id)
        when 'variation' then (select x.serial || ', ' || x.what from variation x where x.id = c.subject_id)
        when 'part' then (select x.name from part x where x.id = c.subject_id)
        when 'payment' then (select x.what from payment x where x.id = c.subject_id)
        when 'examination' then (select p.name from examination x join component p on p.id = x.component_id where x.id = c.subject_id)
        when 'temporary state' then (select x.what from temporary_state x where x.id = c.subject_id)
        when 'piece off the plant' then (select x.what from piece x where x.id = c.subject_id)
        when 'picture' then (select x.caption from picture x where x.id = c.subject_id)
        when 'thing fitted' then (select x.kind || ': ' || x.what from fitted x where x.id = c.subject_id)
        when 'line of news' then (select x.said from news x where x.id = c.subject_id)
        when 'line of a look' then (select x.words from look_line x where x.id = c.subject_id)
        end, '') as line
    from change c where c.job_id = ?1 and (c.at, c.id) < (?2, ?3) order by c.at desc, c.id desc limit ?4";
const OF_SUBJECT: &str = "select id, subject, subject_id, what, by, at, before, after from change
    where subject = ?1 and subject_id = ?2 and id < ?3 order by id desc limit ?4";
// What is written in a line is on the record itself: its lines are here once they were changed.
const OF_LOOK: &str = "select c.id, c.subject, c.subject_id, c.what, c.by, c.at, c.before, c.after, '' as line from change c
        where c.subject = ?1 and c.subject_id = ?2 and c.id < ?3
    union all select c.id, c.subject, c.subject_id, c.what, c.by, c.at, c.before, c.after, x.words from look_line x cross join change c on c.subject = 'line of a look' and c.subject_id = x.id
        where x.look_id = ?2 and c.what <> 'made' and c.id < ?3
    order by 1 desc limit ?4";
const OF_STOCK: &str = "select c.id, c.subject, c.subject_id, c.what, c.by, c.at, c.before, c.after, '' as line from change c
        where c.subject = ?1 and c.subject_id = ?2 and c.id < ?3
    union all select c.id, c.subject, c.subject_id, c.what, c.by, c.at, c.before, c.after, x.what || ', ' || abs(x.by_count) from stock_move x cross join change c on c.subject = 'move of stock' and c.subject_id = x.id
        where x.stock_id = ?2 and c.what <> 'made' and c.id < ?3
    order by 1 desc limit ?4";
const OF_NEWS: &str = "select c.id, c.subject, c.subject_id, c.what, c.by, c.at, c.before, c.after, x.said as line from news x cross join change c on c.subject = 'line of news' and c.subject_id = x.id
    where x.job_id = ?1 and c.id < ?2 order by c.id desc limit ?3";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("change::OF_JOB", OF_JOB),
    ("change::OF_SUBJECT", OF_SUBJECT),
    ("change::OF_LOOK", OF_LOOK),
    ("change::OF_STOCK", OF_STOCK),
    ("change::OF_NEWS", OF_NEWS),
];

/// The changes of a job and of all that belongs to it, the newest first, behind the moment and row of one of them.
///
/// # Errors
/// Only the database's.
pub async fn of_job(
    store: &Store,
    job: JobId,
    behind: Option<(Stamp, i64)>,
    at_most: i64,
) -> Result<Vec<Change>, Error> {
    let (at, id) = behind.unwrap_or((Stamp::from_millis(i64::MAX), i64::MAX));
    let kept = sqlx::query_as(OF_JOB)
        .bind(job)
        .bind(at)
        .bind(id)
        .bind(at_most)
        .fetch_all(store.readers())
        .await?;
    names::learn(store, kept).await
}

/// The changes of one record, and of its lines where it has some, the newest first, behind the row of one of them.
///
/// # Errors
/// Only the database's.
pub async fn of(
    store: &Store,
    subject: Subject,
    id: i64,
    behind: Option<i64>,
    at_most: i64,
) -> Result<Vec<Change>, Error> {
    let statement = match subject {
        Subject::Look => OF_LOOK,
        Subject::Stock => OF_STOCK,
        _ => OF_SUBJECT,
    };
    let kept = sqlx::query_as(statement)
        .bind(subject.word())
        .bind(id)
        .bind(behind.unwrap_or(i64::MAX))
        .bind(at_most)
        .fetch_all(store.readers())
        .await?;
    names::learn(store, kept).await
}

/// The changes of a job's lines of news, the newest first, behind the row of one of them.
///
/// # Errors
/// Only the database's.
pub async fn of_news(
    store: &Store,
    job: JobId,
    behind: Option<i64>,
    at_most: i64,
) -> Result<Vec<Change>, Error> {
    let kept = sqlx::query_as(OF_NEWS)
        .bind(job)
        .bind(behind.unwrap_or(i64::MAX))
        .bind(at_most)
        .fetch_all(store.readers())
        .await?;
    names::learn(store, kept).await
}
