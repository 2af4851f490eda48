//! What the customer sees of a job: chosen line by line; and the private links to it.

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use records::defects::Defect;
use records::jobs::{self, Job};
use records::pictures::{self, Picture, shown};
use records::publish::{self, Choices, News};
use records::shares::{self, Share};
use records::variations::{self, Variation};
use records::{DefectId, NewsId, PictureId, ShareId, Stamp, VariationId, defects, fresh_key};
use serde::Deserialize;

use crate::changes::{self, Changes};
use crate::desk::Desk;
use crate::form::{Faults, Posted, Reader};
use crate::layout::Layout;
use crate::problem::{Problem, page, refused, see};
use crate::progress;
use crate::trials::typed::Typed;

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/jobs/{number}/publish", get(show).post(choose))
        .route("/jobs/{number}/news", post(say))
        .route("/jobs/{number}/links", post(make_link))
        .route("/jobs/{number}/links/{id}/revoke", post(revoke))
        .route("/jobs/{number}/as-the-customer-sees-it", get(preview))
}

/// A defect that can be shown, with the words it would be shown in.
struct DefectChoice {
    defect: Defect,
    shown: bool,
    words: String,
    says: String,
}

/// A picture that can be shown, with the words it would be shown in.
struct PictureChoice {
    picture: Picture,
    small: String,
    shown: bool,
    words: String,
}

#[derive(Template)]
#[template(path = "jobs/publish.html")]
struct Publish {
    layout: Layout,
    job: Job,
    news: Vec<(News, bool)>,
    defects: Vec<DefectChoice>,
    variations: Vec<(Variation, bool)>,
    pictures: Vec<PictureChoice>,
    agreed: bool,
    steam_words: String,
    shows_promised: bool,
    shows_money: bool,
    links: Vec<(Share, bool)>,
    fresh_link: Option<String>,
    faults: Faults,
    key: String,
    news_key: String,
    link_key: String,
    said: String,
    changes: Changes,
}

impl Publish {
    fn a_key(&self) -> String {
        fresh_key()
    }
}

async fn publish_page(
    desk: &Desk,
    job: Job,
    choices: &Choices,
    faults: Faults,
) -> Result<Publish, Problem> {
    let (store, now) = (desk.store(), Stamp::now());
    let words = |id: DefectId| {
        choices
            .defects
            .iter()
            .find(|(d, _)| *d == id)
            .map(|(_, words)| words.clone())
    };
    let defects = defects::of_job(store, job.id)
        .await?
        .into_iter()
        .filter(|d| d.withdrawn_at.is_none());
    Ok(Publish {
        layout: super::layout(desk, &job, "What the customer sees").await?,
        changes: changes::of_news(desk, &job).await?,
        news: publish::news(store, job.id)
            .await?
            .into_iter()
            .map(|n| (choices.news.contains(&n.id), n))
            .map(|(s, n)| (n, s))
            .collect(),
        defects: defects
            .map(|d| DefectChoice {
                shown: words(d.id).is_some(),
                words: words(d.id).unwrap_or_default(),
                says: faults.of(&format!("words-{}", d.id)).to_owned(),
                defect: d,
            })
            .collect(),
        variations: variations::of_job(store, job.id)
            .await?
            .into_iter()
            .filter(|v| v.withdrawn_at.is_none())
            .map(|v| (choices.variations.contains(&v.id), v))
            .map(|(s, v)| (v, s))
            .collect(),
        pictures: pictures_of(desk, &job, choices).await?,
        agreed: shown::agreed(store, job.id).await?,
        steam_words: choices.steam_words.clone(),
        shows_promised: choices.shows_promised,
        shows_money: choices.shows_money,
        links: shares::of_job(store, job.id)
            .await?
            .into_iter()
            .map(|l| (l.opens_at(now), l))
            .map(|(o, l)| (l, o))
            .collect(),
        fresh_link: None,
        faults,
        key: fresh_key(),
        news_key: fresh_key(),
        link_key: fresh_key(),
        said: String::new(),
        job,
    })
}

