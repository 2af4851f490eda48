//! Variations: extra work the customer must agree.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{CustomerId, JobId, VariationId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const FIND: &str = "select * from variation where id = ?1";
const OF_JOB: &str = "select * from variation where job_id = ?1 order by serial";
const NEXT_SERIAL: &str = "select coalesce(max(serial), 0) + 1 from variation where job_id = ?1";
const MAKE: &str =
    "insert into variation (job_id, serial, what, reason, if_not, price_pence, asked_at, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) returning id";
const CHANGE: &str = "update variation set what = ?2, reason = ?3, if_not = ?4, price_pence = ?5, asked_at = ?6 where id = ?1 and answer is null";
const ANSWER: &str = "update variation set answer = ?2, answered_at = ?3, answered_by = ?4, answered_how = ?5 where id = ?1";
const ANSWER_ON_PAGE: &str = "update variation set answer = ?3, answered_at = ?4, answered_by = ?5, answered_how = 'on the progress page', answered_on_page = 1
    where job_id = ?1 and serial = ?2 and answer is null and withdrawn_at is null
    and exists (select 1 from published_variation p where p.variation_id = variation.id) returning id";
const ON_PAGE: &str =
    "select v.id from variation v join published_variation p on p.variation_id = v.id
    where v.job_id = ?1 and v.serial = ?2 and v.withdrawn_at is null";
const ERASE_NAMES: &str = "update variation set answered_by = '' where answered_by <> ''
    and job_id in (select j.id from job j join plant p on p.id = j.plant_id where p.customer_id = ?1)";
const ERASE_CHANGES: &str = "update change set what = 'erased', before = null, after = null where subject = 'variation'
    and (coalesce(json_extract(after, '$.answered_by'), '') <> '' or coalesce(json_extract(before, '$.answered_by'), '') <> '')
    and job_id in (select j.id from job j join plant p on p.id = j.plant_id where p.customer_id = ?1)";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("variations::FIND", FIND),
    ("variations::OF_JOB", OF_JOB),
    ("variations::NEXT_SERIAL", NEXT_SERIAL),
    ("variations::MAKE", MAKE),
    ("variations::CHANGE", CHANGE),
    ("variations::ANSWER", ANSWER),
    ("variations::ANSWER_ON_PAGE", ANSWER_ON_PAGE),
    ("variations::ON_PAGE", ON_PAGE),
    ("variations::ERASE_NAMES", ERASE_NAMES),
    ("variations::ERASE_CHANGES", ERASE_CHANGES),
];

/// A variation as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Variation {
    /// Its row.
    pub id: VariationId,
    /// The job.
    pub job_id: JobId,
    /// Which variation of the job.
    pub serial: i64,
    /// The extra work.
    pub what: String,
    /// Why.
    pub reason: String,
    /// What happens if the customer says no.
    pub if_not: String,
    /// What it costs.
    pub price_pence: i64,
    /// When the customer was asked.
    pub asked_at: Option<Stamp>,
    /// `agreed` or `declined`.
    pub answer: Option<String>,
    /// When.
    pub answered_at: Option<Stamp>,
    /// Who gave the answer.
    pub answered_by: String,
    /// How it came.
    pub answered_how: String,
    /// Whether the customer gave it on the progress page themselves.
    pub answered_on_page: bool,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// A variation as written on the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewVariation {
    /// The extra work.
    pub what: String,
    /// Why.
    pub reason: String,
    /// What happens if the customer says no.
    pub if_not: String,
    /// What it costs.
    pub price_pence: i64,
    /// Whether the customer has been asked: from then on the job waits for the customer's word.
    pub asked: bool,
}

/// One variation.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: VariationId) -> Result<Variation, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("variation"))
}

