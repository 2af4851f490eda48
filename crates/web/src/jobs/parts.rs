//! Writing down a part, and changing it.

use axum::Router;
use records::components::{self, Component};
use records::defects::{self, Defect};
use records::jobs::Job;
use records::parts::{self, NewPart, Part};
use records::pictures::Of;
use records::{ComponentId, Day, DefectId, Error, JobId, PartId, Write};
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
pub(crate) struct PartForm {
    name: String,
    state: String,
    defect: String,
    component: String,
    supplier: String,
    price: String,
    promised_on: String,
    way: String,
    material: String,
    count: String,
    carriage: String,
    ordered_on: String,
    arrived_on: String,
}

/// A day as it is typed; empty for none.
fn typed_day(day: Option<&Day>) -> String {
    day.map_or_else(String::new, |d| d.iso().to_owned())
}

impl PartForm {
    /// Made or bought: as chosen, or as its state says; the two must agree.
    fn read_way(&self, read: &mut Reader) -> String {
        let by_state = match self.state.as_str() {
            "to make" => Some("make"),
            "to order" | "on order" => Some("buy"),
            _ => None,
        };
        match (self.way.as_str(), by_state) {
            ("", by_state) => by_state.unwrap_or("buy").to_owned(),
            (way, Some(state)) if parts::WAYS.contains(&way) && way != state => {
                let says = format!(
                    "What is {} is no part to {way}: change one of the two.",
                    self.state
                );
                read.fault("way", says);
                state.to_owned()
            }
            (way, _) => read.one_of("way", way, &parts::WAYS),
        }
    }

    fn fields(&self, defects: &[Defect], components: &[Component]) -> Vec<Field> {
        let mut goes_on = vec![Pick::new("", "the defect's, or none")];
        goes_on.extend(
            components
                .iter()
                .filter(|c| c.withdrawn_at.is_none())
                .map(|c| Pick::new(c.id, c.name.clone())),
        );
        let mut whose = vec![Pick::new("", "no one defect")];
        whose.extend(
            defects
                .iter()
                .filter(|d| d.withdrawn_at.is_none())
                .map(|d| Pick::new(d.id, format!("{}, {}", d.serial, d.what))),
        );
        vec![
            Field::new("text", "name", "Part", &self.name),
            Field::new("number", "count", "How many", &self.count).hint("empty: one"),
            Field::new("pick", "state", "It is", &self.state).picks(Pick::words(&parts::STATES)),
            Field::new("pick", "way", "Make or buy", &self.way).picks(vec![
                Pick::new("", "as its state says"),
                Pick::new("make", "make"),
                Pick::new("buy", "buy"),
            ]),
            Field::new("pick", "defect", "For the defect", &self.defect).picks(whose),
            Field::new("pick", "component", "For the component", &self.component)
                .hint("what became of it is found on the component's page")
                .picks(goes_on),
            Field::new("head", "making", "To make", ""),
            Field::new("text", "material", "Of", &self.material)
                .hint("material and size, such as bronze bar 12 mm; a sketch goes under its pictures once it is saved"),
            Field::new("head", "buying", "To buy", ""),
            Field::new("text", "supplier", "Comes from", &self.supplier).hint("may stay empty"),
            Field::new("number", "price", "Price each", &self.price).money(),
            Field::new("number", "carriage", "Carriage of all", &self.carriage).money(),
            Field::new("date", "ordered_on", "Ordered", &self.ordered_on)
                .hint("empty: the day it is put on order"),
            Field::new("date", "promised_on", "Promised for", &self.promised_on)
                .hint("may stay empty"),
            Field::new("date", "arrived_on", "Arrived", &self.arrived_on)
                .hint("empty: the day it is taken in hand"),
        ]
    }
}

impl RecordForm for PartForm {
    type Row = Part;
    type New = NewPart;

    const WRITES: &'static [&'static str] = &[
        "name",
        "state",
        "defect_id",
        "component_id",
        "supplier",
        "price_pence",
        "promised_on",
        "way",
        "material",
        "count",
        "carriage_pence",
        "ordered_on",
        "arrived_on",
    ];
    const FOLLOWS: &'static [&'static str] = &["state_since"];
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
            component: part
                .component_id
                .map_or_else(String::new, |c| c.to_string()),
            supplier: part.supplier.clone(),
            price: typed_pounds(part.price_pence),
            promised_on: typed_day(part.promised_on.as_ref()),
            way: part.way.clone(),
            material: part.material.clone(),
            count: part.count.to_string(),
            carriage: typed_pounds(part.carriage_pence),
            ordered_on: typed_day(part.ordered_on.as_ref()),
            arrived_on: typed_day(part.arrived_on.as_ref()),
        }
    }

    fn read(&self) -> Result<NewPart, Faults> {
        let mut read = Reader::default();
        let count = match self.count.trim() {
            "" => 1,
            typed => read.whole("count", typed, 1, 100_000, "how many"),
        };
        let ordered_on = read.day("ordered_on", &self.ordered_on);
        let arrived_on = read.day("arrived_on", &self.arrived_on);
        if let (Some(ordered), Some(arrived)) = (&ordered_on, &arrived_on)
            && arrived < ordered
        {
            let says = format!("It was ordered on {}: give a later day.", ordered.full());
            read.fault("arrived_on", says);
        }
        let new = NewPart {
            name: read.needed("name", &self.name, "Name the part."),
            state: read.one_of("state", &self.state, &parts::STATES),
            way: self.read_way(&mut read),
            material: read.words("material", &self.material),
            count,
            carriage_pence: read.money("carriage", &self.carriage),
            ordered_on,
            arrived_on,
            defect_id: read.row("defect", &self.defect).map(DefectId::new),
            component_id: read.row("component", &self.component).map(ComponentId::new),
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
            self.fields(
                &defects::of_job(desk.store(), job.id).await?,
                &components::of_plant(desk.store(), job.plant_id).await?,
            ),
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
