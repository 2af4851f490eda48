//! Adding pictures to something: taken now with the phone's camera, or chosen.

use askama::Template;
use axum::extract::{Multipart, Query, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use records::looks::{self, NewLine};
use records::pictures::{self, NewPicture, Of, Shelved, Unfit};
use records::{LookId, PictureId, was_kept};
use serde::Deserialize;

use super::receive::{Received, receive};
use super::{CaptionForm, home};
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::layout::Layout;
use crate::problem::{Problem, page, see};

/// What the pictures are of, `defect-12`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct OfWhat {
    of: String,
    /// Words that the caption begins with.
    caption: String,
    /// The look during which it is taken.
    look: Option<i64>,
}

impl OfWhat {
    /// Where it leads back to.
    async fn back(&self, desk: &Desk, of: Of, id: i64) -> Result<String, Problem> {
        match self.look {
            Some(look) => Ok(format!("/looks/{look}")),
            None => home(desk, of, id).await,
        }
    }

    fn read(&self) -> Result<(Of, i64), Problem> {
        let (word, id) = self.of.split_once('-').unwrap_or(("", ""));
        Of::from_word(word)
            .zip(id.parse().ok())
            .ok_or(Problem::Missing("page"))
    }
}

#[derive(Template)]
#[template(path = "pictures/add.html")]
struct AddPage {
    layout: Layout,
    action: String,
    back: String,
    caption: String,
    taken_on: String,
    faults: Faults,
    key: String,
}

async fn add_page(desk: &Desk, of: &OfWhat) -> Result<AddPage, Problem> {
    let (what, id) = of.read()?;
    pictures::is_there(desk.store(), what, id).await?;
    Ok(AddPage {
        layout: desk.layout("Add a picture", "jobs").await?,
        action: match of.look {
            Some(look) => format!("/pictures?of={}-{id}&look={look}", what.word()),
            None => format!("/pictures?of={}-{id}", what.word()),
        },
        back: of.back(desk, what, id).await?,
        caption: of.caption.chars().take(200).collect(),
        taken_on: String::new(),
        faults: Faults::default(),
        key: records::fresh_key(),
    })
}

pub(super) async fn fresh(
    State(desk): State<Desk>,
    Query(of): Query<OfWhat>,
) -> Result<Html<String>, Problem> {
    page(&add_page(&desk, &of).await?)
}

pub(super) async fn add(
    State(desk): State<Desk>,
    Query(of): Query<OfWhat>,
    sent: Multipart,
) -> Result<Response, Problem> {
    let (what, subject_id) = of.read()?;
    pictures::is_there(desk.store(), what, subject_id).await?;
    let mut received = receive(&desk, sent).await?;
    let form = CaptionForm {
        caption: received.caption.clone(),
        taken_on: received.taken_on.clone(),
    };
    let (caption, taken_on) = match form.read() {
        Ok(read) => read,
        Err(faults) => {
            return again(
                &desk,
                &of,
                &received,
                faults,
                StatusCode::UNPROCESSABLE_ENTITY,
            )
            .await;
        }
    };
    let shelved = match shelve_all(&desk, &mut received).await? {
        Ok(shelved) => shelved,
        Err(unfit) => {
            let mut faults = Faults::default();
            faults.add("taken", unfit.to_string());
            return again(&desk, &of, &received, faults, status_of(&unfit)).await;
        }
    };
    let posted = as_posted(&of, &received, &shelved)?;
    let back = of.back(&desk, what, subject_id).await?;
    let (look, before) = (of.look.map(LookId::new), received.before);
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                // Broken off just as it was stored, then made smaller: it is there.
                let there = was_kept(w, &before).await?;
                for shelved in shelved.into_iter().filter(|_| !there) {
                    let new = NewPicture {
                        of: what,
                        subject_id,
                        caption: caption.clone(),
                        taken_on: taken_on.clone(),
                        shelved,
                    };
                    let picture = pictures::make(w, &new).await?;
                    if let Some(look) = look {
                        looks::add(w, look, &taken(&new.caption, picture)).await?;
                    }
                }
                Ok(back)
            })
        })
        .await?;
    Ok(see(&to))
}

/// A picture as a line of a look.
fn taken(caption: &str, picture: PictureId) -> NewLine {
    let words = match caption {
        "" => "a picture".to_owned(),
        caption => format!("a picture: {caption}"),
    };
    NewLine {
        words,
        picture: Some(picture),
        ..NewLine::default()
    }
}

/// Every picture that came, made into ours and on the shelf; the first that is unfit refuses them all.
async fn shelve_all(
    desk: &Desk,
    received: &mut Received,
) -> Result<Result<Vec<Shelved>, Unfit>, Problem> {
    if let Some(unfit) = received.unfit.take() {
        return Ok(Err(unfit));
    }
    let mut all = Vec::new();
    for file in received.files.drain(..) {
        match pictures::shelve(desk.store().folder(), file).await? {
            Ok(shelved) => all.push(shelved),
            Err(unfit) => return Ok(Err(unfit)),
        }
    }
    Ok(Ok(all))
}

/// The same form sent twice is the same pictures once: they are told by what is in them.
fn as_posted(of: &OfWhat, received: &Received, shelved: &[Shelved]) -> Result<Posted<()>, Problem> {
    if !(16..=64).contains(&received.key.len()) {
        return Err(Problem::Unreadable(
            "this form came without its hidden key; open the page again and send it from there"
                .to_owned(),
        ));
    }
    let content = format!(
        "/pictures?of={}&look={:?}\n{}\n{}\n{shelved:?}",
        of.of, of.look, received.caption, received.taken_on
    );
    Ok(Posted {
        key: received.key.clone(),
        content: content.into_bytes(),
        form: (),
    })
}

fn status_of(unfit: &Unfit) -> StatusCode {
    match unfit {
        Unfit::NotAPicture => StatusCode::UNSUPPORTED_MEDIA_TYPE,
        Unfit::TooLarge(_) => StatusCode::PAYLOAD_TOO_LARGE,
        Unfit::Empty | Unfit::Damaged => StatusCode::UNPROCESSABLE_ENTITY,
    }
}

/// The same page with what is wrong; words stay as typed, a picture must be chosen anew.
async fn again(
    desk: &Desk,
    of: &OfWhat,
    received: &Received,
    faults: Faults,
    status: StatusCode,
) -> Result<Response, Problem> {
    let mut refused = add_page(desk, of).await?;
    refused.caption.clone_from(&received.caption);
    refused.taken_on.clone_from(&received.taken_on);
    refused.faults = faults;
    if !received.key.is_empty() {
        refused.key.clone_from(&received.key);
    }
    Ok((status, page(&refused)?).into_response())
}
