//! What is fitted: written down with a sitting, with a part or on the component itself, and a component's history.

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::change::Subject;
use records::components;
use records::fitted::{self, Fitted, Happened, KINDS, NewFitted, With};
use records::{
    ComponentId, Error, FittedId, PartId, PlantId, SittingId, Write, jobs, parts, sittings,
};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::FormPage;
use crate::problem::{Problem, page, refused, see};
use crate::put_back::{Kept, Way};

/// Every address that is about what is fitted.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/fitted/new", get(fresh))
        .route("/fitted", post(create))
        .route("/fitted/{id}", get(show).post(update))
}

/// What is fitted, for the page of a sitting, a part or a component.
pub(crate) struct FittedList {
    /// Where one is written down.
    pub add: String,
    /// What is fitted.
    pub fitted: Vec<Fitted>,
    /// All that happened, on a component's page.
    pub history: Option<Vec<Happened>>,
}

impl FittedList {
    pub(crate) async fn of_sitting(desk: &Desk, id: i64) -> Result<Self, Problem> {
        let fitted = fitted::of_sitting(desk.store(), SittingId::new(id)).await?;
        Ok(Self::new("sitting", id, fitted))
    }

    pub(crate) async fn of_part(desk: &Desk, id: i64) -> Result<Self, Problem> {
        let fitted = fitted::of_part(desk.store(), PartId::new(id)).await?;
        Ok(Self::new("part", id, fitted))
    }

    pub(crate) async fn of_component(desk: &Desk, id: ComponentId) -> Result<Self, Problem> {
        Ok(Self {
            history: Some(fitted::history(desk.store(), id).await?),
            ..Self::new("component", id.get(), Vec::new())
        })
    }

    fn new(word: &str, id: i64, fitted: Vec<Fitted>) -> Self {
        Self {
            add: format!("/fitted/new?of={word}-{id}"),
            fitted,
            history: None,
        }
    }
}

/// The address of a line of a component's history.
pub(crate) fn address(line: &Happened) -> String {
    match line.what.as_str() {
        "fitted" => format!("/fitted/{}", line.id),
        other => format!("/{other}s/{}", line.id),
    }
}

/// What it is written down with, `sitting-3`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct OfWhat {
    of: String,
}

/// A place to write down what is fitted: with what, on which plant, and where to go afterwards.
struct Place {
    of: String,
    with: With,
    plant: PlantId,
    back: String,
    component: String,
    on_day: String,
}

impl OfWhat {
    async fn place(&self, desk: &Desk) -> Result<Place, Problem> {
        let store = desk.store();
        let (word, id) = self.of.split_once('-').unwrap_or(("", ""));
        let id: i64 = id.parse().map_err(|_| Problem::Missing("page"))?;
        let (mut component, mut on_day) = (String::new(), String::new());
        let (with, plant) = match word {
            "sitting" => {
                let sitting = sittings::find(store, SittingId::new(id)).await?;
                on_day = sitting.on_day.iso().to_owned();
                let job = jobs::by_id(store, sitting.job_id).await?;
                (With::Sitting(sitting.id), job.plant_id)
            }
            "part" => {
                let part = parts::find(store, PartId::new(id)).await?;
                let job = jobs::by_id(store, part.job_id).await?;
                (With::Part(part.id), job.plant_id)
            }
            "component" => {
                let known = components::find(store, ComponentId::new(id)).await?;
                component = known.id.to_string();
                (With::Neither, known.plant_id)
            }
            _ => return Err(Problem::Missing("page")),
        };
        let back = format!("/{word}s/{id}#fitted");
        Ok(Place {
            of: format!("{word}-{id}"),
            with,
            plant,
            back,
            component,
            on_day,
        })
    }
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct FittedForm {
    component: String,
    kind: String,
    what: String,
    was: String,
    now: String,
    on_day: String,
}

impl FittedForm {
    fn of(known: &Fitted) -> Self {
        Self {
            component: known.component_id.to_string(),
            kind: known.kind.clone(),
            what: known.what.clone(),
            was: known.was.clone(),
            now: known.now.clone(),
            on_day: known.on_day.iso().to_owned(),
        }
    }

