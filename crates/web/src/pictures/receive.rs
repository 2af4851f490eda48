//! What a form with pictures sends, read piece by piece: words into memory, pictures into files.

use axum::extract::Multipart;
use axum::extract::multipart::{Field, MultipartError};
use records::pictures::{ComingIn, MOST_BYTES, Unfit, too_many_bytes};
use tokio::io::AsyncWriteExt;

use crate::desk::Desk;
use crate::problem::Problem;

/// Most bytes of one box of words.
const MOST_WORDS: usize = 64 * 1024;

/// So often a picture may have been broken off before.
const MOST_BEFORE: usize = 32;

/// A form with pictures, as it came.
#[derive(Debug, Default)]
pub(super) struct Received {
    /// The hidden key.
    pub key: String,
    /// Keys that the same picture was sent under before it was made smaller.
    pub before: Vec<String>,
    /// What to look at, as typed.
    pub caption: String,
    /// The day, as typed.
    pub taken_on: String,
    /// Each picture in a file that is gone when this is dropped.
    pub files: Vec<ComingIn>,
    /// Why the pictures are not taken, known before any is opened.
    pub unfit: Option<Unfit>,
}

/// Reads it all. Beyond the most bytes nothing more is written, but the rest is still read, so that the page with the
/// reason can be answered.
pub(super) async fn receive(desk: &Desk, mut sent: Multipart) -> Result<Received, Problem> {
    let mut received = Received::default();
    let mut taken: u64 = 0;
    while let Some(field) = sent.next_field().await.map_err(unreadable)? {
        let name = field.name().unwrap_or("").to_owned();
        match name.as_str() {
            "key" => received.key = words(field).await?,
            "before" if received.before.len() < MOST_BEFORE => {
                received.before.push(words(field).await?)
            }
            "caption" => received.caption = words(field).await?,
            "taken_on" => received.taken_on = words(field).await?,
            "taken" | "chosen" => take(desk, field, &mut taken, &mut received).await?,
            _ => return Err(Problem::Unreadable(format!("no box is named “{name}”"))),
        }
    }
    if taken > MOST_BYTES {
        received.files.clear();
        received.unfit = Some(too_many_bytes());
    } else if received.files.is_empty() {
        received.unfit = Some(Unfit::Empty);
    }
    Ok(received)
}

async fn words(mut field: Field<'_>) -> Result<String, Problem> {
    let mut bytes = Vec::new();
    while let Some(chunk) = field.chunk().await.map_err(unreadable)? {
        bytes.extend_from_slice(&chunk);
        if bytes.len() > MOST_WORDS {
            return Err(Problem::Unreadable(
                "more words came than one box takes".to_owned(),
            ));
        }
    }
    String::from_utf8(bytes)
        .map_err(|_| Problem::Unreadable("the words that came are no UTF-8 text".to_owned()))
}

/// One picture into a file. A box that nothing was chosen in sends no bytes and makes no file.
async fn take(
    desk: &Desk,
    mut field: Field<'_>,
    taken: &mut u64,
    received: &mut Received,
) -> Result<(), Problem> {
    let mut open: Option<(ComingIn, tokio::fs::File)> = None;
    while let Some(chunk) = field.chunk().await.map_err(unreadable)? {
        *taken = taken.saturating_add(u64::try_from(chunk.len()).unwrap_or(u64::MAX));
        if *taken > MOST_BYTES {
            open = None;
            continue;
        }
        if open.is_none() && !chunk.is_empty() {
            let place = ComingIn::new(desk.store().folder())?;
            let file = tokio::fs::File::create(place.path()).await.map_err(disk)?;
            open = Some((place, file));
        }
        if let Some((_, file)) = &mut open {
            file.write_all(&chunk).await.map_err(disk)?;
        }
    }
    if let Some((place, mut file)) = open {
        file.flush().await.map_err(disk)?;
        received.files.push(place);
    }
    Ok(())
}

fn unreadable(error: MultipartError) -> Problem {
    tracing::debug!(%error, "a form with pictures could not be read");
    Problem::Unreadable(
        "what was sent broke off or is no form with pictures; open the page again and send it from there"
            .to_owned(),
    )
}

fn disk(error: std::io::Error) -> Problem {
    Problem::Store(records::Error::from(error))
}
