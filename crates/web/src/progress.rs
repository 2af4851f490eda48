//! The customer's page: a router of its own, with its own state and its own page struct.
//!
//! It can read one thing: what was published of the job its private link names.

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::{Next, from_fn};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use records::pictures::shown::{self, PagePicture};
use records::publish::{self, PageVariation};
use records::{Stamp, Store, shares};

use crate::show::pounds;

/// What the customer's side can reach.
#[derive(Clone, Debug)]
struct Counter {
    store: Store,
}

mod answer;

/// The address of the customer's page.
pub(crate) fn routes(store: Store) -> Router {
    Router::new()
        .route("/progress/{token}", get(show))
        .route("/progress/{token}/pictures/{name}", get(picture))
        .route(
            "/progress/{token}/variations/{serial}/answer",
            post(answer::answer),
        )
        .layer(from_fn(private))
        .with_state(Counter { store })
}

/// The address goes nowhere from here, and no search engine keeps it.
async fn private(request: axum::extract::Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    headers.insert(
        header::REFERRER_POLICY,
        HeaderValue::from_static("no-referrer"),
    );
    headers.insert(
        "x-robots-tag",
        HeaderValue::from_static("noindex, nofollow"),
    );
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    response
}

/// One of the six places, in the customer's words.
struct Place {
    number: usize,
    words: &'static str,
    here: bool,
    on: String,
}

/// A variation, in the customer's words.
struct Decision {
    serial: i64,
    what: String,
    price: String,
    reason: String,
    if_not: String,
    answered: String,
    /// The name that was typed, and what is wrong with the form, where it came back.
    name: String,
    says: String,
}

impl Decision {
    fn key(&self) -> String {
        records::fresh_key()
    }
}

/// A picture, in the customer's words.
struct Shown {
    words: String,
    large: String,
    small: String,
    width: i64,
    height: i64,
}

