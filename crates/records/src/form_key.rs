//! A key a form: the same form sent twice is one row.

use sqlx::SqliteExecutor;

use crate::error::Error;
use crate::store::Store;
use crate::writer::Write;

const FIND: &str = "select sent_sha256, went_to from form_key where key = ?1";
const KEEP: &str = "insert into form_key (key, sent_sha256, went_to, at) values (?1, ?2, ?3, ?4)";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] =
    &[("form_key::FIND", FIND), ("form_key::KEEP", KEEP)];

/// What was sent under this key, by its hash, and where it led.
async fn find(from: impl SqliteExecutor<'_>, key: &str) -> Result<Option<(String, String)>, Error> {
    let found = sqlx::query_as(FIND).bind(key).fetch_optional(from);
    Ok(found.await?)
}

/// Where this form led the first time, if it came before.
pub(crate) async fn answered(
    w: &mut Write,
    key: &str,
    hash: &str,
) -> Result<Option<String>, Error> {
    match find(&mut *w.conn(), key).await? {
        Some((sent, went_to)) if sent == hash => Ok(Some(went_to)),
        Some(_) => Err(Error::KeyReused),
        None => Ok(None),
    }
}

/// Was a form with one of these keys kept? For what is sent again under a key of its own, because its bytes are others now.
pub async fn was_kept(w: &mut Write, keys: &[String]) -> Result<bool, Error> {
    for key in keys {
        if find(&mut *w.conn(), key).await?.is_some() {
            return Ok(true);
        }
    }
    Ok(false)
}

/// Keeps where this form led.
pub(crate) async fn keep(w: &mut Write, key: &str, hash: &str, went_to: &str) -> Result<(), Error> {
    let at = w.now();
    sqlx::query(KEEP)
        .bind(key)
        .bind(hash)
        .bind(went_to)
        .bind(at)
        .execute(w.conn())
        .await?;
    Ok(())
}

/// Whether a form with this key was saved already.
pub(crate) async fn known(store: &Store, key: &str) -> Result<bool, Error> {
    Ok(find(store.readers(), key).await?.is_some())
}
