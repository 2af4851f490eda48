//! Coming in with the pass phrase, when the workshop's network is served.

use std::net::{IpAddr, SocketAddr};

use askama::Template;
use axum::Router;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use axum_extra::extract::CookieJar;
use records::{TrialId, fresh_key, sessions, shares, workshop};
use serde::Deserialize;

use crate::certificate::OverHttps;
use crate::desk::{Desk, IN};
use crate::door::is_as_advised;
use crate::form::{Faults, Posted};
use crate::layout::Layout;
use crate::problem::{Problem, see};

/// The cookie: its name is ours alone, for cookies do not keep to a port.
const COOKIE: &str = "gaugeglass_in";

/// The same over https, where a browser lets no plain page set it.
const COOKIE_OVER_HTTPS: &str = "__Host-gaugeglass_in";

/// Every address of the door.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/login", get(ask).post(come_in))
        .route("/logout", post(go))
}

/// The form as typed; the pass phrase is never shown again.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct LoginForm {
    who: String,
    phrase: String,
    next: String,
}

#[derive(Template)]
#[template(path = "login/show.html")]
struct Login {
    layout: Layout,
    who: String,
    next: String,
    faults: Faults,
    key: String,
}

/// The session of a request, if it has one that is open.
pub(crate) async fn session_of(
    desk: &Desk,
    headers: &HeaderMap,
) -> Result<Option<sessions::Session>, Problem> {
    let jar = CookieJar::from_headers(headers);
    match jar.get(COOKIE_OVER_HTTPS).or_else(|| jar.get(COOKIE)) {
        Some(cookie) => Ok(sessions::open(desk.store(), cookie.value()).await?),
        None => Ok(None),
    }
}

/// Lets in who has a session; everybody else is shown the door, and where they were going is kept.
pub(crate) async fn only_who_is_in(
    State(desk): State<Desk>,
    request: Request,
    next: Next,
) -> Result<Response, Problem> {
    let path = request.uri().path();
    if !desk.door().is_shut()
        || path == "/login"
        || path.starts_with("/join/")
        || path.starts_with("/certificate")
    {
        return Ok(next.run(request).await);
    }
    if let Some(session) = session_of(&desk, request.headers()).await? {
        if let Some(trial) = session.trial_id
            && !is_of_trial(request.uri(), trial)
        {
            return Ok(to_its_trial(&request, trial));
        }
        return Ok(IN.scope(session.who, next.run(request)).await);
    }
    let reads = matches!(request.method().as_str(), "GET" | "HEAD");
    let going = if reads {
        request.uri().to_string()
    } else {
        "/".to_owned()
    };
    door(
        &desk,
        StatusCode::UNAUTHORIZED,
        String::new(),
        going,
        Faults::default(),
    )
    .await
}

/// Is this address one of the one trial that a phone was let in to?
fn is_of_trial(address: &axum::http::Uri, trial: TrialId) -> bool {
    let (path, own) = (address.path(), format!("/trials/{trial}"));
    if matches!(path, "/pictures" | "/pictures/new") {
        let is = format!("of=trial-{trial}");
        let rest = address.query().and_then(|asked| asked.strip_prefix(&is));
        return rest.is_some_and(|rest| {
            rest.is_empty() || (rest.starts_with('&') && !rest.contains("of="))
        });
    }
    // A picture's address is the hash of what is in it: whoever can name it has been shown it.
    if path.starts_with("/pictures/file/") {
        return true;
    }
    let rest = path.strip_prefix(&own);
    path == "/logout" || rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
}

/// A phone that was let in to one trial goes nowhere else.
fn to_its_trial(request: &Request, trial: TrialId) -> Response {
    if matches!(request.method().as_str(), "GET" | "HEAD") {
        see(&format!("/trials/{trial}"))
    } else {
        StatusCode::FORBIDDEN.into_response()
    }
}

async fn door(
    desk: &Desk,
    status: StatusCode,
    who: String,
    next: String,
    faults: Faults,
) -> Result<Response, Problem> {
    let name = workshop::find(desk.store())
        .await?
        .map_or_else(String::new, |w| w.name);
    let layout = desk.frame("Come in", "none", name);
    let page = Login {
        layout,
        who,
        next,
        faults,
        key: fresh_key(),
    };
    Ok((status, Html(page.render()?)).into_response())
}

async fn ask(State(desk): State<Desk>) -> Result<Response, Problem> {
    door(
        &desk,
        StatusCode::OK,
        String::new(),
        "/".to_owned(),
        Faults::default(),
    )
    .await
}

