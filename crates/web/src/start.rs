//! The first page of a new folder: an empty workshop, or the example.

use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use records::{fresh_key, workshop};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Posted, Reader};
use crate::layout::Layout;
use crate::problem::{Problem, page, refused, see};

/// Every address that begins a workshop.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/start", get(first))
        .route("/start/empty", post(empty))
        .route("/start/example", post(example))
        .route("/try-saving", post(try_saving))
}

/// The form as typed.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct StartForm {
    name: String,
    owner: String,
}

impl StartForm {
    fn read(&self) -> Result<(String, String), Faults> {
        let mut read = Reader::default();
        let name = read.needed("name", &self.name, "Give the workshop's name.");
        let owner = read.needed("owner", &self.owner, "Give the owner's name.");
        read.done((name, owner))
    }
}

#[derive(Template)]
#[template(path = "start/first.html")]
struct First {
    layout: Layout,
    form: StartForm,
    faults: Faults,
    key: String,
    example_key: String,
}

/// The page itself, also shown at `/` while the folder is new.
pub(crate) async fn first(State(desk): State<Desk>) -> Result<Response, Problem> {
    if workshop::find(desk.store()).await?.is_some() {
        return Ok(see("/"));
    }
    let form = StartForm::default();
    Ok(page(&first_page(&desk, form, Faults::default(), fresh_key()).await?)?.into_response())
}

async fn first_page(
    desk: &Desk,
    form: StartForm,
    faults: Faults,
    key: String,
) -> Result<First, Problem> {
    let layout = desk.layout("A new workshop", "none").await?;
    Ok(First {
        layout,
        form,
        faults,
        key,
        example_key: fresh_key(),
    })
}

async fn empty(State(desk): State<Desk>, posted: Posted<StartForm>) -> Result<Response, Problem> {
    let (name, owner) = match posted.form.read() {
        Ok(read) => read,
        Err(faults) => return refused(&first_page(&desk, posted.form, faults, posted.key).await?),
    };
    no_workshop_yet(&desk, &posted.key).await?;
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                workshop::set(w, &name, &owner, false).await?;
                Ok("/".to_owned())
            })
        })
        .await?;
    Ok(see(&to))
}

#[derive(Debug, Default, Deserialize)]
struct Nothing {}

async fn example(State(desk): State<Desk>, posted: Posted<Nothing>) -> Result<Response, Problem> {
    no_workshop_yet(&desk, &posted.key).await?;
    let to = desk
        .once(&posted, |w| {
            Box::pin(async move {
                records::example::furnish(w).await?;
                Ok("/".to_owned())
            })
        })
        .await?;
    records::example::pictures::hang(desk.store()).await?;
    Ok(see(&to))
}

/// The example is never poured into somebody's own workshop.
async fn no_workshop_yet(desk: &Desk, key: &str) -> Result<(), Problem> {
    let begun = workshop::find(desk.store()).await?.is_some();
    if begun && !desk.store().knows_key(key).await? {
        return Err(Problem::Refused(
            "this folder holds a workshop already".to_owned(),
        ));
    }
    Ok(())
}

/// *Try again* at the PC, while nothing is being saved.
async fn try_saving(State(desk): State<Desk>) -> Result<Response, Problem> {
    desk.store().try_saving().await?;
    Ok(see("/"))
}
