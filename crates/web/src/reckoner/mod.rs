//! Ready reckoners: every calculation as a page, filled in from a plant, its answer kept on a job.

mod fill;
mod keep;
mod picture;
mod shown;
mod typed;
mod units;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use papers::Svg;
use records::{PlantId, fresh_key, jobs, plants};
use serde::Deserialize;
use triallog::reckon::{self, Form, Input, Reckoner};

use crate::desk::Desk;
use crate::form::{Faults, Pick};
use crate::layout::Layout;
use crate::problem::{Problem, page, see};
use fill::Known;
use shown::Shown;
use typed::{Boxes, Draw};
use units::Units;

/// Every address of the reckoners.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/reckoner", get(list))
        .route("/reckoner/units", post(choose_units))
        .route("/reckoner/{name}", get(ask))
        .route("/reckoner/{name}/keep", post(keep::keep))
        .route("/reckonings/{id}", get(keep::show))
}

/// Topics, by their letter.
const TOPICS: [(char, &str); 14] = [
    ('a', "Water and steam"),
    ('b', "Water from a level"),
    ('c', "How fast the water goes"),
    ('d', "Water balance and the steam pump"),
    ('e', "Water test"),
    ('f', "Air test"),
    ('g', "Safety valve"),
    ('h', "Burner and air"),
    ('i', "Feed pump"),
    ('j', "Engine"),
    ('k', "Shell"),
    ('l', "Packing and threads"),
    ('m', "Cautions"),
    ('n', "Lubricator"),
];

#[derive(Template)]
#[template(path = "reckoner/list.html")]
struct List {
    layout: Layout,
    topics: Vec<(&'static str, Vec<&'static Reckoner>)>,
}

