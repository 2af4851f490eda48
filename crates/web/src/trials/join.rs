//! A phone joins one trial: the desk shows a code, the phone reads it, a name is typed once, and it is in for as long as
//! the trial runs.

use std::net::SocketAddr;

use askama::Template;
use axum::extract::{ConnectInfo, Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use papers::Svg;
use records::log::{self, phones};
use records::{TrialId, fresh_key, shares};
use serde::Deserialize;

use super::load::{Judged, address};
use super::phone::{self, PhoneShown};
use super::run::{Head, layout};
use crate::certificate::OverHttps;
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::layout::Layout;
use crate::login;
use crate::problem::{Problem, page};

#[derive(Template)]
#[template(path = "trials/phones.html")]
struct Phones {
    layout: Layout,
    head: Head,
    /// Is the workshop's network served?
    shut: bool,
    address: String,
    code: Option<Svg>,
    phones: Vec<PhoneShown>,
    missing: Vec<String>,
    in_hand: String,
    key: String,
}

#[derive(Template)]
#[template(path = "trials/join.html")]
struct Join {
    layout: Layout,
    trial: String,
    who: String,
    faults: Faults,
    key: String,
}

/// The name as typed.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct JoinForm {
    who: String,
}

/// The phones at a trial, and the way to let another in.
pub(super) async fn show(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    sheet(&desk, TrialId::new(id), String::new()).await
}

/// Makes a code: it is shown once, only its hash is kept.
pub(super) async fn make(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    headers: HeaderMap,
    over: Option<axum::Extension<OverHttps>>,
    _posted: Posted<JoinForm>,
) -> Result<Response, Problem> {
    let id = TrialId::new(id);
    let row = log::find(desk.store(), id).await?;
    if row.state == "closed" {
        return Err(Problem::Refused(
            "this record is sealed: no phone can join it any more".to_owned(),
        ));
    }
    let (token, by) = (shares::fresh_token(), desk.by().await?);
    let kept = token.clone();
    desk.store()
        .write(&by, move |w| {
            Box::pin(async move { phones::make_join(w, id, &kept).await })
        })
        .await?;
    let asked = headers.get(header::HOST).and_then(|h| h.to_str().ok());
    // The code leads where the desk is: over https to its port, over plain http to the plain one.
    let port = asked
        .and_then(|host| host.rsplit_once(':'))
        .and_then(|(_, port)| port.parse().ok());
    let host = desk
        .hosts()
        .for_phones(port)
        .unwrap_or_else(|| asked.unwrap_or("").to_owned());
    let scheme = if over.is_some() { "https" } else { "http" };
    sheet(&desk, id, format!("{scheme}://{host}/join/{token}")).await
}

async fn sheet(desk: &Desk, id: TrialId, address: String) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), id).await?;
    let sheet = Phones {
        layout: layout(desk, &trial, None).await?,
        head: Head::of(desk, &trial).await?,
        shut: desk.door().is_shut(),
        code: (!address.is_empty())
            .then(|| papers::qr::code(&address, "An address that lets a phone in to this trial."))
            .flatten(),
        address,
        phones: phone::shown(desk.store(), id).await?,
        missing: phone::missing(desk.store(), id).await?,
        in_hand: trial.log.in_hand(),
        key: fresh_key(),
    };
    Ok(page(&sheet)?.into_response())
}

/// What a phone sees that has read the code: which trial, and a box for a name.
pub(super) async fn ask(
    State(desk): State<Desk>,
    Path(token): Path<String>,
) -> Result<Response, Problem> {
    door(&desk, &token, String::new(), Faults::default()).await
}

async fn door(desk: &Desk, token: &str, who: String, faults: Faults) -> Result<Response, Problem> {
    let id = phones::join(desk.store(), token)
        .await?
        .ok_or(Problem::Missing("code for a trial"))?;
    let row = log::find(desk.store(), id).await?;
    let status = if faults.list().is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    let join = Join {
        layout: desk.frame("Join a trial", "none", String::new()),
        trial: format!("{} {}", row.label(), row.plant),
        who,
        faults,
        key: fresh_key(),
    };
    Ok((status, page(&join)?).into_response())
}

/// Lets the phone in, to this trial alone.
pub(super) async fn come_in(
    State(desk): State<Desk>,
    from: Option<axum::Extension<ConnectInfo<SocketAddr>>>,
    over: Option<axum::Extension<OverHttps>>,
    Path(token): Path<String>,
    posted: Posted<JoinForm>,
) -> Result<Response, Problem> {
    let who = posted.form.who.trim().to_owned();
    if who.is_empty() || who.chars().count() > 80 {
        let mut faults = Faults::default();
        faults.add(
            "who",
            "Type your name, at most 80 letters: what you enter is kept under it.",
        );
        return door(&desk, &token, who, faults).await;
    }
    let Some(id) = phones::join(desk.store(), &token).await? else {
        desk.door().tried(from.map(|peer| peer.0.0.ip()), false);
        return Err(Problem::Missing("code for a trial"));
    };
    login::let_in(&desk, &who, Some(id), &address(id), over.is_some()).await
}
