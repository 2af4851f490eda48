//! The customer's own answer to a variation: yes or no, under a name, once.
//!
//! The private link is the key to it. The page sends no referrer, so a browser says `Origin: null`; who
//! knows the link may answer, and nobody else can name the address.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{Html, IntoResponse, Response};
use records::{Error, shares, variations};
use serde::Deserialize;

use super::{Counter, ProgressPage, address, by_link, gone};
use crate::form::Posted;
use crate::problem::see;

/// The answer as it was sent.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct AnswerForm {
    answer: String,
    name: String,
}

/// What keeps an answer from being kept, for the customer.
#[derive(Template)]
#[template(path = "progress/not_kept.html")]
struct NotKept {
    css: String,
    title: &'static str,
    says: &'static str,
    back: String,
}

/// Keeps the answer, and shows the page again with it.
pub(super) async fn answer(
    State(counter): State<Counter>,
    Path((token, serial)): Path<(String, i64)>,
    headers: HeaderMap,
    posted: Posted<AnswerForm>,
) -> Response {
    if from_elsewhere(&headers) {
        return StatusCode::FORBIDDEN.into_response();
    }
    let Ok(share) = shares::open(&counter.store, &token).await else {
        return gone(StatusCode::NOT_FOUND);
    };
    let agreed = match posted.form.answer.as_str() {
        "yes" => true,
        "no" => false,
        _ => return not_kept(StatusCode::UNPROCESSABLE_ENTITY, &token),
    };
    let name = posted.form.name.trim().to_owned();
    let says = match name.chars().count() {
        0 => "Give your name, so that it is known who answered.",
        1..=80 if !name.chars().any(char::is_control) => "",
        _ => "Write a name of at most 80 letters.",
    };
    if !says.is_empty() {
        let page = by_link(&counter.store, share.job_id, &token).await;
        return again(page, serial, &posted.form.name, says);
    }
    let job = share.job_id;
    // The name is kept under the answer alone, where it can be erased.
    let by = format!("customer, by private link {}", share.id);
    let kept = counter
        .store
        .once(&by, &posted.key, &posted.content, move |w| {
            Box::pin(async move {
                variations::answer_on_page(w, job, serial, agreed, &name).await?;
                // Where it led is kept beside the key of the form: never the link itself.
                Ok("answered".to_owned())
            })
        })
        .await;
    match kept {
        Ok(_) => {
            tracing::info!(link = share.id.get(), serial, "the customer answered");
            see(&address(&token))
        }
        Err(Error::Missing(_)) => gone(StatusCode::NOT_FOUND),
        Err(Error::Refused(_) | Error::KeyReused) => not_kept(StatusCode::CONFLICT, &token),
        Err(error) => {
            tracing::error!(link = share.id.get(), %error, "an answer was not kept");
            not_kept(StatusCode::SERVICE_UNAVAILABLE, &token)
        }
    }
}

/// Does a browser say that another site's page sent it?
fn from_elsewhere(headers: &HeaderMap) -> bool {
    headers
        .get("sec-fetch-site")
        .is_some_and(|site| site == "cross-site")
}

/// The page again with what was typed and what is wrong with it.
fn again(page: Result<ProgressPage, Error>, serial: i64, name: &str, says: &str) -> Response {
    let Ok(mut page) = page else {
        return gone(StatusCode::NOT_FOUND);
    };
    if let Some(asked) = page.decisions.iter_mut().find(|d| d.serial == serial) {
        name.clone_into(&mut asked.name);
        says.clone_into(&mut asked.says);
    }
    let text = page.render().unwrap_or_default();
    (StatusCode::UNPROCESSABLE_ENTITY, Html(text)).into_response()
}

fn not_kept(status: StatusCode, token: &str) -> Response {
    let (title, says) = match status {
        StatusCode::CONFLICT => (
            "It has been answered",
            "An answer is given once, and one is kept already. The page shows it.",
        ),
        StatusCode::SERVICE_UNAVAILABLE => (
            "Your answer was not kept",
            "The workshop's machine could not keep it. Send it again in a while, or tell the workshop another way.",
        ),
        _ => (
            "Your answer was not kept",
            "It was neither yes nor no. Open the page again and press one of the two.",
        ),
    };
    let page = NotKept {
        css: crate::assets::stylesheet(),
        title,
        says,
        back: address(token),
    };
    (status, Html(page.render().unwrap_or_default())).into_response()
}
