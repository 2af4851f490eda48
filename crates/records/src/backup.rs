//! A copy that was opened and checked, and its way back.
//!
//! The pictures of all backups in a folder lie beside them in one `pictures`, each once, by its content.

use std::path::{Path, PathBuf};

use sqlx::Connection;

use crate::connect;
use crate::error::Error;
use crate::hash::sha256;
use crate::log::verify;
use crate::pictures::check as pictures;
use crate::store::{file_of, sync_folder};
use crate::time::Stamp;

const INTO: &str = "vacuum into ?1";
const HEADS: &str =
    "select coalesce(group_concat(hash, ''), '') from entry where id = (select max(id) from entry)";
const COUNT: &str = "select (select count(*) from job) , (select count(*) from trial), (select count(*) from entry)";
const HAS_BOOK: &str = "select count(*) from sqlite_master where name in ('job', 'trial', 'entry')";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("backup::INTO", INTO),
    ("backup::HEADS", HEADS),
    ("backup::COUNT", COUNT),
    ("backup::HAS_BOOK", HAS_BOOK),
];

/// A copy that was made or put back, and what it holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Copy {
    /// Where it is.
    pub path: PathBuf,
    /// Jobs in it.
    pub jobs: i64,
    /// Trials in it.
    pub trials: i64,
    /// Entries in it.
    pub entries: i64,
    /// Pictures that were copied and read again.
    pub pictures: usize,
    /// Each picture that is missing or altered, by its name.
    pub faults: Vec<String>,
}

/// Makes a backup of a data folder into another folder, opens it and checks it; only then it has its name.
/// The name holds the day, the hour and the newest link of the log.
///
/// A picture that is missing or altered does not keep the book from being copied: it is named in [`Copy::faults`].
///
/// # Errors
/// Whatever the disk says; [`Error::Damaged`] when the copy does not check.
pub async fn make(folder: &Path, into: &Path) -> Result<Copy, Error> {
    let mut copy = book(folder, into).await?;
    let mut conn = connect::looker(&copy.path).await?;
    let shelves = vec![pictures::shelf_in(folder)];
    let looked = pictures::copy(&mut conn, shelves, into).await?;
    conn.close().await?;
    (copy.pictures, copy.faults) = (looked.pictures, looked.faults);
    Ok(copy)
}

/// The same of the book alone: what a change of the book needs, which no picture is touched by.
pub(crate) async fn book(folder: &Path, into: &Path) -> Result<Copy, Error> {
    let source = file_of(folder);
    if !source.exists() {
        return Err(Error::Folder(format!(
            "{} holds no gaugeglass data",
            folder.display()
        )));
    }
    std::fs::create_dir_all(into)?;
    let working = into.join(format!("unfinished-{}.sqlite", std::process::id()));
    remove_if_there(&working)?;
    let made = copy_and_check(&source, &working).await;
    if made.is_err() {
        remove_if_there(&working)?;
    }
    let (head, mut copy) = made?;
    let head = head.get(..12).unwrap_or("empty");
    let path = into.join(format!(
        "gaugeglass-{}-{head}.sqlite",
        Stamp::now().file_name()
    ));
    std::fs::File::open(&working)?.sync_all()?;
    std::fs::rename(&working, &path)?;
    sync_folder(into)?;
    copy.path = path;
    Ok(copy)
}

async fn copy_and_check(source: &Path, working: &Path) -> Result<(String, Copy), Error> {
    let target = working
        .to_str()
        .ok_or_else(|| Error::Folder("the backup's path cannot be written as text".to_owned()))?;
    let mut conn = connect::copier(source).await?;
    sqlx::query(INTO).bind(target).execute(&mut conn).await?;
    conn.close().await?;
    check(working).await
}

/// Opens a copy, checks pages, references and chains, and counts its rows.
async fn check(file: &Path) -> Result<(String, Copy), Error> {
    let mut conn = connect::looker(file).await?;
    connect::integrity_check(&mut conn).await?;
    connect::foreign_key_check(&mut conn).await?;
    let (mut head, mut counts) = (String::new(), (0, 0, 0));
    if sqlx::query_scalar::<_, i64>(HAS_BOOK)
        .fetch_one(&mut conn)
        .await?
        == 3
    {
        let report = verify::every_chain(&mut conn, None).await?;
        if let Some(first) = report.faults.first() {
            return Err(Error::Damaged(first.clone()));
        }
        head = sqlx::query_scalar(HEADS).fetch_one(&mut conn).await?;
        counts = sqlx::query_as(COUNT).fetch_one(&mut conn).await?;
    }
    conn.close().await?;
    let (jobs, trials, entries) = counts;
    Ok((
        head,
        Copy {
            path: file.to_owned(),
            jobs,
            trials,
            entries,
            pictures: 0,
            faults: Vec::new(),
        },
    ))
}

/// Puts a backup back into a folder that holds no data yet, opens it and counts its rows.
///
/// # Errors
/// [`Error::Refused`] when the folder holds data; [`Error::Damaged`] when the backup does not check.
pub async fn restore(backup: &Path, folder: &Path) -> Result<Copy, Error> {
    if !backup.is_file() {
        return Err(Error::Folder(format!(
            "there is no backup at {}",
            backup.display()
        )));
    }
    let target = file_of(folder);
    if target.exists() {
        return Err(Error::Refused(format!(
            "{} holds data already; restore into a new folder",
            folder.display()
        )));
    }
    check(backup).await?;
    std::fs::create_dir_all(folder)?;
    // A log left beside a file that is gone belongs to other data.
    for stale in ["-wal", "-shm"] {
        let mut name = target.as_os_str().to_owned();
        name.push(stale);
        remove_if_there(Path::new(&name))?;
    }
    let working = folder.join("unfinished-restore.sqlite");
    std::fs::copy(backup, &working)?;
    if sha256(&std::fs::read(&working)?) != sha256(&std::fs::read(backup)?) {
        return Err(Error::Damaged(
            "the copy is not the same as the backup".to_owned(),
        ));
    }
    std::fs::File::open(&working)?.sync_all()?;
    std::fs::rename(&working, &target)?;
    sync_folder(folder)?;
    let (_, mut copy) = check(&target).await?;
    // Beside the backup; one made before a change of the book lies in the data folder, whose shelf it needs.
    let beside = backup.parent().unwrap_or(Path::new("."));
    let shelves = vec![
        pictures::shelf_in(beside),
        pictures::shelf_in(&beside.join("..")),
    ];
    let mut conn = connect::looker(&target).await?;
    let looked = pictures::copy(&mut conn, shelves, folder).await?;
    conn.close().await?;
    (copy.pictures, copy.faults) = (looked.pictures, looked.faults);
    Ok(copy)
}

/// The newest backup in a folder, by its name.
#[must_use]
pub fn newest(folder: &Path) -> Option<PathBuf> {
    let mut found: Vec<PathBuf> = std::fs::read_dir(folder)
        .ok()?
        .filter_map(|e| e.ok().map(|e| e.path()))
        .filter(|p| {
            p.file_name()
                .and_then(|n| n.to_str())
                .is_some_and(|n| n.starts_with("gaugeglass-") && n.ends_with(".sqlite"))
        })
        .collect();
    found.sort();
    found.pop()
}

fn remove_if_there(path: &Path) -> Result<(), Error> {
    match std::fs::remove_file(path) {
        Err(e) if e.kind() != std::io::ErrorKind::NotFound => Err(e.into()),
        _ => Ok(()),
    }
}
