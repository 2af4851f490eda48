//! Putting back what a change changed, in one press: by the form that the record is changed with, so by its rules.

use std::pin::Pin;

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::post;
use records::change::{self, Change, Subject};
use records::{Error, Write, fresh_key, sha256};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::layout::Layout;
use crate::problem::{Problem, page, see};

/// The address to put back by.
pub(crate) fn routes() -> Router<Desk> {
    Router::new().route("/put-back/{change}", post(put_back))
}

/// One way in which a kind of record is changed: a form of it, or a press.
pub(crate) trait Kept: 'static {
    /// The record as it is kept.
    type Row: Serialize + DeserializeOwned + Send + Sync;
    /// What the form says, once it is read.
    type New: Send + Sync + 'static;

    /// The columns that it writes.
    const WRITES: &'static [&'static str];
    /// The times and counts that go with those by themselves.
    const FOLLOWS: &'static [&'static str] = &[];

    /// A record.
    fn find(desk: &Desk, id: i64) -> impl Future<Output = Result<Self::Row, Error>> + Send;

    /// The record as its form would say it, read by the rules of that form.
    fn written(row: &Self::Row) -> Result<Self::New, Faults>;

    /// Writes what has changed of it.
    fn change(
        w: &mut Write,
        id: i64,
        new: &Self::New,
    ) -> impl Future<Output = Result<(), Error>> + Send;
}

/// What came of it: the faults where a form does not take it back.
type Done<'a> = Pin<Box<dyn Future<Output = Result<Result<String, Faults>, Problem>> + Send + 'a>>;

/// What is to be put back, and how that stood when it was looked at.
struct Asked<'a> {
    change: &'a Change,
    seen: &'a Map<String, Value>,
    posted: &'a Posted<PutBackForm>,
    back: &'a str,
}

/// How a kind of change is put back.
pub(crate) struct Way {
    subject: Subject,
    writes: &'static [&'static str],
    follows: &'static [&'static str],
    run: for<'a> fn(&'a Desk, Asked<'a>) -> Done<'a>,
}

impl Way {
    /// By a form of a kind of record.
    pub(crate) const fn by<F: Kept>(subject: Subject) -> Self {
        Self {
            subject,
            writes: F::WRITES,
            follows: F::FOLLOWS,
            run: by_form::<F>,
        }
    }

    /// The way of a change; none where it cannot be put back: what was made is withdrawn instead, and what
    /// somebody else answered, what was sealed or what followed from something stays.
    pub(crate) fn of(change: &Change) -> Option<&'static Self> {
        let (subject, was) = (change.of()?, change.was());
        if matches!(change.what.as_str(), "withdrawn" | "put back") {
            return Some(&BY_WITHDRAWING);
        }
        let its = |way: &&Self| {
            let known = |key: &String| {
                way.writes.contains(&key.as_str()) || way.follows.contains(&key.as_str())
            };
            way.subject == subject && !was.is_empty() && was.keys().all(known)
        };
        ALL.iter().flat_map(|ways| ways.iter()).find(its)
    }
}

const ALL: &[&[Way]] = &[
    crate::jobs::WAYS,
    crate::stock::WAYS,
    crate::customers::WAYS,
    crate::plants::WAYS,
    crate::instruments::WAYS,
    crate::appointments::WAYS,
    crate::fitted::WAYS,
    crate::pictures::WAYS,
    crate::looks::WAYS,
];

const BY_WITHDRAWING: Way = Way {
    subject: Subject::Job,
    writes: &["withdrawn_at"],
    follows: &[],
    run: by_withdrawing,
};

fn by_form<'a, F: Kept>(desk: &'a Desk, asked: Asked<'a>) -> Done<'a> {
    Box::pin(async move {
        let id = asked.change.subject_id;
        let row = F::find(desk, id).await?;
        let new = match F::written(&change::over(&row, asked.change)?) {
            Ok(new) => new,
            Err(faults) => return Ok(Err(faults)),
        };
        let (kept, seen) = (asked.change.clone(), asked.seen.clone());
        let back = asked.back.to_owned();
        let work = desk.once(asked.posted, move |w| {
            Box::pin(async move {
                let held = change::hold(w, &kept, &seen).await?;
                F::change(w, id, &new).await?;
                held.proven(w, F::FOLLOWS).await?;
                Ok(back)
            })
        });
        Ok(Ok(work.await?))
    })
}

