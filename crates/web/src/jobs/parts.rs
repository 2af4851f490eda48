//! Writing down a part, and changing it.

use axum::Router;
use records::defects::{self, Defect};
use records::jobs::Job;
use records::parts::{self, NewPart, Part};
use records::pictures::Of;
use records::{DefectId, Error, JobId, PartId, Write};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Reader};
use crate::form_page::FormPage;
use crate::jobs::record_form::{self, RecordForm};
use crate::problem::Problem;
use crate::show::typed_pounds;

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/jobs/{number}/parts", record_form::making::<PartForm>())
        .route(
            "/jobs/{number}/parts/new",
            record_form::beginning::<PartForm>(),
        )
        .route("/parts/{id}", record_form::keeping::<PartForm>())
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
            Field::new("number", "price", "Price each", &self.price).money(),
            Field::new("date", "promised_on", "Promised for", &self.promised_on)
                .hint("may stay empty"),
        ]
    }
}

impl RecordForm for PartForm {
    type Row = Part;
    type New = NewPart;

    const ANCHOR: &'static str = "parts";
    const PICTURES: Option<Of> = Some(Of::Part);

    fn fresh() -> Self {
        PartForm::default()
    }

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

    async fn find(desk: &Desk, id: i64) -> Result<(Part, JobId), Error> {
        let row = parts::find(desk.store(), PartId::new(id)).await?;
        let job = row.job_id;
        Ok((row, job))
    }

    async fn page(
        &self,
        desk: &Desk,
        job: &Job,
        known: Option<&Part>,
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
            self.fields(&defects::of_job(desk.store(), job.id).await?),
            action,
            "Save",
            format!("/jobs/{}#parts", job.number()),
        );
        Ok(match known {
            Some(s) => page.withdrawable("part", s.id.get(), s.withdrawn_at.is_some()),
            None => page,
        })
    }

    async fn make(w: &mut Write, job: JobId, new: &NewPart) -> Result<(), Error> {
        parts::make(w, job, new).await.map(drop)
    }

    async fn change(w: &mut Write, id: i64, new: &NewPart) -> Result<(), Error> {
        parts::change(w, PartId::new(id), new).await
    }
}