async fn list(State(desk): State<Desk>) -> Result<Html<String>, Problem> {
    let of = |letter: char| {
        reckon::all()
            .filter(|r| r.topic() == letter)
            .collect::<Vec<_>>()
    };
    let topics = TOPICS.iter().map(|(letter, words)| (*words, of(*letter)));
    page(&List {
        layout: desk.layout("Reckoner", "reckoner").await?,
        topics: topics.filter(|(_, all)| !all.is_empty()).collect(),
    })
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct UnitsForm {
    pressure: String,
    length: String,
    back: String,
}

/// Keeps the choice of units, and goes back to where it was made.
async fn choose_units(
    axum_extra::extract::Form(form): axum_extra::extract::Form<UnitsForm>,
) -> Response {
    let units = Units {
        psi: form.pressure == "psi",
        inch: form.length == "in",
    };
    let ours = form.back.starts_with("/reckoner") && !form.back.contains(['\\', '\r', '\n']);
    let mut response = see(if ours { &form.back } else { "/reckoner" });
    if let Ok(cookie) = HeaderValue::from_str(&units.cookie()) {
        response.headers_mut().append(header::SET_COOKIE, cookie);
    }
    response
}

/// One box of the page.
struct AskField {
    id: &'static str,
    label: String,
    hint: String,
    unit: &'static str,
    kind: &'static str,
    value: String,
    picks: Vec<Pick>,
}

#[derive(Template)]
#[template(path = "reckoner/ask.html")]
struct Ask {
    layout: Layout,
    reckoner: &'static Reckoner,
    form: usize,
    fields: Vec<AskField>,
    units: Units,
    plants: Vec<Pick>,
    plant: String,
    faults: Faults,
    shown: Option<Shown>,
    picture: Option<Svg>,
    jobs: Vec<Pick>,
    hidden: Vec<(String, String)>,
    key: String,
    here: String,
}

async fn ask(
    State(desk): State<Desk>,
    Path(name): Path<String>,
    Query(mut boxes): Query<Boxes>,
    headers: HeaderMap,
    address: axum::extract::OriginalUri,
) -> Result<Response, Problem> {
    let reckoner = reckon::named(&name).map_err(|_| Problem::Missing("reckoner"))?;
    let units = Units::of(&headers);
    let number = taken(&mut boxes, "form").parse().unwrap_or(0);
    let (plant, go) = (taken(&mut boxes, "plant"), taken(&mut boxes, "go"));
    let form = reckoner
        .forms
        .get(number)
        .ok_or(Problem::Missing("way of asking"))?;
    let mut from = Boxes::new();
    if let Ok(id) = plant.parse::<i64>() {
        let known = Known::of(desk.store(), PlantId::new(id)).await?;
        from = known.fill(reckoner.name, form, &mut boxes, units);
    }
    let asked = if go.is_empty() {
        Asked::default()
    } else {
        Asked::of(reckoner, form, &boxes, units)
    };
    let faulty = !asked.faults.list().is_empty();
    let sheet = Ask {
        layout: desk.layout(reckoner.title, "reckoner").await?,
        reckoner,
        form: number,
        fields: form
            .inputs
            .iter()
            .map(|i| field(i, &boxes, &from, units))
            .collect(),
        units,
        plants: plant_picks(&desk).await?,
        plant,
        faults: asked.faults,
        shown: asked.shown,
        picture: asked.picture,
        jobs: job_picks(&desk).await?,
        hidden: boxes
            .into_iter()
            .filter(|(_, typed)| !typed.trim().is_empty())
            .collect(),
        key: fresh_key(),
        here: address.0.to_string(),
    };
    let status = if faulty {
        StatusCode::UNPROCESSABLE_ENTITY
    } else {
        StatusCode::OK
    };
    Ok((status, Html(sheet.render()?)).into_response())
}

/// What came of asking.
#[derive(Default)]
struct Asked {
    faults: Faults,
    shown: Option<Shown>,
    picture: Option<Svg>,
}

impl Asked {
    /// Asks with the boxes as typed. While one is at fault there is no result at all.
    fn of(reckoner: &Reckoner, form: &Form, boxes: &Boxes, units: Units) -> Self {
        let json = match typed::json(form, boxes, units) {
            Ok(json) => json,
            Err(faults) => {
                return Self {
                    faults,
                    ..Self::default()
                };
            }
        };
        match reckon::run(reckoner.name, &json) {
            Ok(reckoned) => Self {
                faults: Faults::default(),
                shown: Some(Shown::of(&reckoned, form, units)),
                picture: picture::picture(reckoner.name, &json),
            },
            Err(refused) => {
                let mut faults = Faults::default();
                for reason in refused.reasons() {
                    let known = form.inputs.iter().find(|i| i.name == reason.field);
                    let first = form.inputs.first();
                    let beside = known.or(first).map_or("", |i| i.name);
                    faults.add(beside, reason.says.clone());
                }
                Self {
                    faults,
                    shown: Shown::of_refusal(&refused),
                    picture: None,
                }
            }
        }
    }
}

fn taken(boxes: &mut Boxes, key: &str) -> String {
    boxes.remove(key).unwrap_or_default()
}

fn field(input: &Input, boxes: &Boxes, from: &Boxes, units: Units) -> AskField {
    let (kind, picks, how) = match typed::draw(input.kind) {
        Draw::Line => ("number", Vec::new(), ""),
        Draw::Many(how) => ("long", Vec::new(), how),
        Draw::YesNo => (
            "pick",
            vec![
                Pick::new("", "not said"),
                Pick::new("yes", "yes"),
                Pick::new("no", "no"),
            ],
            "",
        ),
        Draw::Choice(words) => {
            let words = words.iter().map(|w| Pick::new(w, w.replace('_', " ")));
            (
                "pick",
                std::iter::once(Pick::new("", "not said"))
                    .chain(words)
                    .collect(),
                "",
            )
        }
    };
    let origin = from.get(input.name).cloned();
    let hints = [
        how.to_owned(),
        origin.unwrap_or_else(|| typed::left_out(input, units)),
    ];
    AskField {
        id: input.name,
        label: capital(input.words),
        hint: hints
            .iter()
            .filter(|h| !h.is_empty())
            .cloned()
            .collect::<Vec<_>>()
            .join("; "),
        unit: units.shown(input.unit),
        kind,
        value: boxes.get(input.name).cloned().unwrap_or_default(),
        picks,
    }
}

/// Words with a capital at their head.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

async fn plant_picks(desk: &Desk) -> Result<Vec<Pick>, Problem> {
    let all = plants::choices(desk.store(), None).await?;
    let named = all.into_iter().map(|p| Pick::new(p.id, p.name));
    Ok(std::iter::once(Pick::new("", "no plant"))
        .chain(named)
        .collect())
}

async fn job_picks(desk: &Desk) -> Result<Vec<Pick>, Problem> {
    let open = jobs::open(desk.store()).await?;
    Ok(open
        .into_iter()
        .map(|j| Pick::new(j.number(), format!("{} {}", j.number(), j.plant)))
        .collect())
}