/// The pictures of a job that can be shown; the words offered are the caption until others are written.
async fn pictures_of(
    desk: &Desk,
    job: &Job,
    choices: &Choices,
) -> Result<Vec<PictureChoice>, Problem> {
    let all = pictures::of_job(desk.store(), job.id).await?;
    let kept = all.into_iter().filter(|p| p.withdrawn_at.is_none());
    Ok(kept
        .map(|picture| {
            let chosen = choices.pictures.iter().find(|(id, _)| *id == picture.id);
            PictureChoice {
                small: crate::pictures::address(&picture.small_sha256),
                shown: chosen.is_some(),
                words: chosen.map_or_else(|| picture.caption.clone(), |(_, words)| words.clone()),
                picture,
            }
        })
        .collect())
}

async fn show(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let choices = publish::choices(desk.store(), job.id).await?;
    page(&publish_page(&desk, job, &choices, Faults::default()).await?)
}

/// What was ticked and written.
fn read(form: &Typed) -> (Choices, Faults) {
    let mut faults = Faults::default();
    let numbers = |name: &str| {
        form.every(name)
            .into_iter()
            .filter_map(|v| v.parse::<i64>().ok())
            .collect::<Vec<_>>()
    };
    let mut shown = Vec::new();
    for id in numbers("defect") {
        let field = format!("words-{id}");
        let words = form.get(&field).to_owned();
        if words.is_empty() {
            faults.add(
                &field,
                "Say it in words meant for the customer, or do not show it.",
            );
        }
        shown.push((DefectId::new(id), words));
    }
    let pictures = numbers("picture").into_iter().map(|id| {
        let words = form.get(&format!("picture-words-{id}")).to_owned();
        (PictureId::new(id), words)
    });
    let choices = Choices {
        pictures: pictures.collect(),
        steam_words: form.get("steam_words").to_owned(),
        shows_promised: form.get("promised") == "yes",
        shows_money: form.get("money") == "yes",
        news: numbers("news").into_iter().map(NewsId::new).collect(),
        defects: shown,
        variations: numbers("variation")
            .into_iter()
            .map(VariationId::new)
            .collect(),
    };
    (choices, faults)
}

async fn choose(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let (choices, faults) = read(&posted.form);
    if !faults.list().is_empty() {
        let mut again = publish_page(&desk, job, &choices, faults).await?;
        again.key = posted.key;
        return refused(&again);
    }
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                publish::choose(w, job.id, &choices).await?;
                Ok(format!("/jobs/{}/publish", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}

/// A line of news as typed.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct NewsForm {
    said: String,
}

async fn say(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<NewsForm>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let mut read = Reader::default();
    let said = read.needed("said", &posted.form.said, "Write the news first.");
    if let Err(faults) = read.done(()) {
        let choices = publish::choices(desk.store(), job.id).await?;
        let mut again = publish_page(&desk, job, &choices, faults).await?;
        (again.news_key, again.said) = (posted.key, posted.form.said);
        return refused(&again);
    }
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                publish::say(w, job.id, &said).await?;
                Ok(format!("/jobs/{}/publish", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}

#[derive(Debug, Default, Deserialize)]
struct Nothing {}

/// Makes a private link, and shows it this once: only its hash is kept.
async fn make_link(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<Nothing>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let (token, id) = (shares::fresh_token(), job.id);
    let kept = token.clone();
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                shares::make(w, id, &kept).await?;
                Ok(format!("/jobs/{number}/publish#links"))
            })
        })
        .await?;
    if shares::open(desk.store(), &token).await.is_err() {
        // The form came a second time: its link was shown the first time, and only then.
        return Ok(see(&to));
    }
    let choices = publish::choices(desk.store(), job.id).await?;
    let mut made = publish_page(&desk, job, &choices, Faults::default()).await?;
    made.fresh_link = Some(format!("/progress/{token}"));
    Ok(page(&made)?.into_response())
}

async fn revoke(
    State(desk): State<Desk>,
    Path((number, id)): Path<(String, i64)>,
    posted: Posted<Nothing>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                shares::revoke(w, job.id, ShareId::new(id)).await?;
                Ok(format!("/jobs/{}/publish#links", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}

/// The same page that the link opens, made by the same function.
async fn preview(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    page(&progress::progress_page(desk.store(), job.id, "/pictures/file").await?)
}
