//! Entries coming in, from a form or from a script: stored first, acknowledged after.

use axum::Json;
use axum::extract::{FromRequest, Path, Request, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use records::log::{self, FromPhone, Made, Place, Sent, Stored};
use records::{Error, TrialId};

use super::bounds;
use super::doubt::doubtful;
use super::entry_form::{self, Draft};
use super::load::{Judged, address};
use super::tree::{Tree, quoted};
use super::typed::Typed;
use super::when::When;
use super::{in_order, lists, phone, quieten, run, script, signing, voiding};
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::problem::{Problem, see, wants_json};

/// One entry: a form of the page, or JSON `{"key": …, "entry": {…}}`.
pub(super) async fn enter(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    request: Request,
) -> Result<Response, Problem> {
    let id = TrialId::new(id);
    if is_json(&request) {
        return script::enter(&desk, id, request).await;
    }
    if wants_json(request.headers()) {
        return from_phone(&desk, id, request).await;
    }
    let posted = match Posted::<Typed>::from_request(request, &()).await {
        Ok(posted) => posted,
        Err(response) => return Ok(response),
    };
    let read = draft_of(&desk, id, &posted.form).await?;
    let draft = match read {
        Ok(draft) => draft,
        Err(faults) => return run::refused(&desk, id, &posted.form, faults).await,
    };
    let trial = Judged::load(desk.store(), id).await?;
    let asked = || doubtful(&trial, &posted.form);
    if let Some(faults) = bounds::over(&trial, &posted.form).or_else(asked) {
        return run::refused(&desk, id, &posted.form, faults).await;
    }
    let sent = sent(id, &posted, None);
    match append(&desk, sent, Coming::form(draft)).await {
        Ok(_) => Ok(see(&back(id, &posted.form))),
        Err(Error::Unusable(faults)) => {
            run::refused(&desk, id, &posted.form, beside(&faults)).await
        }
        Err(error @ (Error::NotSaving(_) | Error::Busy))
            if matches!(posted.form.get("what"), "reading" | "event") =>
        {
            run::not_kept(&desk, &trial, &posted, error).await
        }
        Err(error) => Err(error.into()),
    }
}

/// What a form says that enters something; for some of them that hangs on how the trial stands.
async fn draft_of(
    desk: &Desk,
    id: TrialId,
    form: &Typed,
) -> Result<Result<Draft, Faults>, Problem> {
    let what = form.get("what");
    if !matches!(what, "item" | "quieten" | "list" | "complete") {
        return Ok(entry_form::read(form));
    }
    let trial = Judged::load(desk.store(), id).await?;
    let read = match what {
        "item" => in_order::read(&trial, form),
        "quieten" => quieten::read(&trial, form),
        "list" => lists::read(&trial, form, &desk.by().await?),
        _ => lists::complete(&trial),
    };
    // A permission: refused as things stand, whichever page it comes from.
    if let Err(faults) = &read
        && let Some(says) = ["stop", "complete"]
            .map(|f| faults.of(f))
            .into_iter()
            .find(|f| !f.is_empty())
    {
        return Err(Problem::Refused(says.to_owned()));
    }
    Ok(read)
}

fn sent(trial: TrialId, posted: &Posted<Typed>, from: Option<FromPhone>) -> Sent {
    Sent {
        trial,
        key: posted.key.clone(),
        content: posted.content.clone(),
        written_at: None,
        from,
    }
}

/// One entry out of a phone's outbox: the form of the page as it was at the press, with the phone's own time, answered
/// with what is stored. The phone has asked about what is doubtful before it kept it.
async fn from_phone(desk: &Desk, id: TrialId, request: Request) -> Result<Response, Problem> {
    let posted = match Posted::<Typed>::from_request(request, &()).await {
        Ok(posted) => posted,
        Err(response) => return Ok(response),
    };
    let draft = draft_of(desk, id, &posted.form).await?;
    let (from, draft) = match phone::read(&posted.form).and_then(|from| Ok((from, draft?))) {
        Ok(read) => read,
        Err(faults) => return Ok(faulty(&faults)),
    };
    let jumped = posted.form.get("jumped") == "yes";
    let when = from
        .clone()
        .map_or(When::Server, |from| When::Phone { from, jumped });
    let coming = Coming::Form { draft, when };
    match append(desk, sent(id, &posted, from), coming).await {
        Ok(stored) => acknowledged(stored, posted.key),
        Err(Error::Unusable(faults)) => {
            let trial = Judged::load(desk.store(), id).await?;
            let over = bounds::over(&trial, &posted.form);
            Ok(faulty(&over.unwrap_or_else(|| beside(&faults))))
        }
        Err(error) => Err(error.into()),
    }
}

/// What cannot be taken, each with its box, for a script.
fn faulty(faults: &Faults) -> Response {
    let list: Vec<_> = faults
        .list()
        .iter()
        .map(|f| serde_json::json!({"field": f.field, "says": f.says}))
        .collect();
    let body = Json(serde_json::json!({ "faults": list }));
    (StatusCode::UNPROCESSABLE_ENTITY, body).into_response()
}

fn is_json(request: &Request) -> bool {
    let kind = request
        .headers()
        .get(header::CONTENT_TYPE)
        .and_then(|v| v.to_str().ok());
    kind.is_some_and(|k| k.starts_with("application/json"))
}

/// Where a form leads after it was stored.
fn back(id: TrialId, form: &Typed) -> String {
    let page = match form.get("page") {
        "readings" => format!("{}/readings", address(id)),
        _ => address(id),
    };
    match (form.get("what"), form.get("list")) {
        ("item", list) => format!("{page}#list-{list}"),
        _ => page,
    }
}

/// Faults found when the entry was laid to the rest of the trial, each beside the box it speaks of.
fn beside(faults: &[String]) -> Faults {
    let mut all = Faults::default();
    for says in faults {
        let box_of = |key: &&str| says.contains(*key);
        let key = super::readings::READINGS
            .iter()
            .map(|r| r.0)
            .find(box_of)
            .unwrap_or("pressure_bar");
        let words = says
            .split_once(": ")
            .map_or(says.as_str(), |(_, words)| words);
        all.add(key, words);
    }
    all
}

/// What comes in, before it has its place in the log.
pub(super) enum Coming {
    /// From a form: timed by the server's clock, or by the phone's that it comes from.
    Form { draft: Draft, when: When },
    /// From a script, with its own time.
    Script { entry: Tree, signs: Option<String> },
}

impl Coming {
    /// From a form that the server times.
    pub(super) fn form(draft: Draft) -> Self {
        Self::Form {
            draft,
            when: When::Server,
        }
    }

    fn signs(&self) -> Option<&str> {
        match self {
            Self::Form { draft, .. } => draft.signs.as_deref(),
            Self::Script { signs, .. } => signs.as_deref(),
        }
    }

    /// What a script says was seen; what a form says has been read with its item.
    fn saw(&self) -> Option<String> {
        match self {
            Self::Form { .. } => None,
            Self::Script { entry, .. } => Some(entry.typed_at("value")),
        }
    }

    fn text(self, place: &Place) -> String {
        match self {
            Self::Form { draft, when } => format!(
                r#"{{{},{},"id":{},"by":{}}}"#,
                when.fields(place),
                draft.fields,
                quoted(&place.id),
                quoted(&place.by)
            ),
            Self::Script { mut entry, .. } => {
                let timed = entry.at("t_s").is_some();
                if !timed {
                    entry.put("t_s", place.received_at_s.clone());
                }
                if entry.at("clock").is_none() {
                    entry.put("clock", quoted(if timed { "device" } else { "server" }));
                }
                if entry.at("by").is_none() {
                    entry.put("by", quoted(&place.by));
                }
                entry.put("id", quoted(&place.id));
                entry.put("received_at_s", place.received_at_s.clone());
                entry.text()
            }
        }
    }
}

/// Stores one entry; a signature is looked at within the same transaction.
pub(super) async fn append(desk: &Desk, sent: Sent, coming: Coming) -> Result<Stored, Error> {
    let by = match desk.by().await {
        Ok(by) => by,
        Err(Problem::Store(error)) => return Err(error),
        Err(other) => return Err(Error::Refused(other.to_string())),
    };
    let (store, trial) = (desk.store().clone(), sent.trial);
    let stored = desk
        .store()
        .write(&by, move |w| {
            Box::pin(async move {
                if log::find(&store, sent.trial).await?.withdrawn_at.is_some() {
                    // A fact for a withdrawn trial puts it back: what happens is never out of sight.
                    log::withdraw(w, sent.trial, false).await?;
                }
                // What is kept already was permitted then, and is only answered again.
                if let Some(name) = coming.signs()
                    && !log::is_kept(w, &sent.key).await?
                {
                    let (by, saw, at) = (w.by().to_owned(), coming.saw(), sent.at(w.now()));
                    match in_order::named(name) {
                        Some(_) => {
                            in_order::may_do(&store, sent.trial, name, saw.as_deref(), &by, at)
                                .await?
                        }
                        None => signing::may_sign(&store, sent.trial, name, &by).await?,
                    }
                }
                let kept = log::append_in(w, &sent, move |place| place_in(place, coming)).await?;
                voiding::after(w, &store, &kept).await?;
                Ok(kept)
            })
        })
        .await?;
    desk.tell(trial);
    Ok(stored)
}

/// Makes the entry's canonical text, and sees that the trial can still be read with it: against its plant and
/// instruments, and that what it puts right is there.
pub(super) fn place_in(place: &Place, coming: Coming) -> Result<Made, Error> {
    let unusable = |faults: triallog::Faults| {
        Error::Unusable(faults.iter().map(ToString::to_string).collect())
    };
    let entry = triallog::read_entry(&coming.text(place)).map_err(unusable)?;
    let head = triallog::read_head(&place.trial.head).map_err(unusable)?;
    head.check(&entry).map_err(unusable)?;
    let text = entry.canonical().to_owned();
    let target = Tree::read(&text)
        .map_err(|e| Error::Damaged(e.to_string()))?
        .at("corrects")
        .map(str::to_owned);
    if let Some(target) = target {
        // Ids are given in the order of the log; a time could come to name two entries later.
        let earlier = target
            .trim_matches('"')
            .strip_prefix('a')
            .and_then(|n| n.parse::<i64>().ok());
        if !earlier.is_some_and(|n| (1..place.seq).contains(&n)) {
            return Err(Error::Unusable(vec![format!(
                "corrects: {target} is no entry of this trial; name one by its id, such as \"a1\""
            )]));
        }
    }
    Ok(Made {
        text,
        t_s: entry.t_s(),
    })
}

/// The acknowledgement: it repeats the key, and what is stored as it is stored.
pub(super) fn acknowledged(stored: Stored, key: String) -> Result<Response, Problem> {
    let entry: Box<serde_json::value::RawValue> =
        serde_json::from_str(&stored.text).map_err(|e| Error::Damaged(e.to_string()))?;
    let status = if stored.again {
        StatusCode::OK
    } else {
        StatusCode::CREATED
    };
    let answer = Ack {
        key,
        seq: stored.seq,
        again: stored.again,
        hash: stored.hash,
        received_at_ms: stored.received_at.millis(),
        entry,
    };
    Ok((status, Json(answer)).into_response())
}

/// The acknowledgement of a script's entry: what is stored, as it is stored.
#[derive(serde::Serialize)]
struct Ack {
    key: String,
    seq: i64,
    again: bool,
    hash: String,
    received_at_ms: i64,
    entry: Box<serde_json::value::RawValue>,
}
