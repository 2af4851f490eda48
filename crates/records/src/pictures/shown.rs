//! Pictures for the customer's page: ticked one by one, in words meant for them, and only once they agreed.

use std::path::PathBuf;

use crate::error::Error;
use crate::ids::{JobId, PictureId};
use crate::store::Store;
use crate::writer::Write;

const CHOSEN: &str = "select s.picture_id, s.words from published_picture s join picture p on p.id = s.picture_id where p.job_id = ?1";
const CLEAR: &str =
    "delete from published_picture where picture_id in (select id from picture where job_id = ?1)";
const SHOW: &str = "insert into published_picture (picture_id, words) select id, ?3 from picture where id = ?1 and job_id = ?2";
const AGREED: &str = "select c.pictures_agreed_on is not null from job j join plant l on l.id = j.plant_id join customer c on c.id = l.customer_id where j.id = ?1";
// The customer's page reads by these alone, and both ask for the customer's word.
const PAGE: &str = "select s.words, p.page_sha256, p.small_sha256, p.small_width, p.small_height
    from published_picture s join picture p on p.id = s.picture_id join job j on j.id = p.job_id
    join plant l on l.id = j.plant_id join customer c on c.id = l.customer_id
    where p.job_id = ?1 and p.withdrawn_at is null and c.pictures_agreed_on is not null order by p.id";
const FILE: &str = "select exists (select 1 from published_picture s join picture p on p.id = s.picture_id join job j on j.id = p.job_id
    join plant l on l.id = j.plant_id join customer c on c.id = l.customer_id
    where p.job_id = ?1 and ?2 in (p.page_sha256, p.small_sha256) and p.withdrawn_at is null and c.pictures_agreed_on is not null)";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("pictures::shown::CHOSEN", CHOSEN),
    ("pictures::shown::CLEAR", CLEAR),
    ("pictures::shown::SHOW", SHOW),
    ("pictures::shown::AGREED", AGREED),
    ("pictures::shown::PAGE", PAGE),
    ("pictures::shown::FILE", FILE),
];

/// A picture on the customer's page.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct PagePicture {
    /// Words meant for the customer.
    pub words: String,
    /// SHA-256 of the one for a page of its own.
    pub page_sha256: String,
    /// SHA-256 of the small one.
    pub small_sha256: String,
    /// Pixels across, small.
    pub small_width: i64,
    /// Pixels down, small.
    pub small_height: i64,
}

/// Which pictures of a job are ticked, each with its words.
///
/// # Errors
/// Only the database's.
pub async fn chosen(store: &Store, job: JobId) -> Result<Vec<(PictureId, String)>, Error> {
    Ok(sqlx::query_as(CHOSEN)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Whether the customer of a job agreed that pictures are put up.
///
/// # Errors
/// Only the database's.
pub async fn agreed(store: &Store, job: JobId) -> Result<bool, Error> {
    Ok(sqlx::query_scalar(AGREED)
        .bind(job)
        .fetch_optional(store.readers())
        .await?
        .unwrap_or(false))
}

/// Ticks these pictures of a job and no other.
pub(crate) async fn choose(
    w: &mut Write,
    job: JobId,
    pictures: &[(PictureId, String)],
) -> Result<(), Error> {
    sqlx::query(CLEAR).bind(job).execute(w.conn()).await?;
    for (id, words) in pictures {
        sqlx::query(SHOW)
            .bind(id)
            .bind(job)
            .bind(words)
            .execute(w.conn())
            .await?;
    }
    Ok(())
}

/// The pictures on the customer's page of a job.
pub(crate) async fn on_page(store: &Store, job: JobId) -> Result<Vec<PagePicture>, Error> {
    Ok(sqlx::query_as(PAGE)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Where the file with a hash lies, if it is on the customer's page of this job now.
///
/// # Errors
/// [`Error::Missing`] for every other hash, other pictures of the same workshop too.
pub async fn file(store: &Store, job: JobId, hash: &str) -> Result<PathBuf, Error> {
    let shown: bool = sqlx::query_scalar(FILE)
        .bind(job)
        .bind(hash)
        .fetch_one(store.readers())
        .await?;
    if shown {
        Ok(super::path_of(store, hash))
    } else {
        Err(Error::Missing("picture"))
    }
}
