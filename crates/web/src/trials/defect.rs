//! A flag made a defect in one tap; the link to trial, rule and minute stays.

use axum::extract::{Path, State};
use axum::response::Response;
use calc::trial::Severity;
use records::TrialId;
use records::defects::{self, NewDefect, Origin};

use super::load::Judged;
use super::orders;
use super::typed::Typed;
use crate::desk::Desk;
use crate::form::Posted;
use crate::problem::{Problem, see};

/// Writes the defect down. A flag that was made a defect already gives that one again.
pub(super) async fn make(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), TrialId::new(id)).await?;
    let (rule, raised) = (posted.form.get("rule"), posted.form.get("raised_at_s"));
    let flag = trial
        .judged
        .flags
        .iter()
        .find(|f| f.rule.name() == rule && f.raised_at_s.to_string() == raised)
        .ok_or_else(|| {
            Problem::Unreadable(
                "this flag is no longer in the trial; open the page again".to_owned(),
            )
        })?;
    let bar = match flag.severity {
        Severity::Stop => "no steam",
        Severity::Caution => "no handover",
        Severity::Note => "watch",
    };
    let new = NewDefect {
        component_id: None,
        what: format!("{}. {}", orders::about(rule), flag.says),
        bar: bar.to_owned(),
        to_do: String::new(),
        origin: Origin::Trial {
            trial: trial.row.id,
            rule: rule.to_owned(),
            raised_at_s: flag.raised_at_s,
        },
    };
    let (job, back) = (trial.row.job_id, format!("{}#flags", trial.address()));
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                defects::make(w, job, &new).await?;
                Ok(back)
            })
        })
        .await?;
    Ok(see(&to))
}