    async fn fields(&self, desk: &Desk, plant: PlantId) -> Result<Vec<Field>, Problem> {
        let all = components::of_plant(desk.store(), plant).await?;
        let mut to = vec![Pick::new("", "choose")];
        let kept = all.into_iter().filter(|c| c.withdrawn_at.is_none());
        to.extend(kept.map(|c| Pick::new(c.id, c.name)));
        Ok(vec![
            Field::new("pick", "component", "On which component", &self.component).picks(to),
            Field::new("pick", "kind", "It is", &self.kind).picks(Pick::words(&KINDS)),
            Field::new("text", "what", "What", &self.what)
                .hint("what it is, its size and where it came from; or what was adjusted"),
            Field::new("text", "was", "Before", &self.was)
                .hint("as it was; needed of an adjustment, with its unit"),
            Field::new("text", "now", "After", &self.now)
                .hint("as it is now; needed of an adjustment, with its unit"),
            Field::new("date", "on_day", "On", &self.on_day).hint("today, when it stays empty"),
        ])
    }

    fn read(&self) -> Result<NewFitted, Faults> {
        let mut read = Reader::default();
        let component = read.row("component", &self.component);
        if self.component.trim().is_empty() {
            read.fault("component", "Choose the component it is on.");
        }
        let kind = read.one_of("kind", &self.kind, &KINDS);
        let (was, now) = (read.words("was", &self.was), read.words("now", &self.now));
        if kind == "adjustment" {
            for (field, typed) in [("was", &was), ("now", &now)] {
                if typed.is_empty() {
                    read.fault(
                        field,
                        "An adjustment says what it was before and what it is after.",
                    );
                }
            }
        }
        let new = NewFitted {
            component_id: ComponentId::new(component.unwrap_or_default()),
            what: read.needed("what", &self.what, "Say what it is, or what was adjusted."),
            on_day: read.day("on_day", &self.on_day),
            kind,
            was,
            now,
        };
        read.done(new)
    }
}

/// What is fitted can be put back as it was written.
pub(crate) const WAYS: &[Way] = &[Way::by::<FittedForm>(Subject::Fitted)];

impl Kept for FittedForm {
    type Row = Fitted;
    type New = (Fitted, NewFitted);

    const WRITES: &'static [&'static str] =
        &["component_id", "kind", "what", "was", "now", "on_day"];

    async fn find(desk: &Desk, id: i64) -> Result<Fitted, Error> {
        fitted::find(desk.store(), FittedId::new(id)).await
    }

    fn written(row: &Fitted) -> Result<Self::New, Faults> {
        Ok((row.clone(), Self::of(row).read()?))
    }

    async fn change(w: &mut Write, _id: i64, new: &Self::New) -> Result<(), Error> {
        fitted::change(w, &new.0, &new.1).await
    }
}

async fn fresh_page(desk: &Desk, place: &Place, form: &FittedForm) -> Result<FormPage, Problem> {
    Ok(FormPage::fresh(
        desk.layout("What is fitted", "jobs").await?,
        form.fields(desk, place.plant).await?,
        format!("/fitted?of={}", place.of),
        "Save",
        place.back.clone(),
    ))
}

async fn fresh(
    State(desk): State<Desk>,
    Query(of): Query<OfWhat>,
) -> Result<Html<String>, Problem> {
    let place = of.place(&desk).await?;
    let form = FittedForm {
        component: place.component.clone(),
        on_day: place.on_day.clone(),
        ..FittedForm::default()
    };
    page(&fresh_page(&desk, &place, &form).await?)
}

async fn create(
    State(desk): State<Desk>,
    Query(of): Query<OfWhat>,
    posted: Posted<FittedForm>,
) -> Result<Response, Problem> {
    let place = of.place(&desk).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            let again = fresh_page(&desk, &place, &posted.form).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                fitted::make(w, place.with, &new).await?;
                Ok(place.back)
            })
        })
        .await?;
    Ok(see(&to))
}

async fn known_page(desk: &Desk, known: &Fitted, form: &FittedForm) -> Result<FormPage, Problem> {
    let mut layout = desk.layout("What is fitted", "jobs").await?;
    layout.sheet_no = known.job_number();
    let page = FormPage::fresh(
        layout,
        form.fields(desk, known.plant_id).await?,
        format!("/fitted/{}", known.id),
        "Save",
        format!("/components/{}#fitted", known.component_id),
    );
    page.withdrawable("thing-fitted", known.id.get(), known.withdrawn_at.is_some())
        .with_changes(desk)
        .await
}

async fn show(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let known = fitted::find(desk.store(), FittedId::new(id)).await?;
    page(&known_page(&desk, &known, &FittedForm::of(&known)).await?)
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<FittedForm>,
) -> Result<Response, Problem> {
    let known = fitted::find(desk.store(), FittedId::new(id)).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            let again = known_page(&desk, &known, &posted.form).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                fitted::change(w, &known, &new).await?;
                Ok(format!("/components/{}#fitted", new.component_id))
            })
        })
        .await?;
    Ok(see(&to))
}
