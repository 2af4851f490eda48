//! The workshop's own sheet: its name, its pass phrase, and who has come in with it.

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::change::Subject;
use records::sessions::{self, Session};
use records::{SessionId, fresh_key, workshop};
use serde::Deserialize;

use crate::changes::Changes;
use crate::desk::Desk;
use crate::door;
use crate::form::{Faults, Posted, Reader};
use crate::layout::Layout;
use crate::login;
use crate::problem::{Problem, page, refused, see};

/// Every address of the workshop's own sheet.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/workshop", get(show).post(rename))
        .route("/workshop/pass-phrase", post(set_phrase))
        .route("/workshop/sessions/{id}/end", post(end))
}

/// Name and owner as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct NameForm {
    name: String,
    owner: String,
}

/// A new pass phrase as typed; never shown again.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct PhraseForm {
    now: String,
    phrase: String,
    again: String,
}

#[derive(Template)]
#[template(path = "workshop/show.html")]
struct Sheet {
    layout: Layout,
    form: NameForm,
    has_phrase: bool,
    shut: bool,
    sessions: Vec<Session>,
    mine: Option<SessionId>,
    name_faults: Faults,
    phrase_faults: Faults,
    key: String,
    phrase_key: String,
    changes: Changes,
}

impl Sheet {
    /// Is this the session of whoever looks?
    fn is_mine(&self, id: &SessionId) -> bool {
        self.mine.as_ref() == Some(id)
    }

    /// A key for each small form.
    fn a_key(&self) -> String {
        fresh_key()
    }
}

async fn sheet(desk: &Desk, headers: &HeaderMap) -> Result<Sheet, Problem> {
    let known = workshop::find(desk.store()).await?;
    let known = known.ok_or(Problem::Missing("workshop"))?;
    Ok(Sheet {
        layout: desk.layout("The workshop", "none").await?,
        form: NameForm {
            name: known.name,
            owner: known.owner,
        },
        has_phrase: known.has_pass_phrase,
        shut: desk.door().is_shut(),
        sessions: sessions::standing(desk.store()).await?,
        mine: login::session_of(desk, headers).await?.map(|s| s.id),
        name_faults: Faults::default(),
        phrase_faults: Faults::default(),
        key: fresh_key(),
        phrase_key: fresh_key(),
        changes: crate::changes::of(desk, Subject::Workshop, 1, "/workshop".to_owned()).await?,
    })
}

async fn show(State(desk): State<Desk>, headers: HeaderMap) -> Result<Html<String>, Problem> {
    page(&sheet(&desk, &headers).await?)
}

async fn rename(
    State(desk): State<Desk>,
    headers: HeaderMap,
    posted: Posted<NameForm>,
) -> Result<Response, Problem> {
    let mut read = Reader::default();
    let name = read.needed("name", &posted.form.name, "Give the workshop's name.");
    let owner = read.needed("owner", &posted.form.owner, "Give the owner's name.");
    if let Err(faults) = read.done(()) {
        let fresh = sheet(&desk, &headers).await?;
        let (form, key) = (posted.form, posted.key);
        return refused(&Sheet {
            form,
            key,
            name_faults: faults,
            ..fresh
        });
    }
    let example = workshop::find(desk.store())
        .await?
        .is_some_and(|w| w.is_example);
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            workshop::set(w, &name, &owner, example).await?;
            Ok("/workshop".to_owned())
        })
    });
    Ok(see(&to.await?))
}

async fn set_phrase(
    State(desk): State<Desk>,
    headers: HeaderMap,
    posted: Posted<PhraseForm>,
) -> Result<Response, Problem> {
    let faults = phrase_faults(&desk, &posted.form).await?;
    if !faults.list().is_empty() {
        let fresh = sheet(&desk, &headers).await?;
        return refused(&Sheet {
            phrase_faults: faults,
            ..fresh
        });
    }
    let hash = desk.door().hash(posted.form.phrase).await?;
    let by = desk.by().await?;
    let set = desk.store().write(&by, move |w| {
        Box::pin(async move { workshop::set_pass_phrase(w, &hash).await })
    });
    set.await?;
    tracing::info!("the pass phrase was set");
    Ok(see("/workshop"))
}

async fn phrase_faults(desk: &Desk, form: &PhraseForm) -> Result<Faults, Problem> {
    let mut faults = Faults::default();
    let known = workshop::find(desk.store()).await?;
    let name = known.map_or_else(String::new, |w| w.name);
    if let Some(says) = door::fault_of(&form.phrase, &name) {
        faults.add("phrase", says);
    } else if form.phrase != form.again {
        faults.add("again", "The two are not the same; type them once more.");
    }
    let hash = workshop::pass_phrase(desk.store()).await?;
    if hash.is_some() && desk.door().is_shut() && !desk.door().fits(form.now.clone(), hash).await? {
        faults.add("now", "This is not the pass phrase that is set now.");
    }
    Ok(faults)
}

#[derive(Debug, Default, Deserialize)]
struct Nothing {}

async fn end(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Nothing>,
) -> Result<Response, Problem> {
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            sessions::end(w, SessionId::new(id)).await?;
            Ok("/workshop".to_owned())
        })
    });
    Ok(see(&to.await?))
}
