//! Adding pictures to something: taken now with the phone's camera, or chosen.

use askama::Template;
use axum::extract::{Multipart, Query, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use records::looks::{self, NewLine};
use records::pictures::{self, NewPicture, Of};
use records::{ExaminationId, LookId, PictureId, examinations, was_kept};
use serde::Deserialize;

use super::receive::{Received, receive, status_of};
use super::{CaptionForm, home};
use crate::desk::Desk;
use crate::form::Faults;
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
    /// The finding at which it is taken.
    examination: Option<i64>,
}

impl OfWhat {
    /// Where it leads back to.
    async fn back(&self, desk: &Desk, of: Of, id: i64) -> Result<String, Problem> {
        match (self.look, self.examination) {
            (Some(look), _) => Ok(format!("/looks/{look}")),
            (None, Some(finding)) => Ok(format!("/examinations/{finding}#pictures")),
            (None, None) => home(desk, of, id).await,
        }
    }

    /// Where the form is sent.
    fn action(&self) -> String {
        let mut to = format!("/pictures?of={}", self.of);
        for (name, id) in [("look", self.look), ("examination", self.examination)] {
            if let Some(id) = id {
                to.push_str(&format!("&{name}={id}"));
            }
        }
        to
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
        action: of.action(),
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
    let mut received = receive(&desk, sent, &["caption", "taken_on"]).await?;
    let form = CaptionForm {
        caption: received.typed("caption").to_owned(),
        taken_on: received.typed("taken_on").to_owned(),
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
    let shelved = match received.shelve(&desk).await? {
        Ok(shelved) => shelved,
        Err(unfit) => {
            let mut faults = Faults::default();
            faults.add("taken", unfit.to_string());
            return again(&desk, &of, &received, faults, status_of(&unfit)).await;
        }
    };
    let posted = received.as_posted(&of.action(), &shelved)?;
    let back = of.back(&desk, what, subject_id).await?;
    let (look, before) = (of.look.map(LookId::new), received.before);
    let finding = match of.examination {
        Some(id) => Some(examinations::find(desk.store(), ExaminationId::new(id)).await?),
        None => None,
    };
    let job = finding.as_ref().map(|f| f.job_id);
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                // Broken off just as it was stored, then made smaller: it is there.
                let there = was_kept(w, &before).await?;
                for shelved in shelved.into_iter().filter(|_| !there) {
                    let new = NewPicture {
                        of: what,
                        subject_id,
                        job,
                        caption: caption.clone(),
                        taken_on: taken_on.clone(),
                        shelved,
                    };
                    let picture = pictures::make(w, &new).await?;
                    if let Some(look) = look {
                        looks::add(w, look, &taken(&new.caption, picture)).await?;
                    }
                    if let Some(finding) = &finding {
                        examinations::pictured(w, finding.id, picture).await?;
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

/// The same page with what is wrong; words stay as typed, a picture must be chosen anew.
async fn again(
    desk: &Desk,
    of: &OfWhat,
    received: &Received,
    faults: Faults,
    status: StatusCode,
) -> Result<Response, Problem> {
    let mut refused = add_page(desk, of).await?;
    received.typed("caption").clone_into(&mut refused.caption);
    received.typed("taken_on").clone_into(&mut refused.taken_on);
    refused.faults = faults;
    if !received.key.is_empty() {
        refused.key.clone_from(&received.key);
    }
    Ok((status, page(&refused)?).into_response())
}
