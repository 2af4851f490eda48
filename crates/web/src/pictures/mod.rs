//! Pictures: taking one in, one on a page of its own, and the files themselves.

mod add;
pub(crate) mod receive;
mod strip;

use askama::Template;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Path, State};
use axum::http::header;
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use records::change::Subject;
use records::pictures::{self, Of, Picture};
use records::{Day, Error, PictureId, Stamp, Write};
use serde::Deserialize;

use crate::changes::Changes;
use crate::desk::Desk;
use crate::form::{Faults, Posted, Reader};
use crate::layout::Layout;
use crate::problem::{Problem, page, refused, see};
use crate::put_back::{Kept, Way};

pub(crate) use strip::Strip;

/// Most bytes that are read of one sending, so that one that is too large can still be answered with a page.
pub(crate) const MOST_READ: usize = 64 * 1024 * 1024;

/// Every address that is about pictures.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/pictures/new", get(add::fresh))
        .route("/pictures", post(add::add))
        .layer(DefaultBodyLimit::max(MOST_READ))
        .route("/pictures/{id}", get(show).post(update))
        .route("/pictures/file/{name}", get(file))
}

/// The address of what a picture is of.
pub(crate) async fn home(desk: &Desk, of: Of, id: i64) -> Result<String, Problem> {
    Ok(match of {
        Of::Job => {
            let job = records::jobs::by_id(desk.store(), records::JobId::new(id)).await?;
            format!("/jobs/{}#pictures", job.number())
        }
        Of::Trial => format!("/trials/{id}/record#pictures"),
        other => format!("/{}s/{id}#pictures", other.word()),
    })
}

/// The address of a file by its hash.
pub(crate) fn address(hash: &str) -> String {
    format!("/pictures/file/{hash}.jpg")
}

#[derive(Template)]
#[template(path = "pictures/show.html")]
struct ShowPicture {
    layout: Layout,
    picture: Picture,
    home: String,
    shown: String,
    caption: String,
    taken_on: String,
    faults: Faults,
    key: String,
    withdraw_key: String,
    changes: Changes,
}

async fn picture_page(desk: &Desk, picture: Picture) -> Result<ShowPicture, Problem> {
    let of = Of::from_word(&picture.subject).ok_or(Problem::Missing("picture"))?;
    let mut layout = desk
        .layout(&format!("Picture {}", picture.id), "jobs")
        .await?;
    layout.sheet_no = picture.job_number();
    Ok(ShowPicture {
        layout,
        home: home(desk, of, picture.subject_id).await?,
        shown: address(&picture.page_sha256),
        caption: picture.caption.clone(),
        taken_on: picture.taken_on.iso().to_owned(),
        faults: Faults::default(),
        key: records::fresh_key(),
        withdraw_key: records::fresh_key(),
        changes: crate::changes::of(
            desk,
            Subject::Picture,
            picture.id.get(),
            format!("/pictures/{}", picture.id),
        )
        .await?,
        picture,
    })
}

async fn show(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let picture = pictures::find(desk.store(), PictureId::new(id)).await?;
    page(&picture_page(&desk, picture).await?)
}

/// Caption and day as typed.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct CaptionForm {
    caption: String,
    taken_on: String,
}

impl CaptionForm {
    /// Caption and day; today where none is given.
    fn read(&self) -> Result<(String, Day), Faults> {
        let mut read = Reader::default();
        let caption = read.words("caption", &self.caption);
        let taken_on = read.day("taken_on", &self.taken_on);
        read.done((caption, taken_on.unwrap_or_else(|| Stamp::now().day())))
    }
}

/// What stands under a picture can be put back as it was.
pub(crate) const WAYS: &[Way] = &[Way::by::<CaptionForm>(Subject::Picture)];

impl Kept for CaptionForm {
    type Row = Picture;
    type New = (String, Day);

    const WRITES: &'static [&'static str] = &["caption", "taken_on"];

    async fn find(desk: &Desk, id: i64) -> Result<Picture, Error> {
        pictures::find(desk.store(), PictureId::new(id)).await
    }

    fn written(row: &Picture) -> Result<Self::New, Faults> {
        let form = Self {
            caption: row.caption.clone(),
            taken_on: row.taken_on.iso().to_owned(),
        };
        form.read()
    }

    async fn change(w: &mut Write, id: i64, new: &Self::New) -> Result<(), Error> {
        pictures::change(w, PictureId::new(id), &new.0, &new.1).await
    }
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<CaptionForm>,
) -> Result<Response, Problem> {
    let picture = pictures::find(desk.store(), PictureId::new(id)).await?;
    let read = match posted.form.read() {
        Ok(read) => read,
        Err(faults) => {
            let mut again = picture_page(&desk, picture).await?;
            (again.faults, again.key) = (faults, posted.key);
            (again.caption, again.taken_on) = (posted.form.caption, posted.form.taken_on);
            return refused(&again);
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                let (caption, taken_on) = &read;
                pictures::change(w, picture.id, caption, taken_on).await?;
                Ok(format!("/pictures/{}", picture.id))
            })
        })
        .await?;
    Ok(see(&to))
}

/// The file of a picture. It never changes: its address is the hash of what is in it.
async fn file(State(desk): State<Desk>, Path(name): Path<String>) -> Result<Response, Problem> {
    let hash = name.strip_suffix(".jpg").unwrap_or("");
    let path = pictures::file(desk.store(), hash).await?;
    let kept = "private, max-age=31536000, immutable";
    Ok(([(header::CACHE_CONTROL, kept)], jpeg(&path).await?).into_response())
}

/// A JPEG of ours, as it is on the disk.
pub(crate) async fn jpeg(path: &std::path::Path) -> Result<Response, Problem> {
    let bytes = tokio::fs::read(path)
        .await
        .map_err(|e| records::Error::Damaged(format!("{} cannot be read: {e}", path.display())))?;
    let carries = [
        (header::CONTENT_TYPE, "image/jpeg"),
        (
            header::CONTENT_DISPOSITION,
            "inline; filename=\"picture.jpg\"",
        ),
    ];
    let ours = [("cross-origin-resource-policy", "same-origin")];
    Ok((carries, ours, bytes).into_response())
}
