//! The route of a boiler of unknown history: what was found, what is proposed, and what was decided.

mod form;

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use calc::cautions::About;
use records::jobs::{self, Job};
use records::log;
use records::reckonings::{self, Reckoning};
use records::unknown_boilers::{self, UnknownBoiler};
use records::{Error, fresh_key};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Posted};
use crate::layout::Layout;
use crate::problem::{Problem, page, refused, see};
use crate::trials::cautions;
use form::{DecisionForm, FindingsForm};

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/jobs/{number}/unknown-boiler", get(show).post(write))
        .route("/jobs/{number}/unknown-boiler/begin", post(begin))
        .route("/jobs/{number}/unknown-boiler/decide", post(decide))
}

#[derive(Template)]
#[template(path = "jobs/unknown_boiler.html")]
struct Sheet {
    layout: Layout,
    job: Job,
    owner: String,
    known: UnknownBoiler,
    found: Vec<(&'static str, String)>,
    trial: String,
    cautions: Vec<&'static str>,
    fields: Vec<Field>,
    deciding: Vec<Field>,
    faults: Faults,
    key: String,
    decide_key: String,
}

async fn sheet(
    desk: &Desk,
    job: Job,
    findings: Option<&FindingsForm>,
    decision: Option<&DecisionForm>,
) -> Result<Sheet, Problem> {
    let store = desk.store();
    let known = unknown_boilers::of_job(store, job.id)
        .await?
        .ok_or(Problem::Missing("unknown boiler"))?;
    let (reckoned, trials) = (
        reckonings::of_job(store, job.id).await?,
        log::of_job(store, job.id).await?,
    );
    let seams = match known.seams.as_str() {
        "silver solder" => Some("silver"),
        "welded" | "riveted" => Some("other"),
        "" => None,
        _ => Some("soft"),
    };
    let about = |trial| About {
        trial,
        fuel: None,
        place: None,
        seams,
    };
    let mut all = cautions::fitting(about("stripping"));
    all.extend(cautions::fitting(about("steam")));
    let mut seen = Vec::new();
    all.retain(|c| {
        !seen.contains(c) && {
            seen.push(*c);
            true
        }
    });
    let own_findings = FindingsForm::of(&known);
    let own_decision = DecisionForm::of(&known);
    Ok(Sheet {
        layout: super::layout(desk, &job, "A boiler of unknown history").await?,
        owner: desk.owner().await?,
        found: found(&known, &reckoned),
        trial: trials
            .iter()
            .find(|t| Some(t.id) == known.trial_id)
            .map_or_else(String::new, |t| t.label()),
        cautions: all,
        fields: findings.unwrap_or(&own_findings).fields(&reckoned),
        deciding: decision.unwrap_or(&own_decision).fields(&trials),
        faults: Faults::default(),
        key: fresh_key(),
        decide_key: fresh_key(),
        known,
        job,
    })
}

/// What was found out, line by line; what is empty is written out as not known.
fn found(known: &UnknownBoiler, reckoned: &[Reckoning]) -> Vec<(&'static str, String)> {
    let reckoning = reckoned.iter().find(|r| Some(r.id) == known.reckoning_id);
    let rests = reckoning.map_or_else(String::new, |r| {
        if r.verdict.is_empty() {
            r.title.clone()
        } else {
            format!("{}: {}", r.title, r.verdict)
        }
    });
    let or_not = |text: &str| {
        if text.is_empty() {
            "not known".to_owned()
        } else {
            text.to_owned()
        }
    };
    vec![
        ("shell", or_not(&known.material)),
        ("seams", or_not(&known.seams)),
        ("plate", or_not(&known.plate)),
        ("tubes", or_not(&known.tubes)),
        ("stays", or_not(&known.stays)),
        ("scale", or_not(&known.scale)),
        ("old lagging", or_not(&known.lagging)),
        ("measured", or_not(&known.measured)),
        ("reckoned", or_not(&rests)),
    ]
}

async fn show(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    page(&sheet(&desk, job, None, None).await?)
}

#[derive(Debug, Default, Deserialize)]
struct Nothing {}

async fn begin(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<Nothing>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                unknown_boilers::begin(w, job.id)
                    .await
                    .map_err(|e| match e {
                        Error::Taken(_) => {
                            Error::Refused("this boiler's route is begun already".to_owned())
                        }
                        other => other,
                    })?;
                Ok(format!("/jobs/{}/unknown-boiler", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}

async fn write(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<FindingsForm>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            let mut again = sheet(&desk, job, Some(&posted.form), None).await?;
            (again.faults, again.key) = (faults, posted.key);
            return refused(&again);
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                unknown_boilers::write(w, job.id, &new).await?;
                Ok(format!("/jobs/{}/unknown-boiler", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}

async fn decide(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<DecisionForm>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let decision = match posted.form.read() {
        Ok(decision) => decision,
        Err(faults) => {
            let mut again = sheet(&desk, job, None, Some(&posted.form)).await?;
            (again.faults, again.decide_key) = (faults, posted.key);
            return refused(&again);
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                unknown_boilers::decide(w, job.id, &decision).await?;
                Ok(format!("/jobs/{}/unknown-boiler", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}
