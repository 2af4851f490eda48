//! The data folder: opened, locked, brought up to date, and closed in the right order.

use std::fs::{File, TryLockError};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use sqlx::migrate::Migrator;
use sqlx::{Connection, SqliteConnection, SqlitePool};

use crate::error::Error;
use crate::writer::{Saving, Work, Write, Writer};
use crate::{backup, connect, form_key};

pub(crate) static MIGRATOR: Migrator = sqlx::migrate!("../../migrations");
const FILE: &str = "gaugeglass.sqlite";
const LOCK: &str = "gaugeglass.lock";
const NEWEST: &str = "select coalesce(max(version), 0), count(*) from _sqlx_migrations";
const HAS_HISTORY: &str = "select count(*) from sqlite_master where name = '_sqlx_migrations'";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("store::NEWEST", NEWEST),
    ("store::HAS_HISTORY", HAS_HISTORY),
];

/// The workshop's data, open: one writer, a few readers.
#[derive(Clone, Debug)]
pub struct Store(Arc<Inner>);

#[derive(Debug)]
struct Inner {
    folder: PathBuf,
    writer: Writer,
    readers: SqlitePool,
    // Held as long as the store lives.
    _lock: File,
}

impl Store {
    /// Opens a data folder, makes it if there is none, and brings it up to date (after a backup).
    ///
    /// # Errors
    /// [`Error::Locked`], [`Error::Newer`], [`Error::OldSqlite`], [`Error::Damaged`], or whatever the disk says.
    pub async fn open(folder: &Path) -> Result<Self, Error> {
        // From here on this run of the program is told from any other.
        let _ = crate::time::booted();
        std::fs::create_dir_all(folder).map_err(|e| {
            Error::Folder(format!(
                "the data folder {} cannot be made: {e}",
                folder.display()
            ))
        })?;
        let lock = lock(folder)?;
        let file = folder.join(FILE);
        let known = newest_known();
        let is_new = !file.exists();
        if !is_new {
            let (found, how_many) = version(&file).await?;
            if found > known {
                return Err(Error::Newer { found, known });
            }
            // Whatever number it has: a change can be pending under one that is lower than the newest.
            if how_many < MIGRATOR.iter().count() {
                backup::book(folder, &folder.join("backups")).await?;
            }
        }
        crate::pictures::shelf::clear_unfinished(folder);
        let mut conn = connect::writer(&file).await?;
        MIGRATOR
            .run(&mut conn)
            .await
            .map_err(|e| Error::Damaged(format!("bringing the data up to date failed: {e}")))?;
        connect::foreign_key_check(&mut conn).await?;
        if is_new {
            sync_folder(folder)?;
        }
        let writer = Writer::start(conn, file.clone());
        let readers = connect::readers(&file).await?;
        if !is_new {
            // A change of the book may have asked for something to be reckoned anew.
            writer.write("", |_| Box::pin(async { Ok(()) })).await?;
        }
        tracing::info!(folder = %folder.display(), "journal_mode=wal synchronous=2 foreign_keys=1");
        Ok(Self(Arc::new(Inner {
            folder: folder.to_owned(),
            writer,
            readers,
            _lock: lock,
        })))
    }

    /// The data folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.0.folder
    }

    pub(crate) fn readers(&self) -> &SqlitePool {
        &self.0.readers
    }

    /// Whether what is entered is being kept.
    #[must_use]
    pub fn saving(&self) -> Saving {
        self.0.writer.saving()
    }

    /// Does work in one transaction under a name; answers after the commit is on the disk.
    ///
    /// # Errors
    /// What the work says, or [`Error::NotSaving`] and [`Error::Busy`].
    pub async fn write<T, F>(&self, by: &str, work: F) -> Result<T, Error>
    where
        T: Send + 'static,
        F: for<'t> FnOnce(&'t mut Write) -> Work<'t, T> + Send + 'static,
    {
        self.0.writer.write(by, work).await
    }

    /// Does the work of a form once: the same key with the same content gives the first answer again.
    /// The work answers with the address to go to.
    ///
    /// # Errors
    /// [`Error::KeyReused`] when the key comes with other content; otherwise as [`Store::write`].
    pub async fn once<F>(&self, by: &str, key: &str, sent: &[u8], work: F) -> Result<String, Error>
    where
        F: for<'t> FnOnce(&'t mut Write) -> Work<'t, String> + Send + 'static,
    {
        let (key, hash) = (key.to_owned(), crate::hash::sha256(sent));
        self.write(by, move |w| {
            Box::pin(async move {
                if let Some(went_to) = form_key::answered(w, &key, &hash).await? {
                    return Ok(went_to);
                }
                let went_to = work(w).await?;
                form_key::keep(w, &key, &hash, &went_to).await?;
                Ok(went_to)
            })
        })
        .await
    }

    /// Whether a form with this key was saved already.
    ///
    /// # Errors
    /// Only the database's.
    pub async fn knows_key(&self, key: &str) -> Result<bool, Error> {
        form_key::known(self, key).await
    }

    /// Tries at once whether saving works again: a fresh connection, checked, that keeps a row.
    ///
    /// # Errors
    /// [`Error::NotSaving`] with the reason, while it does not.
    pub async fn try_saving(&self) -> Result<(), Error> {
        self.write("", |_| Box::pin(async { Ok(()) })).await
    }

    /// Closes readers first, then the writer, so that nothing is left beside the file.
    pub async fn close(&self) {
        self.0.readers.close().await;
        self.0.writer.close().await;
    }
}

/// The database file of a data folder.
#[must_use]
pub fn file_of(folder: &Path) -> PathBuf {
    folder.join(FILE)
}

fn lock(folder: &Path) -> Result<File, Error> {
    let path = folder.join(LOCK);
    let file = File::options()
        .create(true)
        .truncate(false)
        .write(true)
        .open(&path)
        .map_err(|e| Error::Folder(format!("{} cannot be written: {e}", path.display())))?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(Error::Locked(folder.to_owned())),
        Err(TryLockError::Error(e)) => Err(Error::Folder(format!(
            "{} cannot be locked: {e}",
            path.display()
        ))),
    }
}

fn newest_known() -> i64 {
    MIGRATOR.iter().map(|m| m.version).max().unwrap_or(0)
}

/// The newest migration in a file and how many there are, read without writing a byte of it.
async fn version(file: &Path) -> Result<(i64, usize), Error> {
    let mut conn = connect::looker(file).await?;
    let version = version_of(&mut conn).await;
    drop(conn.close().await);
    version
}

async fn version_of(conn: &mut SqliteConnection) -> Result<(i64, usize), Error> {
    if sqlx::query_scalar::<_, i64>(HAS_HISTORY)
        .fetch_one(&mut *conn)
        .await?
        == 0
    {
        return Ok((0, 0));
    }
    let (newest, count): (i64, i64) = sqlx::query_as(NEWEST).fetch_one(conn).await?;
    Ok((newest, usize::try_from(count).unwrap_or(0)))
}

/// A new file's name is on the disk only when its folder is.
pub(crate) fn sync_folder(folder: &Path) -> Result<(), Error> {
    File::open(folder).and_then(|f| f.sync_all())?;
    Ok(())
}
