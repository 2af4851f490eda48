//! Other people's papers of a plant: writing one down, and changing it.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::papers::{self, KINDS, NewPaper, Paper};
use records::pictures::Of;
use records::plants::{self, Plant};
use records::{Error, PaperId, PlantId, Write};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::FormPage;
use crate::pictures::Strip;
use crate::problem::{Problem, page, refused, see};
use crate::put_back::Kept;
use crate::trials::decimal;

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/plants/{id}/papers", post(create))
        .route("/plants/{id}/papers/new", get(fresh))
        .route("/papers/{id}", get(show).post(update))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct PaperForm {
    kind: String,
    number: String,
    pressure_bar: String,
    on_day: String,
    valid_until: String,
    by_whom: String,
    note: String,
}

impl PaperForm {
    fn of(paper: &Paper) -> Self {
        Self {
            kind: paper.kind.clone(),
            number: paper.number.clone(),
            pressure_bar: paper.pressure_bar.clone(),
            on_day: paper.on_day.iso().to_owned(),
            valid_until: paper
                .valid_until
                .as_ref()
                .map_or_else(String::new, |d| d.iso().to_owned()),
            by_whom: paper.by_whom.clone(),
            note: paper.note.clone(),
        }
    }

    fn fields(&self) -> Vec<Field> {
        vec![
            Field::new("pick", "kind", "A paper of", &self.kind).picks(Pick::words(&KINDS)),
            Field::new("text", "number", "Its number", &self.number),
            Field::new("text", "by_whom", "By whom", &self.by_whom)
                .hint("the club, the inspector, the insurer, the maker …"),
            Field::new(
                "number",
                "pressure_bar",
                "Pressure on it",
                &self.pressure_bar,
            )
            .hint("the test's, or what it may be steamed at; may stay empty")
            .unit("bar"),
            Field::new("date", "on_day", "The day on it", &self.on_day),
            Field::new("date", "valid_until", "Valid until", &self.valid_until)
                .hint("as it says; may stay empty. Re-tests are reckoned from this"),
            Field::new("long", "note", "Note", &self.note),
        ]
    }

    fn read(&self) -> Result<NewPaper, Faults> {
        let mut read = Reader::default();
        let (on_day, valid_until) = (
            read.needed_day("on_day", &self.on_day),
            read.day("valid_until", &self.valid_until),
        );
        if on_day.is_some() && valid_until.is_some() && valid_until < on_day {
            read.fault("valid_until", "It cannot be over before the day on it.");
        }
        let pressure = self.pressure_bar.trim();
        let pressure_bar = match decimal::read_positive(pressure) {
            _ if pressure.is_empty() => String::new(),
            Ok(figure) => figure,
            Err(says) => {
                read.fault("pressure_bar", says);
                String::new()
            }
        };
        let (kind, number) = (
            read.one_of("kind", &self.kind, &KINDS),
            read.words("number", &self.number),
        );
        let (by_whom, note) = (
            read.words("by_whom", &self.by_whom),
            read.words("note", &self.note),
        );
        let new = on_day.map(|on_day| NewPaper {
            kind,
            number,
            pressure_bar,
            on_day,
            valid_until,
            by_whom,
            note,
        });
        read.done(new)
            .and_then(|new| new.ok_or_else(Faults::default))
    }
}

impl Kept for PaperForm {
    type Row = Paper;
    type New = NewPaper;

    const WRITES: &'static [&'static str] = &[
        "kind",
        "number",
        "pressure_bar",
        "on_day",
        "valid_until",
        "by_whom",
        "note",
    ];

    async fn find(desk: &Desk, id: i64) -> Result<Paper, Error> {
        papers::find(desk.store(), PaperId::new(id)).await
    }

    fn written(row: &Paper) -> Result<Self::New, Faults> {
        Self::of(row).read()
    }

    async fn change(w: &mut Write, id: i64, new: &Self::New) -> Result<(), Error> {
        papers::change(w, PaperId::new(id), new).await
    }
}

async fn form_page(
    desk: &Desk,
    plant: &Plant,
    known: Option<&Paper>,
    form: &PaperForm,
) -> Result<FormPage, Problem> {
    let action = match known {
        None => format!("/plants/{}/papers", plant.id),
        Some(p) => format!("/papers/{}", p.id),
    };
    let page = FormPage::fresh(
        desk.layout(&format!("{}: a paper", plant.name), "plants")
            .await?,
        form.fields(),
        action,
        "Save",
        format!("/plants/{}#papers", plant.id),
    );
    Ok(match known {
        Some(p) => page
            .withdrawable("paper", p.id.get(), p.withdrawn_at.is_some())
            .with_changes(desk)
            .await?
            .pictured(Strip::of(desk, Of::Paper, p.id.get()).await?),
        None => page,
    })
}

async fn fresh(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let plant = plants::find(desk.store(), PlantId::new(id)).await?;
    page(&form_page(&desk, &plant, None, &PaperForm::default()).await?)
}

async fn create(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<PaperForm>,
) -> Result<Response, Problem> {
    let plant = plants::find(desk.store(), PlantId::new(id)).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            let again = form_page(&desk, &plant, None, &posted.form).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                Ok(format!(
                    "/papers/{}",
                    papers::make(w, plant.id, &new).await?
                ))
            })
        })
        .await?;
    Ok(see(&to))
}

async fn show(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let known = papers::find(desk.store(), PaperId::new(id)).await?;
    let plant = plants::find(desk.store(), known.plant_id).await?;
    page(&form_page(&desk, &plant, Some(&known), &PaperForm::of(&known)).await?)
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<PaperForm>,
) -> Result<Response, Problem> {
    let known = papers::find(desk.store(), PaperId::new(id)).await?;
    let plant = plants::find(desk.store(), known.plant_id).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            let again = form_page(&desk, &plant, Some(&known), &posted.form).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                papers::change(w, known.id, &new).await?;
                Ok(format!("/plants/{}#papers", plant.id))
            })
        })
        .await?;
    Ok(see(&to))
}
