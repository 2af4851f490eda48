//! Deposits and payments, each on its day; what a job was paid is their sum.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{JobId, PaymentId};
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

const FIND: &str = "select * from payment where id = ?1";
const OF_JOB: &str = "select * from payment where job_id = ?1 order by on_day, id";
const MAKE: &str = "insert into payment (job_id, on_day, what, pence, how, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6) returning id";
const CHANGE: &str =
    "update payment set on_day = ?2, what = ?3, pence = ?4, how = ?5 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("payments::FIND", FIND),
    ("payments::OF_JOB", OF_JOB),
    ("payments::MAKE", MAKE),
    ("payments::CHANGE", CHANGE),
];

/// What a payment can be.
pub const KINDS: [&str; 3] = ["deposit", "payment", "paid back"];

/// A payment as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Payment {
    /// Its row.
    pub id: PaymentId,
    /// The job.
    pub job_id: JobId,
    /// The day.
    pub on_day: Day,
    /// One of [`KINDS`].
    pub what: String,
    /// How much, always more than nothing.
    pub pence: i64,
    /// How it came: in notes, by transfer …
    pub how: String,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

impl Payment {
    /// What it adds to what was paid: less than nothing where it was paid back.
    #[must_use]
    pub fn adds_pence(&self) -> i64 {
        if self.what == "paid back" {
            -self.pence
        } else {
            self.pence
        }
    }
}

/// A payment as written on the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPayment {
    /// The day.
    pub on_day: Day,
    /// One of [`KINDS`].
    pub what: String,
    /// How much.
    pub pence: i64,
    /// How it came.
    pub how: String,
}

/// One payment.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: PaymentId) -> Result<Payment, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("payment"))
}

/// The payments of a job by their days, withdrawn ones too.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<Payment>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Writes a payment down.
///
/// # Errors
/// [`Error::Refused`] when more would be paid back than was paid; [`Error::Rule`] for a sum of nothing.
pub async fn make(w: &mut Write, job: JobId, new: &NewPayment) -> Result<PaymentId, Error> {
    let now = w.now();
    let id: PaymentId = sqlx::query_scalar(MAKE)
        .bind(job)
        .bind(&new.on_day)
        .bind(&new.what)
        .bind(new.pence)
        .bind(&new.how)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Payment, id.get()).await?;
    Ok(id)
}

/// Changes a payment.
///
/// # Errors
/// As [`make`].
pub async fn change(w: &mut Write, id: PaymentId, new: &NewPayment) -> Result<(), Error> {
    let before = change::before(w, Subject::Payment, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.on_day)
        .bind(&new.what)
        .bind(new.pence)
        .bind(&new.how)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
