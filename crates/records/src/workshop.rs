//! The workshop's own settings.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const FIND: &str = "select name, owner, pass_phrase is not null as has_pass_phrase, is_example, made_at from workshop where id = 1";
const SET: &str =
    "insert into workshop (id, name, owner, is_example, made_at) values (1, ?1, ?2, ?3, ?4)
    on conflict (id) do update set name = excluded.name, owner = excluded.owner";
const PASS_PHRASE: &str = "select pass_phrase from workshop where id = 1";
const SET_PASS_PHRASE: &str = "update workshop set pass_phrase = ?1 where id = 1";
const MONEY: &str = "select currency, hourly_pence, tax_hundredths from workshop where id = 1";
const SET_MONEY: &str =
    "update workshop set currency = ?1, hourly_pence = ?2, tax_hundredths = ?3 where id = 1";
const BENCH_DAYS: &str = "select news_days, promise_days from workshop where id = 1";
const SET_BENCH_DAYS: &str = "update workshop set news_days = ?1, promise_days = ?2 where id = 1";
const IS_SET_UP: &str = "select exists (select 1 from workshop where id = 1)";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("workshop::FIND", FIND),
    ("workshop::SET", SET),
    ("workshop::PASS_PHRASE", PASS_PHRASE),
    ("workshop::SET_PASS_PHRASE", SET_PASS_PHRASE),
    ("workshop::MONEY", MONEY),
    ("workshop::SET_MONEY", SET_MONEY),
    ("workshop::BENCH_DAYS", BENCH_DAYS),
    ("workshop::SET_BENCH_DAYS", SET_BENCH_DAYS),
    ("workshop::IS_SET_UP", IS_SET_UP),
];

/// The workshop.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Workshop {
    /// Its name.
    pub name: String,
    /// Whose it is: the name that sittings and changes are kept under.
    pub owner: String,
    /// Whether a pass phrase is set.
    pub has_pass_phrase: bool,
    /// Whether it is the invented example.
    pub is_example: bool,
    /// When it was set up.
    pub made_at: Stamp,
}

/// The workshop, or none in a new folder.
///
/// # Errors
/// Only the database's.
pub async fn find(store: &Store) -> Result<Option<Workshop>, Error> {
    Ok(sqlx::query_as(FIND).fetch_optional(store.readers()).await?)
}

/// Sets the workshop up, or changes its name and owner.
///
/// # Errors
/// [`Error::Rule`] when a name is empty.
pub async fn set(w: &mut Write, name: &str, owner: &str, is_example: bool) -> Result<(), Error> {
    let now = w.now();
    let known: bool = sqlx::query_scalar(IS_SET_UP).fetch_one(w.conn()).await?;
    let before = if known {
        Some(change::before(w, Subject::Workshop, 1).await?)
    } else {
        None
    };
    sqlx::query(SET)
        .bind(name)
        .bind(owner)
        .bind(is_example)
        .bind(now)
        .execute(w.conn())
        .await?;
    match before {
        Some(before) => before.changed(w).await,
        None => change::made(w, Subject::Workshop, 1).await,
    }
}

/// The hash of the pass phrase, as its library writes it; none while none is set.
///
/// # Errors
/// Only the database's.
pub async fn pass_phrase(store: &Store) -> Result<Option<String>, Error> {
    let hash: Option<Option<String>> = sqlx::query_scalar(PASS_PHRASE)
        .fetch_optional(store.readers())
        .await?;
    Ok(hash.flatten())
}

/// Sets the hash of the pass phrase and ends every session: the old phrase opens nothing any more.
///
/// # Errors
/// Only the database's.
pub async fn set_pass_phrase(w: &mut Write, hash: &str) -> Result<(), Error> {
    renew_pass_phrase(w, hash).await?;
    crate::sessions::end_all(w).await
}

/// Sets another hash of the same pass phrase: who has come in stays in.
///
/// # Errors
/// Only the database's.
pub async fn renew_pass_phrase(w: &mut Write, hash: &str) -> Result<(), Error> {
    sqlx::query(SET_PASS_PHRASE)
        .bind(hash)
        .execute(w.conn())
        .await?;
    Ok(())
}

/// How the workshop writes sums and what its hour costs.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct MoneyRules {
    /// The sign before a sum.
    pub currency: String,
    /// What an hour at the bench costs the customer, if that was said.
    pub hourly_pence: Option<i64>,
    /// Tax that is within every sum, in hundredths of a percent; none is spoken of without it.
    pub tax_hundredths: Option<i64>,
}

impl Default for MoneyRules {
    fn default() -> Self {
        Self {
            currency: "£".to_owned(),
            hourly_pence: None,
            tax_hundredths: None,
        }
    }
}

/// How the workshop writes sums; the usual way in a new folder.
///
/// # Errors
/// Only the database's.
pub async fn money(store: &Store) -> Result<MoneyRules, Error> {
    let found = sqlx::query_as(MONEY)
        .fetch_optional(store.readers())
        .await?;
    Ok(found.unwrap_or_default())
}

/// Sets how the workshop writes sums.
///
/// # Errors
/// [`Error::Rule`] when a rule of the store forbids it.
pub async fn set_money(w: &mut Write, rules: &MoneyRules) -> Result<(), Error> {
    let before = change::before(w, Subject::Workshop, 1).await?;
    sqlx::query(SET_MONEY)
        .bind(&rules.currency)
        .bind(rules.hourly_pence)
        .bind(rules.tax_hundredths)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// When something that is owed to a customer stands on the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct BenchDays {
    /// After how many days without news.
    pub news_days: i64,
    /// How many days before the day that was promised.
    pub promise_days: i64,
}

impl Default for BenchDays {
    fn default() -> Self {
        Self {
            news_days: 14,
            promise_days: 7,
        }
    }
}

/// When something that is owed stands on the bench.
///
/// # Errors
/// Only the database's.
pub async fn bench_days(store: &Store) -> Result<BenchDays, Error> {
    let found = sqlx::query_as(BENCH_DAYS)
        .fetch_optional(store.readers())
        .await?;
    Ok(found.unwrap_or_default())
}

/// Sets when something that is owed stands on the bench.
///
/// # Errors
/// [`Error::Rule`] when a figure cannot be.
pub async fn set_bench_days(w: &mut Write, days: BenchDays) -> Result<(), Error> {
    let before = change::before(w, Subject::Workshop, 1).await?;
    sqlx::query(SET_BENCH_DAYS)
        .bind(days.news_days)
        .bind(days.promise_days)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}
