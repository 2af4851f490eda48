//! What went wrong, as a page for people and as JSON for scripts.

use std::sync::Arc;

use askama::Template;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Response};

use crate::desk::Desk;
use crate::layout::Layout;

/// What went wrong. Inner causes go to the log, never to the page.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Problem {
    /// Nothing there.
    #[error("there is no {0} with that number")]
    Missing(&'static str),
    /// What was sent cannot be read.
    #[error("{0}")]
    Unreadable(String),
    /// The request clashes with what is stored.
    #[error("{0}")]
    Refused(String),
    /// The store says no.
    #[error(transparent)]
    Store(#[from] records::Error),
    /// A page could not be written.
    #[error(transparent)]
    Render(#[from] askama::Error),
}

/// Status, title, what to do next.
type Face = (StatusCode, &'static str, String, &'static str);

impl Problem {
    fn face(&self) -> Face {
        use records::Error as E;
        let says = self.to_string();
        match self {
            Self::Missing(_) | Self::Store(E::Missing(_)) => (
                StatusCode::NOT_FOUND,
                "Not in the book",
                format!("{}{}.", says[..1].to_uppercase(), &says[1..]),
                "Look for it in the list of jobs or plants.",
            ),
            Self::Unreadable(_) => (
                StatusCode::UNPROCESSABLE_ENTITY,
                "This could not be read",
                says,
                "Go back and send it again.",
            ),
            Self::Store(E::Unusable(_)) => (
                StatusCode::UNPROCESSABLE_ENTITY,
                "This could not be read",
                says,
                "Go back, put the named place right and send it again.",
            ),
            Self::Store(E::KeyReused) => (
                StatusCode::UNPROCESSABLE_ENTITY,
                "Sent before with other content",
                says,
                "What was saved first stands. Open the form afresh to enter something new.",
            ),
            Self::Refused(_) | Self::Store(E::Refused(_) | E::Taken(_) | E::Rule(_)) => (
                StatusCode::CONFLICT,
                "Not as things stand",
                says,
                "Go back: what you typed is still there.",
            ),
            Self::Store(E::Busy) => (
                StatusCode::SERVICE_UNAVAILABLE,
                "Too much at once",
                says,
                "Send it again in a moment; nothing of it was kept.",
            ),
            Self::Store(E::NotSaving(_)) => (
                StatusCode::INSUFFICIENT_STORAGE,
                "Not saved",
                says,
                "Nothing of this was kept. Put it right at the workshop's PC, go back and send it again.",
            ),
            Self::Store(_) | Self::Render(_) => (
                StatusCode::INTERNAL_SERVER_ERROR,
                "The program could not do this",
                "Something failed inside the program; what was saved before is still saved."
                    .to_owned(),
                "Go back and try once more. The program's log at the PC says what failed.",
            ),
        }
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let mut response = self.face().0.into_response();
        response.extensions_mut().insert(Arc::new(self));
        response
    }
}

/// A page, or the problem of writing it.
pub(crate) fn page<T: Template>(page: &T) -> Result<Html<String>, Problem> {
    Ok(Html(page.render()?))
}

/// The same page again for a form that was refused: 422, with what was typed.
pub(crate) fn refused<T: Template>(page: &T) -> Result<Response, Problem> {
    Ok((StatusCode::UNPROCESSABLE_ENTITY, Html(page.render()?)).into_response())
}

/// To the page of what was saved.
pub(crate) fn see(address: &str) -> Response {
    axum::response::Redirect::to(address).into_response()
}

#[derive(Template)]
#[template(path = "problem.html")]
struct ProblemPage {
    layout: Layout,
    says: String,
    next: &'static str,
}

/// Dresses every bare answer: problems of ours, and axum's own.
pub(crate) async fn present(State(desk): State<Desk>, request: Request, next: Next) -> Response {
    let wants_json = wants_json(request.headers());
    let response = next.run(request).await;
    let status = response.status();
    let problem = response.extensions().get::<Arc<Problem>>().cloned();
    let (title, says, what_next) = match &problem {
        Some(problem) => {
            if status.is_server_error() {
                tracing::error!(%status, ?problem, "a request failed");
            }
            let (_, title, says, what_next) = problem.face();
            (title, says, what_next)
        }
        None if is_bare_failure(&response) => plain_face(status),
        None => return response,
    };
    let mut dressed = if wants_json {
        axum::Json(serde_json::json!({ "title": title, "says": says })).into_response()
    } else {
        let layout = desk
            .layout(title, "none")
            .await
            .unwrap_or_else(|_| desk.frame(title, "none", String::new()));
        match (ProblemPage {
            layout,
            says,
            next: what_next,
        })
        .render()
        {
            Ok(text) => Html(text).into_response(),
            Err(_) => Body::from(title).into_response(),
        }
    };
    *dressed.status_mut() = status;
    for name in [header::ALLOW, header::RETRY_AFTER] {
        if let Some(value) = response.headers().get(&name) {
            dressed.headers_mut().insert(name, value.clone());
        }
    }
    if status == StatusCode::SERVICE_UNAVAILABLE {
        dressed
            .headers_mut()
            .insert(header::RETRY_AFTER, header::HeaderValue::from_static("2"));
    }
    dressed
}

pub(crate) fn wants_json(headers: &HeaderMap) -> bool {
    let accept = headers
        .get(header::ACCEPT)
        .and_then(|v| v.to_str().ok())
        .unwrap_or("");
    accept.contains("application/json") && !accept.contains("text/html")
}

/// Whether a failure has no page yet: empty or plain text, as axum's own answers are.
fn is_bare_failure(response: &Response) -> bool {
    let status = response.status();
    let kind = response
        .headers()
        .get(header::CONTENT_TYPE)
        .and_then(|v| v.to_str().ok())
        .unwrap_or("");
    (status.is_client_error() || status.is_server_error())
        && (kind.is_empty() || kind.starts_with("text/plain"))
}

fn plain_face(status: StatusCode) -> (&'static str, String, &'static str) {
    let (title, says, next) = match status {
        StatusCode::NOT_FOUND => (
            "No such page",
            "There is nothing at this address.",
            "Go to the bench, or look in the list of jobs.",
        ),
        StatusCode::METHOD_NOT_ALLOWED => (
            "Not that way",
            "This address does not take what was sent.",
            "Go back and use the form of the page.",
        ),
        StatusCode::PAYLOAD_TOO_LARGE => (
            "Too large",
            "More was sent than this page takes.",
            "Go back and send less.",
        ),
        StatusCode::REQUEST_TIMEOUT => (
            "Too slow",
            "The request took too long to arrive.",
            "Go back and send it again.",
        ),
        StatusCode::FORBIDDEN => (
            "Not from there",
            "This was not sent from a page of this workshop.",
            "Open the page here and send it again.",
        ),
        s if s.is_client_error() => (
            "This could not be read",
            "What was sent is not what this page takes.",
            "Go back and send it again.",
        ),
        _ => (
            "The program could not do this",
            "Something failed inside the program; what was saved before is still saved.",
            "Go back and try once more.",
        ),
    };
    (title, says.to_owned(), next)
}