/// The variations of a job, withdrawn ones too.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<Variation>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Writes a variation down.
///
/// # Errors
/// [`Error::Rule`] when price or words cannot be.
pub async fn make(w: &mut Write, job: JobId, new: &NewVariation) -> Result<VariationId, Error> {
    let now = w.now();
    let serial: i64 = sqlx::query_scalar(NEXT_SERIAL)
        .bind(job)
        .fetch_one(w.conn())
        .await?;
    let id: VariationId = sqlx::query_scalar(MAKE)
        .bind(job)
        .bind(serial)
        .bind(&new.what)
        .bind(&new.reason)
        .bind(&new.if_not)
        .bind(new.price_pence)
        .bind(new.asked.then_some(now))
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Variation, id.get()).await?;
    Ok(id)
}

/// Changes a variation that has no answer yet: what was agreed is not altered afterwards.
///
/// # Errors
/// [`Error::Refused`] once it has an answer.
pub async fn change(w: &mut Write, id: VariationId, new: &NewVariation) -> Result<(), Error> {
    let before = change::before(w, Subject::Variation, id.get()).await?;
    let now = w.now();
    let known: Variation = sqlx::query_as(FIND).bind(id).fetch_one(w.conn()).await?;
    let asked_at = new.asked.then(|| known.asked_at.unwrap_or(now));
    let done = sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.what)
        .bind(&new.reason)
        .bind(&new.if_not)
        .bind(new.price_pence)
        .bind(asked_at)
        .execute(w.conn())
        .await?;
    if done.rows_affected() == 0 {
        return Err(Error::Refused(
            "the customer has answered this; write another variation".to_owned(),
        ));
    }
    before.changed(w).await
}

/// A customer's answer, as it was given.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Answer {
    /// `agreed` or `declined`; none takes back what was written down by a slip of the hand.
    pub answer: Option<String>,
    /// Who gave it.
    pub by: String,
    /// How it came: by telephone, in a letter …
    pub how: String,
}

/// Writes down an answer that came another way than by the progress page, or takes one back.
///
/// # Errors
/// [`Error::Refused`] when it has the other answer already, or the customer gave it themselves;
/// [`Error::Rule`] for another word than `agreed` or `declined`.
pub async fn answer(w: &mut Write, id: VariationId, given: &Answer) -> Result<(), Error> {
    let before = change::before(w, Subject::Variation, id.get()).await?;
    let at = given.answer.as_ref().map(|_| w.now());
    sqlx::query(ANSWER)
        .bind(id)
        .bind(&given.answer)
        .bind(at)
        .bind(&given.by)
        .bind(&given.how)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// The customer's own answer to a variation that is on their page: given once.
///
/// # Errors
/// [`Error::Missing`] when no such variation is on the page; [`Error::Refused`] when it has been answered.
pub async fn answer_on_page(
    w: &mut Write,
    job: JobId,
    serial: i64,
    agreed: bool,
    by: &str,
) -> Result<(), Error> {
    let found: Option<VariationId> = sqlx::query_scalar(ON_PAGE)
        .bind(job)
        .bind(serial)
        .fetch_optional(w.conn())
        .await?;
    let id = found.ok_or(Error::Missing("question"))?;
    let before = change::before(w, Subject::Variation, id.get()).await?;
    let now = w.now();
    let done: Option<VariationId> = sqlx::query_scalar(ANSWER_ON_PAGE)
        .bind(job)
        .bind(serial)
        .bind(if agreed { "agreed" } else { "declined" })
        .bind(now)
        .bind(by)
        .fetch_optional(w.conn())
        .await?;
    if done.is_none() {
        return Err(Error::Refused("this has been answered already".to_owned()));
    }
    before.changed(w).await
}

/// Erases the names under a customer's answers, here and in what was kept of them; the answers stay.
pub(crate) async fn erase_names(w: &mut Write, customer: CustomerId) -> Result<(), Error> {
    for statement in [ERASE_CHANGES, ERASE_NAMES] {
        sqlx::query(statement)
            .bind(customer)
            .execute(w.conn())
            .await?;
    }
    Ok(())
}