fn by_withdrawing<'a>(desk: &'a Desk, asked: Asked<'a>) -> Done<'a> {
    Box::pin(async move {
        let subject = asked.change.of().ok_or(Problem::Missing("record"))?;
        let (id, back) = (asked.change.subject_id, asked.back.to_owned());
        let withdrawn = asked.change.what == "put back";
        let work = desk.once(asked.posted, move |w| {
            Box::pin(async move {
                change::withdraw(w, subject, id, withdrawn).await?;
                Ok(back)
            })
        });
        Ok(Ok(work.await?))
    })
}

/// Whether two values say the same: of a moment only whether it is there.
pub(crate) fn same(key: &str, a: &Value, b: &Value) -> bool {
    if key.ends_with("_at") || key.ends_with("_since") {
        a.is_null() == b.is_null()
    } else {
        a == b
    }
}

fn all_same(a: &Map<String, Value>, b: &Map<String, Value>) -> bool {
    a.iter()
        .all(|(key, value)| b.get(key).is_some_and(|other| same(key, value, other)))
}

/// Where it leads afterwards, and how the values stood that were looked at.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct PutBackForm {
    back: String,
    seen: String,
}

/// One value: its name, as it was, as it was changed to, as it is now.
struct Valued {
    name: String,
    was: String,
    became: String,
    now: String,
}

#[derive(Template)]
#[template(path = "changes/put_back.html")]
struct Ask {
    layout: Layout,
    change: Change,
    values: Vec<Valued>,
    faults: Faults,
    back: String,
    seen: String,
    key: String,
}

async fn put_back(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<PutBackForm>,
) -> Result<Response, Problem> {
    let kept = change::find(desk.store(), id).await?;
    let way = Way::of(&kept).ok_or_else(|| {
        let says = "this cannot be put back: what followed from something, or was said by somebody else, stays as it is";
        Problem::Refused(says.to_owned())
    })?;
    let now = change::stands(desk.store(), &kept).await?;
    let back = crate::withdraw::ours(&posted.form.back);
    if all_same(&kept.was(), &now) {
        return Ok(see(&back));
    }
    let seen = sha256(Value::Object(now.clone()).to_string().as_bytes());
    if !all_same(&kept.became(), &now) && posted.form.seen != seen {
        return ask(&desk, kept, &now, back, Faults::default()).await;
    }
    let asked = Asked {
        change: &kept,
        seen: &now,
        posted: &posted,
        back: &back,
    };
    match (way.run)(&desk, asked).await? {
        Ok(to) => Ok(see(&to)),
        Err(faults) => ask(&desk, kept, &now, back, faults).await,
    }
}

/// Shows what it was, what it was changed to and what it is now, before anything is written over; or why its
/// form does not take it back.
async fn ask(
    desk: &Desk,
    kept: Change,
    now: &Map<String, Value>,
    back: String,
    faults: Faults,
) -> Result<Response, Problem> {
    let kept = change::named(desk.store(), kept, now).await?;
    let (was, became) = (kept.was(), kept.became());
    let values = became.keys().map(|key| Valued {
        name: change::words(key),
        was: kept.says(key, was.get(key)),
        became: kept.says(key, became.get(key)),
        now: kept.says(key, now.get(key)),
    });
    let shown = page(&Ask {
        layout: desk.layout("Put back as it was", "jobs").await?,
        values: values.collect(),
        seen: sha256(Value::Object(now.clone()).to_string().as_bytes()),
        key: fresh_key(),
        change: kept,
        faults,
        back,
    })?;
    Ok((StatusCode::CONFLICT, shown).into_response())
}
