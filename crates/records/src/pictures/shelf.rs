//! The folder `pictures` beside the database: each file named by the SHA-256 of what is in it.

use std::io::Write as _;
use std::path::{Path, PathBuf};

use crate::error::Error;
use crate::hash::{fresh_key, sha256};
use crate::store::sync_folder;

/// The folder of the pictures.
pub(crate) const FOLDER: &str = "pictures";
/// Where files lie while they come in, inside [`FOLDER`].
const COMING_IN: &str = "coming-in";

/// What reading a file of the shelf again found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Found {
    /// It is what its name says.
    AsKept,
    /// It is not there.
    Missing,
    /// It is not what its name says.
    Altered,
}

/// Where a file lies: two digits of its hash make its folder.
pub(crate) fn path_of(shelf: &Path, hash: &str) -> PathBuf {
    shelf
        .join(hash.get(..2).unwrap_or("00"))
        .join(format!("{hash}.jpg"))
}

/// Puts bytes on the shelf; after this they are on the disk under their hash. What is there already stays.
pub(crate) fn put(shelf: &Path, bytes: &[u8]) -> Result<String, Error> {
    let hash = sha256(bytes);
    let target = path_of(shelf, &hash);
    if look(shelf, &hash)? == Found::AsKept {
        return Ok(hash);
    }
    let folder = target.parent().unwrap_or(shelf);
    let is_new = !folder.exists();
    std::fs::create_dir_all(folder).map_err(full)?;
    let working = folder.join(format!("{}.unfinished", fresh_key()));
    let written = write_through(&working, bytes).and_then(|()| std::fs::rename(&working, &target));
    if let Err(error) = written {
        let _ = std::fs::remove_file(&working);
        return Err(full(error));
    }
    sync_folder(folder)?;
    if is_new {
        sync_folder(shelf)?;
        shelf.parent().map_or(Ok(()), sync_folder)?;
    }
    Ok(hash)
}

fn write_through(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = std::fs::File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

fn full(error: std::io::Error) -> Error {
    if error.kind() == std::io::ErrorKind::StorageFull {
        Error::NotSaving("the disk is full, so the picture could not be kept".to_owned())
    } else {
        Error::from(error)
    }
}

/// Reads a file of the shelf again.
pub(crate) fn look(shelf: &Path, hash: &str) -> Result<Found, Error> {
    match std::fs::read(path_of(shelf, hash)) {
        Ok(bytes) if sha256(&bytes) == hash => Ok(Found::AsKept),
        Ok(_) => Ok(Found::Altered),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(Found::Missing),
        Err(e) => Err(e.into()),
    }
}

/// Copies a file from the first of some shelves that holds it whole. Says what it found on none.
pub(crate) fn copy(from: &[PathBuf], to: &Path, hash: &str) -> Result<Found, Error> {
    if look(to, hash)? == Found::AsKept {
        return Ok(Found::AsKept);
    }
    let mut worst = Found::Missing;
    for shelf in from {
        match look(shelf, hash)? {
            Found::AsKept => {
                let bytes = std::fs::read(path_of(shelf, hash))?;
                // Between two readings it may have changed: it is put under the hash of what was read.
                return Ok(if put(to, &bytes)? == hash {
                    look(to, hash)?
                } else {
                    Found::Altered
                });
            }
            Found::Altered => worst = Found::Altered,
            Found::Missing => {}
        }
    }
    Ok(worst)
}

/// A file to write an upload into; it is gone when this is dropped.
#[derive(Debug)]
pub struct ComingIn(PathBuf);

impl ComingIn {
    /// A place for one upload in a data folder. Its name is ours, never the sender's.
    ///
    /// # Errors
    /// Whatever the disk says.
    pub fn new(folder: &Path) -> Result<Self, Error> {
        let waiting = folder.join(FOLDER).join(COMING_IN);
        std::fs::create_dir_all(&waiting).map_err(full)?;
        Ok(Self(waiting.join(fresh_key())))
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for ComingIn {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

/// Throws away what came in and was never finished, when a folder is opened.
pub(crate) fn clear_unfinished(folder: &Path) {
    let _ = std::fs::remove_dir_all(folder.join(FOLDER).join(COMING_IN));
}
