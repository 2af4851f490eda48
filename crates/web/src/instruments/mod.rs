//! The register of instruments: the list, one instrument's sheet, and gauges held side by side.

mod compare;
mod form;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::{Html, Response};
use axum::routing::get;
use records::change::Subject;
use records::instruments::{self, Comparison, Instrument};
use records::{InstrumentId, PlantId, Stamp};
use serde::Deserialize;

use crate::changes::Changes;
use crate::desk::Desk;
use crate::form::Posted;
use crate::form_page::FormPage;
use crate::layout::Layout;
use crate::paging::{LINES, Paging, asked};
use crate::problem::{Problem, page, refused, see};
use crate::put_back::Way;
use form::InstrumentForm;

pub(crate) use compare::error_in_words;

/// Every address that is about instruments.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/instruments", get(list).post(create))
        .route("/instruments/new", get(fresh))
        .route("/instruments/{id}", get(show).post(update))
        .route("/instruments/{id}/change", get(change))
        .route(
            "/instruments/{id}/compare",
            get(compare::ask).post(compare::keep),
        )
        .route("/comparisons/{id}", get(compare::show))
}

/// An instrument as one line.
struct Line {
    instrument: Instrument,
    known: String,
    due: String,
    overdue: bool,
}

impl Line {
    fn of(instrument: Instrument, now: Stamp) -> Self {
        let today = now.day();
        let overdue = instrument.is_overdue(&today);
        Self {
            known: known(&instrument),
            due: instrument.due_on.as_ref().map_or_else(
                || "no day known".to_owned(),
                |due| {
                    let days = due.noon().days_to(today.noon());
                    if overdue {
                        format!("overdue by {days} d, since {}", due.full())
                    } else {
                        due.full()
                    }
                },
            ),
            overdue,
            instrument,
        }
    }
}

/// Range, class and step in words, each with its unit.
pub(crate) fn known(of: &Instrument) -> String {
    let unit = of.unit();
    let mut words = Vec::new();
    let mut say = |before: &str, figure: &str, after: &str| {
        if !figure.is_empty() {
            words.push(format!("{before}{figure}{after}"));
        }
    };
    say("0 to ", &of.full_scale, &format!(" {unit}"));
    match of.kind.as_str() {
        "pressure gauge" => say("class ", &of.accuracy, " (% of full scale)"),
        "CO meter" => say("± ", &of.accuracy, " %"),
        _ => say("± ", &of.accuracy, &format!(" {unit}")),
    }
    say("steps of ", &of.resolution, &format!(" {unit}"));
    say("repeats itself within ", &of.repeatability, " K");
    words.join(", ")
}

/// What of an instrument can be put back as it was; trials and comparisons keep what they copied.
pub(crate) const WAYS: &[Way] = &[Way::by::<InstrumentForm>(Subject::Instrument)];

#[derive(Template)]
#[template(path = "instruments/list.html")]
struct Register {
    layout: Layout,
    lines: Vec<Line>,
    on_plants: Vec<Line>,
    paging: Paging,
}

/// Where the list of what sits on plants goes on: behind this row.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Behind {
    id: Option<i64>,
}

async fn list(
    State(desk): State<Desk>,
    Query(behind): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let (store, now) = (desk.store(), Stamp::now());
    let newer = behind.id.map(InstrumentId::new);
    let own = match newer {
        None => instruments::own(store).await?,
        Some(_) => Vec::new(),
    };
    let mut on_plants = instruments::on_plants(store, newer, asked(LINES)).await?;
    let on = |i: &Instrument| format!("/instruments?id={}#plants", i.id);
    let paging = Paging::cut(&mut on_plants, LINES, "Older ones", on).begins(
        newer.is_some(),
        "/instruments#plants",
        "The newest",
    );
    let lines = |all: Vec<Instrument>| all.into_iter().map(|i| Line::of(i, now)).collect();
    page(&Register {
        layout: desk.layout("Instruments", "trials").await?,
        lines: lines(own),
        on_plants: lines(on_plants),
        paging,
    })
}

#[derive(Template)]
#[template(path = "instruments/show.html")]
struct InstrumentSheet {
    layout: Layout,
    line: Line,
    comparisons: Vec<(Comparison, String)>,
    tests: Vec<Instrument>,
    withdraw_key: String,
    changes: Changes,
}

async fn show(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let store = desk.store();
    let instrument = instruments::find(store, InstrumentId::new(id)).await?;
    let comparisons = instruments::comparisons(store, instrument.id).await?;
    let tests = instruments::own(store).await?;
    let is_test = |i: &Instrument| {
        i.kind == "pressure gauge" && i.plant_id.is_none() && i.withdrawn_at.is_none()
    };
    page(&InstrumentSheet {
        changes: crate::changes::of(&desk, Subject::Instrument, id, format!("/instruments/{id}"))
            .await?,
        layout: desk
            .layout(
                &format!("{} {}", instrument.kind, instrument.mark),
                "trials",
            )
            .await?,
        comparisons: comparisons
            .into_iter()
            .map(|c| {
                let says = compare::in_words(&c);
                (c, says)
            })
            .collect(),
        tests: tests
            .into_iter()
            .filter(|i| is_test(i) && i.id != instrument.id && instrument.kind == "pressure gauge")
            .collect(),
        line: Line::of(instrument, Stamp::now()),
        withdraw_key: records::fresh_key(),
    })
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct ForPlant {
    plant: String,
}

async fn fresh(
    State(desk): State<Desk>,
    Query(query): Query<ForPlant>,
) -> Result<Html<String>, Problem> {
    let form = InstrumentForm::of_plant(query.plant.parse().ok().map(PlantId::new));
    page(&form_page(&desk, None, &form).await?)
}

async fn form_page(
    desk: &Desk,
    known: Option<&Instrument>,
    form: &InstrumentForm,
) -> Result<FormPage, Problem> {
    let (title, action) = match known {
        None => ("A new instrument".to_owned(), "/instruments".to_owned()),
        Some(i) => (
            format!("Change {} {}", i.kind, i.mark),
            format!("/instruments/{}", i.id),
        ),
    };
    Ok(FormPage::fresh(
        desk.layout(&title, "trials").await?,
        form.fields(desk).await?,
        action.clone(),
        "Save",
        action,
    ))
}

async fn create(
    State(desk): State<Desk>,
    posted: Posted<InstrumentForm>,
) -> Result<Response, Problem> {
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            let again = form_page(&desk, None, &posted.form).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                Ok(format!(
                    "/instruments/{}",
                    instruments::make(w, &new).await?
                ))
            })
        })
        .await?;
    Ok(see(&to))
}

async fn change(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let known = instruments::find(desk.store(), InstrumentId::new(id)).await?;
    page(&form_page(&desk, Some(&known), &InstrumentForm::of(&known)).await?)
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<InstrumentForm>,
) -> Result<Response, Problem> {
    let known = instruments::find(desk.store(), InstrumentId::new(id)).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            let again = form_page(&desk, Some(&known), &posted.form).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                instruments::change(w, known.id, &new).await?;
                Ok(format!("/instruments/{}", known.id))
            })
        })
        .await?;
    Ok(see(&to))
}