async fn come_in(
    State(desk): State<Desk>,
    from: Option<axum::Extension<ConnectInfo<SocketAddr>>>,
    over: Option<axum::Extension<OverHttps>>,
    posted: Posted<LoginForm>,
) -> Result<Response, Problem> {
    let from: Option<IpAddr> = from.map(|peer| peer.0.0.ip());
    let LoginForm { who, phrase, next } = posted.form;
    let mut faults = Faults::default();
    if who.trim().is_empty() {
        faults.add("who", "Type your name: what you enter is kept under it.");
    }
    if let Some(wait) = desk.door().wait(from) {
        faults.add(
            "phrase",
            format!("Too many tries: wait {} s.", wait.as_secs() + 1),
        );
        return door(&desk, StatusCode::TOO_MANY_REQUESTS, who, next, faults).await;
    }
    if !faults.list().is_empty() {
        return door(&desk, StatusCode::UNPROCESSABLE_ENTITY, who, next, faults).await;
    }
    let hash = workshop::pass_phrase(desk.store()).await?;
    let good = desk.door().fits(phrase.clone(), hash.clone()).await?;
    desk.door().tried(from, good);
    if !good {
        tracing::warn!("a pass phrase was refused");
        faults.add("phrase", "This is not the pass phrase.");
        return door(&desk, StatusCode::UNPROCESSABLE_ENTITY, who, next, faults).await;
    }
    renew(&desk, phrase, hash).await?;
    let_in(&desk, who.trim(), None, own_path(&next), over.is_some()).await
}

/// A hash that an older program made is made anew as it is advised today, now that the phrase is at hand.
async fn renew(desk: &Desk, phrase: String, hash: Option<String>) -> Result<(), Problem> {
    if hash.as_deref().is_none_or(is_as_advised) {
        return Ok(());
    }
    let anew = desk.door().hash(phrase).await?;
    let write = desk.store().write("the program", move |w| {
        Box::pin(async move { workshop::renew_pass_phrase(w, &anew).await })
    });
    write.await?;
    tracing::info!("the pass phrase's hash was renewed");
    Ok(())
}

/// Gives a session, to everything or to one trial, and goes on to a path of ours.
pub(crate) async fn let_in(
    desk: &Desk,
    who: &str,
    trial: Option<TrialId>,
    to: &str,
    over_https: bool,
) -> Result<Response, Problem> {
    let token = shares::fresh_token();
    let (kept, name) = (token.clone(), who.to_owned());
    let write = desk.store().write(who, move |w| {
        Box::pin(async move { sessions::make(w, &kept, &name, trial).await })
    });
    write.await?;
    tracing::info!("somebody came in");
    let seconds = sessions::DAYS * 86_400;
    let (name, secure) = if over_https {
        (COOKIE_OVER_HTTPS, "; Secure")
    } else {
        (COOKIE, "")
    };
    let cookie =
        format!("{name}={token}; HttpOnly; SameSite=Lax; Path=/; Max-Age={seconds}{secure}");
    Ok(with_cookie(see(to), &cookie))
}

/// Only a path of ours is gone to after coming in.
fn own_path(next: &str) -> &str {
    let ours =
        next.starts_with('/') && !next.starts_with("//") && !next.contains(['\\', '\r', '\n']);
    if ours { next } else { "/" }
}

fn with_cookie(mut response: Response, cookie: &str) -> Response {
    if let Ok(value) = HeaderValue::from_str(cookie) {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
    response
}

async fn go(State(desk): State<Desk>, headers: HeaderMap) -> Result<Response, Problem> {
    if let Some(session) = session_of(&desk, &headers).await? {
        let id = session.id;
        let end = desk.store().write(&session.who, move |w| {
            Box::pin(async move { sessions::end(w, id).await })
        });
        end.await?;
    }
    let gone = format!("{COOKIE}=; HttpOnly; SameSite=Lax; Path=/; Max-Age=0");
    let secured =
        format!("{COOKIE_OVER_HTTPS}=; HttpOnly; SameSite=Lax; Path=/; Max-Age=0; Secure");
    Ok(with_cookie(with_cookie(see("/login"), &gone), &secured))
}

#[cfg(test)]
mod tests {
    use super::own_path;

    #[test]
    fn nobody_is_sent_elsewhere_after_coming_in() {
        assert_eq!(own_path("/jobs/26-001?x=1"), "/jobs/26-001?x=1");
        for elsewhere in [
            "//evil.test/",
            "http://evil.test/",
            "",
            "/\\evil.test",
            "jobs",
        ] {
            assert_eq!(own_path(elsewhere), "/");
        }
    }
}
