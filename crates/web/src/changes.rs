//! What was changed of a record, by whom and when: shown with it, so that a slip of the hand can be seen and put right.

use std::collections::HashMap;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Html;
use axum::routing::get;
use records::change::{self, Change, Subject};
use records::jobs::{self, Job};
use records::{Stamp, fresh_key};
use serde::Deserialize;
use serde_json::Value;

use crate::desk::Desk;
use crate::layout::Layout;
use crate::paging::{LINES, Paging, asked};
use crate::problem::{Problem, page};
use crate::put_back::{Way, same};

/// The lists that go on.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/changes/{subject}/{id}", get(of_record))
        .route("/jobs/{number}/changes", get(of_a_job))
        .route("/jobs/{number}/news/changes", get(of_its_news))
}

/// One change, as a page shows it.
pub(crate) struct Line {
    /// What was kept.
    pub change: Change,
    /// The hidden key of the form that puts it back as it was, where it can be.
    pub key: Option<String>,
}

/// What was changed of a record, the newest first.
#[derive(Default)]
pub(crate) struct Changes {
    /// The newest of them.
    pub lines: Vec<Line>,
    /// The page they stand on: what is put back leads there again.
    pub at: String,
    /// Where the list goes on.
    pub paging: Paging,
}

impl Changes {
    fn of(mut kept: Vec<Change>, at: String, on: impl FnOnce(&Change) -> String) -> Self {
        let paging = Paging::cut(&mut kept, LINES, "Earlier changes", on);
        Self {
            lines: lines(kept),
            at,
            paging,
        }
    }

    /// Nothing was changed, or nothing can be.
    pub(crate) fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }
}

/// A change that would put back what stands by now anyway has no key, nor has one of a variation that was answered
/// since: what somebody agreed to is not altered afterwards.
fn lines(kept: Vec<Change>) -> Vec<Line> {
    let mut stands: HashMap<(String, i64, String), Value> = HashMap::new();
    let mut all = Vec::new();
    for change in kept {
        for (key, value) in change.became() {
            let of = (change.subject.clone(), change.subject_id, key);
            stands.entry(of).or_insert(value);
        }
        let differs = change.was().into_iter().any(|(key, was)| {
            let of = (change.subject.clone(), change.subject_id, key);
            stands.get(&of).is_some_and(|now| !same(&of.2, now, &was))
        });
        let answer = (
            change.subject.clone(),
            change.subject_id,
            "answer".to_owned(),
        );
        let answered = stands.get(&answer).is_some_and(|given| !given.is_null());
        let key = (differs && !answered && Way::of(&change).is_some()).then(fresh_key);
        all.push(Line { change, key });
    }
    all
}

/// The changes of one record, the newest first; `at` is the page they are shown on.
pub(crate) async fn of(
    desk: &Desk,
    subject: Subject,
    id: i64,
    at: String,
) -> Result<Changes, Problem> {
    behind(desk, subject, id, None, at).await
}

async fn behind(
    desk: &Desk,
    subject: Subject,
    id: i64,
    last: Option<i64>,
    at: String,
) -> Result<Changes, Problem> {
    let kept = change::of(desk.store(), subject, id, last, asked(LINES)).await?;
    let list = address(subject, id);
    Ok(Changes::of(kept, at, |c| format!("{list}?behind={}", c.id)))
}

/// The changes of a job and of all that belongs to it.
pub(crate) async fn of_job(desk: &Desk, job: &Job, at: String) -> Result<Changes, Problem> {
    job_behind(desk, job, &Behind::default(), at).await
}

async fn job_behind(desk: &Desk, job: &Job, last: &Behind, at: String) -> Result<Changes, Problem> {
    let behind = last.at.map(Stamp::from_millis).zip(last.behind);
    let kept = change::of_job(desk.store(), job.id, behind, asked(LINES)).await?;
    let list = format!("/jobs/{}/changes", job.number());
    Ok(Changes::of(kept, at, |c| {
        format!("{list}?at={}&behind={}", c.at.millis(), c.id)
    }))
}

/// The changes of a job's lines of news.
pub(crate) async fn of_news(desk: &Desk, job: &Job) -> Result<Changes, Problem> {
    let at = format!("/jobs/{}/publish", job.number());
    news_behind(desk, job, None, at).await
}

async fn news_behind(
    desk: &Desk,
    job: &Job,
    last: Option<i64>,
    at: String,
) -> Result<Changes, Problem> {
    let kept = change::of_news(desk.store(), job.id, last, asked(LINES)).await?;
    let list = format!("/jobs/{}/news/changes", job.number());
    Ok(Changes::of(kept, at, |c| format!("{list}?behind={}", c.id)))
}

/// Where all changes of a record are listed.
pub(crate) fn address(subject: Subject, id: i64) -> String {
    format!("/changes/{}/{id}", subject.slug())
}

/// Where a list goes on: behind the change of this moment and row.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Behind {
    at: Option<i64>,
    behind: Option<i64>,
}

#[derive(Template)]
#[template(path = "changes/list.html")]
struct ChangeList {
    layout: Layout,
    changes: Changes,
}

impl ChangeList {
    /// The page, with the way back to its beginning where it is not the first.
    fn of(layout: Layout, mut changes: Changes, last: &Behind) -> Result<Html<String>, Problem> {
        let (first, on) = (changes.at.clone(), std::mem::take(&mut changes.paging));
        changes.paging = on.begins(last.behind.is_some(), &first, "The newest");
        page(&Self { layout, changes })
    }
}

async fn of_record(
    State(desk): State<Desk>,
    Path((subject, id)): Path<(String, i64)>,
    Query(last): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let subject = Subject::from_any_slug(&subject).ok_or(Problem::Missing("page"))?;
    let changes = behind(&desk, subject, id, last.behind, address(subject, id)).await?;
    let title = format!("Changes of the {}", subject.word());
    ChangeList::of(desk.layout(&title, "jobs").await?, changes, &last)
}

async fn of_a_job(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    Query(last): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let at = format!("/jobs/{}/changes", job.number());
    let changes = job_behind(&desk, &job, &last, at).await?;
    let title = format!("Changes of {}", job.number());
    ChangeList::of(
        crate::jobs::layout(&desk, &job, &title).await?,
        changes,
        &last,
    )
}

async fn of_its_news(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    Query(last): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let at = format!("/jobs/{}/news/changes", job.number());
    let changes = news_behind(&desk, &job, last.behind, at).await?;
    let title = format!("Changes of the news of {}", job.number());
    ChangeList::of(
        crate::jobs::layout(&desk, &job, &title).await?,
        changes,
        &last,
    )
}
