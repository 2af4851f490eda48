//! Writing down a part, and changing it.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::defects::{self, Defect};
use records::jobs::{self, Job};
use records::parts::{self, NewPart, Part};
use records::{DefectId, PartId};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::FormPage;
use crate::problem::{Problem, page, refused, see};
use crate::show::typed_pounds;

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/jobs/{number}/parts", post(create))
        .route("/jobs/{number}/parts/new", get(fresh))
        .route("/parts/{id}", get(change).post(update))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct PartForm {
    name: String,
    state: String,
    defect: String,
    supplier: String,
    price: String,
    promised_on: String,
}

impl PartForm {
    fn of(part: &Part) -> Self {
        Self {
            name: part.name.clone(),
            state: part.state.clone(),
            defect: part.defect_id.map_or_else(String::new, |d| d.to_string()),
            supplier: part.supplier.clone(),
            price: typed_pounds(part.price_pence),
            promised_on: part
                .promised_on
                .as_ref()
                .map_or_else(String::new, |d| d.iso().to_owned()),
        }
    }

    fn fields(&self, defects: &[Defect]) -> Vec<Field> {
        let mut whose = vec![Pick::new("", "no one defect")];
        whose.extend(
            defects
                .iter()
                .filter(|d| d.withdrawn_at.is_none())
                .map(|d| Pick::new(d.id, format!("{}, {}", d.serial, d.what))),
        );
        vec![
            Field::new("text", "name", "Part", &self.name),
            Field::new("pick", "state", "It is", &self.state).picks(Pick::words(&parts::STATES)),
            Field::new("pick", "defect", "For the defect", &self.defect).picks(whose),
            Field::new("text", "supplier", "Comes from", &self.supplier).hint("may stay empty"),
            Field::new("number", "price", "Price each", &self.price).unit("£"),
            Field::new("date", "promised_on", "Promised for", &self.promised_on)
                .hint("may stay empty"),
        ]
    }

    fn read(&self) -> Result<NewPart, Faults> {
        let mut read = Reader::default();
        let new = NewPart {
            name: read.needed("name", &self.name, "Name the part."),
            state: read.one_of("state", &self.state, &parts::STATES),
            defect_id: read.row("defect", &self.defect).map(DefectId::new),
            component_id: None,
            supplier: read.words("supplier", &self.supplier),
            price_pence: read.money("price", &self.price),
            promised_on: read.day("promised_on", &self.promised_on),
        };
        read.done(new)
    }
}

async fn form_page(
    desk: &Desk,
    job: &Job,
    known: Option<&Part>,
    form: &PartForm,
) -> Result<FormPage, Problem> {
    let (title, action) = match known {
        None => (
            "Write down a part".to_owned(),
            format!("/jobs/{}/parts", job.number()),
        ),
        Some(s) => (s.name.clone(), format!("/parts/{}", s.id)),
    };
    let layout = super::layout(desk, job, &title).await?;
    let page = FormPage::fresh(
        layout,
        form.fields(&defects::of_job(desk.store(), job.id).await?),
        action,
        "Save",
        format!("/jobs/{}#parts", job.number()),
    );
    Ok(match known {
        Some(s) => page.withdrawable("part", s.id.get(), s.withdrawn_at.is_some()),
        None => page,
    })
}

async fn fresh(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let form = PartForm::default();
    page(&form_page(&desk, &job, None, &form).await?)
}

async fn create(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<PartForm>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            return refused(
                &form_page(&desk, &job, None, &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                parts::make(w, job.id, &new).await?;
                Ok(format!("/jobs/{}#parts", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}

async fn change(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let part = parts::find(desk.store(), PartId::new(id)).await?;
    let job = jobs::by_id(desk.store(), part.job_id).await?;
    page(&form_page(&desk, &job, Some(&part), &PartForm::of(&part)).await?)
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<PartForm>,
) -> Result<Response, Problem> {
    let part = parts::find(desk.store(), PartId::new(id)).await?;
    let job = jobs::by_id(desk.store(), part.job_id).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            return refused(
                &form_page(&desk, &job, Some(&part), &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                parts::change(w, part.id, &new).await?;
                Ok(format!("/jobs/{}#parts", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}
