//! What to look at next: the ranked troubles, each a defect or a *next time* line in one tap.

use axum::extract::{Path, State};
use axum::response::Response;
use calc::trial::LookNext;
use records::defects::{self, NewDefect, Origin};
use records::{TrialId, jobs};

use super::load::Judged;
use super::typed::Typed;
use crate::desk::Desk;
use crate::form::Posted;
use crate::problem::{Problem, see};

/// A trouble in words.
#[derive(Clone, Debug)]
pub(super) struct NextShown {
    pub(super) name: &'static str,
    pub(super) sign: &'static str,
    pub(super) is: &'static str,
    pub(super) shows: String,
    pub(super) tells: &'static str,
    pub(super) check: &'static str,
    pub(super) remedy: &'static str,
    pub(super) source: &'static str,
    /// Does the log speak for it, or is it only one of those that this sign can have?
    pub(super) told: bool,
    /// Number of the defect that was made of it; 0 where none was.
    pub(super) defect: i64,
}

/// What to look at next in a trial, what its log speaks for first.
pub(super) fn shown(trial: &Judged) -> Vec<NextShown> {
    let all = trial.judged.look_next.iter();
    all.map(|next| {
        let row = next.trouble;
        NextShown {
            name: row.name,
            sign: row.sign.words(),
            is: row.is,
            shows: next.shows.clone().unwrap_or_default(),
            tells: row.tells,
            check: row.check,
            remedy: row.remedy,
            source: row.source,
            told: next.shows.is_some(),
            defect: 0,
        }
    })
    .collect()
}

/// How many of them the log says nothing of.
pub(super) fn untold(trial: &Judged) -> usize {
    let all = trial.judged.look_next.iter();
    all.filter(|next| next.shows.is_none()).count()
}

/// Makes a trouble a defect of the job, or the job's *next time* line.
pub(super) async fn make(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), TrialId::new(id)).await?;
    let name = posted.form.get("name");
    let all = &trial.judged.look_next;
    let next = all.iter().find(|n| n.trouble.name == name).ok_or_else(|| {
        Problem::Unreadable("the log no longer shows this; open the page again".to_owned())
    })?;
    let to = match posted.form.get("as") {
        "defect" => as_defect(&desk, &trial, next, &posted).await?,
        "next-time" => as_next_time(&desk, &trial, next, &posted).await?,
        _ => {
            let says = "say whether it is to be a defect or a next time line".to_owned();
            return Err(Problem::Unreadable(says));
        }
    };
    Ok(see(&to))
}

async fn as_defect(
    desk: &Desk,
    trial: &Judged,
    next: &LookNext,
    posted: &Posted<Typed>,
) -> Result<String, Problem> {
    let row = next.trouble;
    let shows = next.shows.as_deref().unwrap_or_default();
    let new = NewDefect {
        component_id: None,
        what: format!("{}: {}? {shows}", row.sign.words(), row.is.to_lowercase())
            .trim_end()
            .to_owned(),
        bar: row.bar.word().to_owned(),
        to_do: format!("{} {}", row.check, row.remedy),
        origin: Origin::Trial {
            trial: trial.row.id,
            rule: row.name.to_owned(),
            raised_at_s: next.since_s,
        },
    };
    let (job, back) = (trial.row.job_id, format!("{}#look-next", trial.address()));
    desk.once(posted, move |w| {
        Box::pin(async move {
            defects::make(w, job, &new).await?;
            Ok(back)
        })
    })
    .await
}

async fn as_next_time(
    desk: &Desk,
    trial: &Judged,
    next: &LookNext,
    posted: &Posted<Typed>,
) -> Result<String, Problem> {
    let (job, line) = (trial.row.job_id, next.trouble.check);
    let back = format!("/jobs/{}", trial.row.job_number());
    desk.once(posted, move |w| {
        Box::pin(async move {
            let before = jobs::by_id_in(w, job).await?.next_time;
            if !before.contains(line) {
                let lead = if before.is_empty() { "" } else { " " };
                jobs::next_time(w, job, &format!("{before}{lead}{line}")).await?;
            }
            Ok(back)
        })
    })
    .await
}
