//! An entry from a script, as JSON: the entry of a trial's file, without what only the server can say of it.

use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use axum::response::{IntoResponse, Response};
use records::TrialId;
use records::log::Sent;

use super::entries::{Coming, acknowledged, append};
use super::tree::Tree;
use crate::desk::Desk;
use crate::problem::Problem;

/// Takes `{"key": …, "entry": {…}}`, and answers with what is stored.
pub(super) async fn enter(desk: &Desk, id: TrialId, request: Request) -> Result<Response, Problem> {
    let body = match Bytes::from_request(request, &()).await {
        Ok(body) => body,
        Err(refused) => return Ok(refused.into_response()),
    };
    let unreadable = |says: String| Problem::Unreadable(says);
    let text = std::str::from_utf8(&body).map_err(|e| unreadable(e.to_string()))?;
    let mut sent = Tree::read(text).map_err(|e| unreadable(e.to_string()))?;
    let key = sent.typed_at("key");
    if key.len() != 32 || !key.bytes().all(|b| b.is_ascii_hexdigit()) {
        return Err(unreadable(
            "key: give 32 hex digits, made once for this entry".to_owned(),
        ));
    }
    let mut entry = sent
        .remove("entry")
        .ok_or_else(|| unreadable("entry: it is missing".to_owned()))?;
    // Who came in says it, whatever name is sent.
    entry.remove("by");
    let signs = signed(&entry)?;
    let sent = Sent {
        trial: id,
        key: key.clone(),
        content: body.to_vec(),
        written_at: None,
        from: None,
    };
    let stored = append(desk, sent, Coming::Script { entry, signs }).await?;
    acknowledged(stored, key)
}

/// What a script's entry signs, if it signs anything.
fn signed(entry: &Tree) -> Result<Option<String>, Problem> {
    for given in ["id", "received_at_s"] {
        if entry.at(given).is_some() {
            return Err(Problem::Unreadable(format!(
                "entry.{given}: the server gives it; leave it out"
            )));
        }
    }
    if entry.at("keeps").is_some() {
        return Err(Problem::Refused(
            "entry.keeps: the program enters that by itself, once what it says is so".to_owned(),
        ));
    }
    match entry.typed_at("signs").as_str() {
        "" => {}
        "close" => {
            return Err(Problem::Refused(
                "a trial is closed on its page, with its list and its answer".to_owned(),
            ));
        }
        "witness" => return Ok(None),
        hold => return Ok(Some(hold.to_owned())),
    }
    let signs = entry.at("done") == Some("true") && entry.at("override") != Some("true");
    Ok(signs
        .then(|| entry.typed_at("check"))
        .filter(|name| !name.is_empty()))
}
