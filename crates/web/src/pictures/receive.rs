//! What a form with pictures sends, read piece by piece: words into memory, pictures into files.

use axum::extract::Multipart;
use axum::extract::multipart::{Field, MultipartError};
use axum::http::StatusCode;
use records::pictures::{self, ComingIn, MOST_BYTES, Shelved, Unfit, too_many_bytes};
use tokio::io::AsyncWriteExt;

use crate::desk::Desk;
use crate::form::Posted;
use crate::problem::Problem;

/// Most bytes of one box of words.
const MOST_WORDS: usize = 64 * 1024;

/// So often a picture may have been broken off before.
const MOST_BEFORE: usize = 32;

/// A form with pictures, as it came.
#[derive(Debug, Default)]
pub(crate) struct Received {
    /// The hidden key.
    pub key: String,
    /// Keys that the same picture was sent under before it was made smaller.
    pub before: Vec<String>,
    /// The boxes of words, as typed.
    typed: Vec<(String, String)>,
    /// Each picture in a file that is gone when this is dropped.
    pub files: Vec<ComingIn>,
    /// Why the pictures are not taken, known before any is opened.
    pub unfit: Option<Unfit>,
}

impl Received {
    /// What was typed into a box; empty where nothing was.
    pub(crate) fn typed(&self, name: &str) -> &str {
        self.typed
            .iter()
            .find(|(named, _)| named == name)
            .map_or("", |(_, typed)| typed.as_str())
    }

    /// Every picture that came, made into ours and on the shelf; the first that is unfit refuses them all.
    pub(crate) async fn shelve(
        &mut self,
        desk: &Desk,
    ) -> Result<Result<Vec<Shelved>, Unfit>, Problem> {
        if let Some(unfit) = self.unfit.take() {
            return Ok(Err(unfit));
        }
        let mut all = Vec::new();
        for file in self.files.drain(..) {
            match pictures::shelve(desk.store().folder(), file).await? {
                Ok(shelved) => all.push(shelved),
                Err(unfit) => return Ok(Err(unfit)),
            }
        }
        Ok(Ok(all))
    }

    /// The same form sent twice is the same rows once: pictures are told by what is in them.
    pub(crate) fn as_posted(&self, to: &str, shelved: &[Shelved]) -> Result<Posted<()>, Problem> {
        if !(16..=64).contains(&self.key.len()) {
            return Err(Problem::Unreadable(
                "this form came without its hidden key; open the page again and send it from there"
                    .to_owned(),
            ));
        }
        let mut content = format!("{to}\n");
        for (name, typed) in &self.typed {
            content.push_str(&format!("{name}={typed}\n"));
        }
        content.push_str(&format!("{shelved:?}"));
        Ok(Posted {
            key: self.key.clone(),
            content: content.into_bytes(),
            form: (),
        })
    }
}

/// The status of a page that says why a picture was not taken.
pub(crate) fn status_of(unfit: &Unfit) -> StatusCode {
    match unfit {
        Unfit::NotAPicture => StatusCode::UNSUPPORTED_MEDIA_TYPE,
        Unfit::TooLarge(_) => StatusCode::PAYLOAD_TOO_LARGE,
        Unfit::Empty | Unfit::Damaged => StatusCode::UNPROCESSABLE_ENTITY,
    }
}

/// Reads it all: the boxes of words by these names, and pictures. Beyond the most bytes nothing more is written, but the rest is still read, so that the page with the
/// reason can be answered.
pub(crate) async fn receive(
    desk: &Desk,
    mut sent: Multipart,
    boxes: &[&str],
) -> Result<Received, Problem> {
    let mut received = Received::default();
    let mut taken: u64 = 0;
    while let Some(field) = sent.next_field().await.map_err(unreadable)? {
        let name = field.name().unwrap_or("").to_owned();
        match name.as_str() {
            "key" => received.key = words(field).await?,
            "before" if received.before.len() < MOST_BEFORE => {
                received.before.push(words(field).await?)
            }
            "taken" | "chosen" => take(desk, field, &mut taken, &mut received).await?,
            known if boxes.contains(&known) => received.typed.push((name, words(field).await?)),
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
