//! Customers, and how to reach them.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::CustomerId;
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::variations;
use crate::writer::Write;

const FIND: &str = "select * from customer where id = ?1";
const LIST: &str = "select * from customer where withdrawn_at is null order by name";
const MAKE: &str =
    "insert into customer (name, reach, note, made_at, pictures_agreed_on, pictures_agreed_how)
    values (?1, ?2, ?3, ?4, ?5, ?6) returning id";
const CHANGE: &str = "update customer set name = ?2, reach = ?3, note = ?4, pictures_agreed_on = ?5, pictures_agreed_how = ?6 where id = ?1";
const ERASE: &str = "update customer set name = 'erased', reach = '', note = '', pictures_agreed_how = '', erased_at = ?2 where id = ?1";
#[cfg(test)]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("customers::FIND", FIND),
    ("customers::LIST", LIST),
    ("customers::MAKE", MAKE),
    ("customers::CHANGE", CHANGE),
    ("customers::ERASE", ERASE),
];

/// A customer as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Customer {
    /// Its row.
    pub id: CustomerId,
    /// Name.
    pub name: String,
    /// Ways to reach them, one a line.
    pub reach: String,
    /// A private note.
    pub note: String,
    /// The day they agreed that pictures are put up for them; none while they have not.
    pub pictures_agreed_on: Option<Day>,
    /// How they said so.
    pub pictures_agreed_how: String,
    /// When they were written down.
    pub made_at: Stamp,
    /// When their particulars were erased.
    pub erased_at: Option<Stamp>,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// A customer as written on the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewCustomer {
    /// Name.
    pub name: String,
    /// Ways to reach them, one a line.
    pub reach: String,
    /// A private note.
    pub note: String,
    /// The day they agreed that pictures are put up for them.
    pub pictures_agreed_on: Option<Day>,
    /// How they said so.
    pub pictures_agreed_how: String,
}

/// One customer.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: CustomerId) -> Result<Customer, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("customer"))
}

/// All customers that are not withdrawn, by name.
///
/// # Errors
/// Only the database's.
pub async fn list(store: &Store) -> Result<Vec<Customer>, Error> {
    Ok(sqlx::query_as(LIST).fetch_all(store.readers()).await?)
}

/// Writes a customer down.
///
/// # Errors
/// [`Error::Rule`] when the name is empty.
pub async fn make(w: &mut Write, new: &NewCustomer) -> Result<CustomerId, Error> {
    let now = w.now();
    let id: CustomerId = sqlx::query_scalar(MAKE)
        .bind(&new.name)
        .bind(&new.reach)
        .bind(&new.note)
        .bind(now)
        .bind(&new.pictures_agreed_on)
        .bind(&new.pictures_agreed_how)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Customer, id.get()).await?;
    Ok(id)
}

/// Changes a customer.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: CustomerId, new: &NewCustomer) -> Result<(), Error> {
    let before = change::before(w, Subject::Customer, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(&new.name)
        .bind(&new.reach)
        .bind(&new.note)
        .bind(&new.pictures_agreed_on)
        .bind(&new.pictures_agreed_how)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Erases name, ways to reach, note and the name under each answer, here and in what was kept of earlier
/// changes. The jobs and the answers stay.
///
/// # Errors
/// [`Error::Missing`].
pub async fn erase(w: &mut Write, id: CustomerId) -> Result<(), Error> {
    change::before(w, Subject::Customer, id.get()).await?;
    let now = w.now();
    sqlx::query(ERASE)
        .bind(id)
        .bind(now)
        .execute(w.conn())
        .await?;
    variations::erase_names(w, id).await?;
    change::erase_customer(w, id.get()).await
}