/// Everything the customer's page holds. Nothing reaches it that is not named here.
#[derive(Template)]
#[template(path = "progress/show.html")]
pub(crate) struct ProgressPage {
    css: String,
    workshop: String,
    owner: String,
    number: String,
    plant: String,
    do_not_steam: bool,
    steam_words: String,
    under_trial: bool,
    news: Vec<(String, String)>,
    defects: Vec<(String, bool)>,
    decisions: Vec<Decision>,
    pictures: Vec<Shown>,
    places: Vec<Place>,
    money: Vec<(&'static str, String)>,
    put_up: String,
    /// Where answers go; empty where the workshop looks at the page itself.
    answers_to: String,
}

#[derive(Template)]
#[template(path = "progress/gone.html")]
struct Gone {
    css: String,
}

async fn show(State(counter): State<Counter>, Path(token): Path<String>) -> Response {
    let page = match shares::open(&counter.store, &token).await {
        Ok(share) => {
            note_use(&counter, &share);
            by_link(&counter.store, share.job_id, &token).await
        }
        Err(error) => Err(error),
    };
    match page.map(|p| p.render()) {
        Ok(Ok(text)) => Html(text).into_response(),
        Err(records::Error::Missing(_)) => gone(StatusCode::NOT_FOUND),
        _ => gone(StatusCode::INTERNAL_SERVER_ERROR),
    }
}

/// The page as it stands behind a link.
async fn by_link(
    store: &Store,
    job: records::JobId,
    token: &str,
) -> Result<ProgressPage, records::Error> {
    let page = progress_page(store, job, &format!("/progress/{token}/pictures")).await?;
    Ok(ProgressPage {
        answers_to: address(token),
        ..page
    })
}

/// The address of a page, by its link.
fn address(token: &str) -> String {
    format!("/progress/{token}")
}

/// Unknown, revoked and expired look alike.
fn gone(status: StatusCode) -> Response {
    let page = Gone {
        css: crate::assets::stylesheet(),
    };
    (status, Html(page.render().unwrap_or_default())).into_response()
}

/// When the link was last opened, kept without making the customer wait; at most once a minute.
fn note_use(counter: &Counter, share: &shares::Share) {
    let lately = share
        .last_used_at
        .is_some_and(|at| at.plus_seconds(60) > Stamp::now());
    if lately {
        return;
    }
    let (store, id) = (counter.store.clone(), share.id);
    tokio::spawn(async move {
        let kept = store
            .write("customer", move |w| {
                Box::pin(async move { shares::used(w, id).await })
            })
            .await;
        if let Err(error) = kept {
            tracing::warn!(link = id.get(), %error, "the use of a link was not kept");
        }
    });
}

/// The page of a job as the customer sees it; the workshop looks at the same one, with its own way to the pictures.
pub(crate) async fn progress_page(
    store: &Store,
    job: records::JobId,
    pictures_at: &str,
) -> Result<ProgressPage, records::Error> {
    let page = publish::page(store, job).await?;
    let job = page.job;
    let under_trial = job.trial_since.is_some();
    let stands = if under_trial {
        "under trial"
    } else {
        job.put.as_str()
    };
    let money = [
        (
            "Agreed",
            job.estimate_pence
                .map(|e| e + job.agreed_pence.unwrap_or(0)),
        ),
        ("Paid, thank you", job.paid_pence),
    ];
    Ok(ProgressPage {
        css: crate::assets::stylesheet(),
        do_not_steam: job.no_steam > 0 || under_trial,
        steam_words: job.steam_words,
        under_trial,
        number: records::jobs::number(job.year, job.serial),
        pictures: page
            .pictures
            .into_iter()
            .map(|p| hung(p, pictures_at))
            .collect(),
        places: places(
            stands,
            &page.places,
            job.trial_since,
            job.promised_on.as_ref(),
        ),
        news: page
            .news
            .into_iter()
            .map(|(said, at)| (said, at.short()))
            .collect(),
        defects: page
            .defects
            .into_iter()
            .map(|(words, state)| (words, state == "cleared"))
            .collect(),
        decisions: page.variations.into_iter().map(decision).collect(),
        money: money
            .into_iter()
            .filter_map(|(words, sum)| Some((words, pounds(sum?))))
            .collect(),
        put_up: job
            .changed_at
            .map_or_else(String::new, |at| at.day().full()),
        workshop: job.workshop,
        owner: job.owner,
        plant: job.plant,
        answers_to: String::new(),
    })
}

fn hung(picture: PagePicture, at: &str) -> Shown {
    Shown {
        large: format!("{at}/{}.jpg", picture.page_sha256),
        small: format!("{at}/{}.jpg", picture.small_sha256),
        width: picture.small_width,
        height: picture.small_height,
        words: picture.words,
    }
}

/// A picture that is on the page of this link now; every other one is not there.
async fn picture(
    State(counter): State<Counter>,
    Path((token, name)): Path<(String, String)>,
) -> Response {
    let hash = name.strip_suffix(".jpg").unwrap_or("");
    let file = match shares::open(&counter.store, &token).await {
        Ok(share) => shown::file(&counter.store, share.job_id, hash).await,
        Err(error) => Err(error),
    };
    match file {
        Ok(path) => crate::pictures::jpeg(&path)
            .await
            .unwrap_or_else(|_| gone(StatusCode::INTERNAL_SERVER_ERROR)),
        Err(records::Error::Missing(_)) => gone(StatusCode::NOT_FOUND),
        Err(_) => gone(StatusCode::INTERNAL_SERVER_ERROR),
    }
}

fn decision(variation: PageVariation) -> Decision {
    let answered = match (variation.answer.as_deref(), variation.answered_at) {
        (Some(word), Some(at)) => {
            let said = if word == "agreed" { "yes" } else { "no" };
            match variation.answered_by.as_str() {
                "" => format!("You said {said}, {}.", at.short()),
                who => format!("{who} said {said}, {}.", at.short()),
            }
        }
        _ => String::new(),
    };
    Decision {
        serial: variation.serial,
        name: String::new(),
        says: String::new(),
        what: variation.what,
        price: pounds(variation.price_pence),
        reason: variation.reason,
        if_not: variation.if_not,
        answered,
    }
}

fn places(
    stands: &str,
    stood: &[(String, Stamp)],
    trial: Option<Stamp>,
    promised: Option<&records::Day>,
) -> Vec<Place> {
    const WORDS: [(&str, &str); 6] = [
        ("in", "It has come in"),
        ("opened up", "Opened up and looked over"),
        ("on the bench", "Being worked on"),
        ("under trial", "Being tried"),
        ("ready", "Ready for you"),
        ("gone home", "Home again"),
    ];
    let here = usize::from(crate::jobs::line::place(stands));
    let since = |word: &str| {
        stood
            .iter()
            .find(|(place, _)| place.starts_with(word))
            .map(|(_, at)| *at)
    };
    (1..)
        .zip(WORDS)
        .map(|(number, (word, words))| {
            let at = if word == "under trial" {
                trial
            } else {
                since(word)
            };
            let on = match (at, promised) {
                (Some(at), _) if number == here => format!("since {}", at.short()),
                (Some(at), _) => at.short(),
                (None, Some(day)) if number == 5 && here < 5 => format!("about {}", day.short()),
                _ => String::new(),
            };
            Place {
                number,
                words,
                here: number == here,
                on,
            }
        })
        .collect()
}
