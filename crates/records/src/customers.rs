//! Customers, and how to reach them.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::CustomerId;
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::variations;
use crate::writer::Write;

const FIND: &str = "select * from customer where id = ?1";
const LIST: &str = "select p.* from customer p where p.withdrawn_at is null
    and p.name collate nocase >= ?1 and (p.name collate nocase > ?1 or p.id > ?2)
    order by p.name collate nocase, p.id limit ?3";
const NEWEST: &str = "select p.* from customer p where p.withdrawn_at is null and p.id <= ?1 order by p.id desc limit ?2";
const MAKE: &str =
    "insert into customer (name, reach, note, made_at, pictures_agreed_on, pictures_agreed_how, telephone, email, letter, prefers)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10) returning id";
const CHANGE: &str = "update customer set name = ?2, reach = ?3, note = ?4, pictures_agreed_on = ?5, pictures_agreed_how = ?6,
    telephone = ?7, email = ?8, letter = ?9, prefers = ?10 where id = ?1";
const ERASE: &str = "update customer set name = 'erased', telephone = '', email = '', letter = '', reach = '', prefers = '', note = '', pictures_agreed_how = '',
    erased_at = ?2 where id = ?1";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("customers::FIND", FIND),
    ("customers::LIST", LIST),
    ("customers::NEWEST", NEWEST),
    ("customers::MAKE", MAKE),
    ("customers::CHANGE", CHANGE),
    ("customers::ERASE", ERASE),
];

/// The kinds of ways to reach somebody.
pub const WAYS: [&str; 4] = ["telephone", "e-mail", "letter", "other"];

/// How somebody can be reached: of each kind one a line, a letter at one address.
#[derive(
    Clone, Debug, Default, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize,
)]
pub struct Ways {
    /// Numbers.
    pub telephone: String,
    /// E-mail addresses.
    pub email: String,
    /// Where a letter goes.
    pub letter: String,
    /// Any other way.
    #[sqlx(rename = "reach")]
    #[serde(rename = "reach")]
    pub other: String,
    /// Which kind comes first, one of [`WAYS`]; empty where it does not matter.
    pub prefers: String,
}

/// One way to reach somebody.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// One of [`WAYS`].
    pub kind: &'static str,
    /// The number, or the address.
    pub words: String,
    /// Whether it comes first.
    pub first: bool,
}

impl Ways {
    /// What is written of a kind.
    #[must_use]
    pub fn of(&self, kind: &str) -> &str {
        match kind {
            "telephone" => &self.telephone,
            "e-mail" => &self.email,
            "letter" => &self.letter,
            _ => &self.other,
        }
    }

    /// Every way, the preferred kind first.
    #[must_use]
    pub fn all(&self) -> Vec<Way> {
        let mut all = Vec::new();
        for kind in WAYS {
            let first = kind == self.prefers;
            let lines = self.of(kind).lines().map(str::trim);
            let lines: Vec<&str> = lines.filter(|l| !l.is_empty()).collect();
            if kind == "letter" && !lines.is_empty() {
                let words = lines.join(", ");
                all.push(Way { kind, words, first });
                continue;
            }
            all.extend(lines.into_iter().map(|line| Way {
                kind,
                words: line.to_owned(),
                first,
            }));
        }
        all.sort_by_key(|way| !way.first);
        all
    }
}

/// A customer as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Customer {
    /// Its row.
    pub id: CustomerId,
    /// Name.
    pub name: String,
    /// Ways to reach them.
    #[sqlx(flatten)]
    #[serde(flatten)]
    pub ways: Ways,
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
    /// Ways to reach them.
    pub ways: Ways,
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

/// How many stand in a list to choose from.
const CHOICES: i64 = 300;

/// The customers that are not withdrawn, by name, from behind the one that was shown last.
///
/// # Errors
/// Only the database's.
pub async fn list(
    store: &Store,
    after: Option<(&str, CustomerId)>,
    at_most: i64,
) -> Result<Vec<Customer>, Error> {
    let (name, id) = after.map_or(("", 0), |(name, id)| (name, id.get()));
    Ok(sqlx::query_as(LIST)
        .bind(name)
        .bind(id)
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// The customers to choose from, by name: the newest, and the one that is chosen already.
///
/// # Errors
/// Only the database's.
pub async fn choices(store: &Store, chosen: Option<CustomerId>) -> Result<Vec<Customer>, Error> {
    let mut some: Vec<Customer> = sqlx::query_as(NEWEST)
        .bind(i64::MAX)
        .bind(CHOICES)
        .fetch_all(store.readers())
        .await?;
    if let Some(chosen) = chosen.filter(|c| !some.iter().any(|s| s.id == *c)) {
        some.extend(
            sqlx::query_as::<_, Customer>(FIND)
                .bind(chosen)
                .fetch_optional(store.readers())
                .await?,
        );
    }
    some.sort_by_cached_key(|s| s.name.to_lowercase());
    Ok(some)
}

/// Writes a customer down.
///
/// # Errors
/// [`Error::Rule`] when the name is empty.
pub async fn make(w: &mut Write, new: &NewCustomer) -> Result<CustomerId, Error> {
    let now = w.now();
    let id: CustomerId = sqlx::query_scalar(MAKE)
        .bind(&new.name)
        .bind(&new.ways.other)
        .bind(&new.note)
        .bind(now)
        .bind(&new.pictures_agreed_on)
        .bind(&new.pictures_agreed_how)
        .bind(&new.ways.telephone)
        .bind(&new.ways.email)
        .bind(&new.ways.letter)
        .bind(&new.ways.prefers)
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
        .bind(&new.ways.other)
        .bind(&new.note)
        .bind(&new.pictures_agreed_on)
        .bind(&new.pictures_agreed_how)
        .bind(&new.ways.telephone)
        .bind(&new.ways.email)
        .bind(&new.ways.letter)
        .bind(&new.ways.prefers)
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
