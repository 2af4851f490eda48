//! One finding: its words put right, one more defect of it, its pictures, withdrawn and put back.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::defects::{BARS, Defect};
use records::examinations::{self, Examination};
use records::{Error, ExaminationId, Write, jobs};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::{BesideForm, FormPage};
use crate::pictures::Strip;
use crate::problem::{Problem, page, refused, see};
use crate::put_back::Kept;

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/examinations/{id}", get(show).post(update))
        .route("/examinations/{id}/defects", post(add_defect))
}

/// The words as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::jobs) struct FindingForm {
    finding: String,
}

/// One more defect as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct DefectForm {
    what: String,
    bar: String,
}

impl Kept for FindingForm {
    type Row = Examination;
    type New = String;

    const WRITES: &'static [&'static str] = &["finding"];

    async fn find(desk: &Desk, id: i64) -> Result<Examination, Error> {
        examinations::find(desk.store(), ExaminationId::new(id)).await
    }

    fn written(row: &Examination) -> Result<String, Faults> {
        Self {
            finding: row.finding.clone(),
        }
        .read()
    }

    async fn change(w: &mut Write, id: i64, new: &String) -> Result<(), Error> {
        examinations::change(w, ExaminationId::new(id), new).await
    }
}

impl FindingForm {
    fn read(&self) -> Result<String, Faults> {
        let mut read = Reader::default();
        let finding = read.needed("finding", &self.finding, "Say what was found.");
        read.done(finding)
    }
}

impl DefectForm {
    fn beside(&self, known: &Examination) -> BesideForm {
        let fields = vec![
            Field::new("few", "what", "What else is wrong", &self.what),
            Field::new("pick", "bar", "Until it is cleared", &self.bar).picks(Pick::words(&BARS)),
        ];
        BesideForm::new(
            "One more defect found with it",
            format!("/examinations/{}/defects", known.id),
            fields,
            "It has this defect too",
        )
    }
}

fn list(known: &Examination) -> String {
    format!(
        "/jobs/{}/examination#component-{}",
        known.job_number(),
        known.component_id
    )
}

/// Where, by whom, when, and how it came out.
fn lead(known: &Examination, defects: &[Defect]) -> String {
    let named: Vec<String> = defects
        .iter()
        .filter(|d| d.withdrawn_at.is_none())
        .map(|d| format!("defect {}, {}: {}", d.serial, d.state, d.what))
        .collect();
    let outcome = if known.outcome == "defect" && !named.is_empty() {
        named.join("; ")
    } else {
        known.outcome.clone()
    };
    format!(
        "{} {}, by {}, {}: {outcome}",
        known.job_number(),
        known.plant,
        known.by,
        known.made_at.full()
    )
}

async fn known_page(
    desk: &Desk,
    known: &Examination,
    form: &FindingForm,
    more: &DefectForm,
) -> Result<FormPage, Problem> {
    let job = jobs::by_id(desk.store(), known.job_id).await?;
    let title = format!("Examination: {}", known.component);
    let defects = examinations::defects(desk.store(), known.id).await?;
    let mut page = FormPage::fresh(
        super::super::layout(desk, &job, &title).await?,
        vec![
            Field::new("long", "finding", "What was found", &form.finding)
                .hint("its words can be put right; how it came out stays"),
        ],
        format!("/examinations/{}", known.id),
        "Save",
        list(known),
    );
    page.lead = lead(known, &defects);
    if known.outcome == "defect" && known.withdrawn_at.is_none() {
        page = page.beside(more.beside(known));
    }
    let of = match defects.first() {
        Some(defect) => format!("defect-{}", defect.id),
        None => format!("component-{}", known.component_id),
    };
    let strip = Strip {
        add: format!("/pictures/new?of={of}&examination={}", known.id),
        pictures: examinations::pictures(desk.store(), known.id).await?,
        mixed: false,
    };
    page.pictured(strip)
        .withdrawable("examination", known.id.get(), known.withdrawn_at.is_some())
        .with_changes(desk)
        .await
}

async fn show(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let known = examinations::find(desk.store(), ExaminationId::new(id)).await?;
    let form = FindingForm {
        finding: known.finding.clone(),
    };
    page(&known_page(&desk, &known, &form, &DefectForm::default()).await?)
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<FindingForm>,
) -> Result<Response, Problem> {
    let known = examinations::find(desk.store(), ExaminationId::new(id)).await?;
    let finding = match posted.form.read() {
        Ok(finding) => finding,
        Err(faults) => {
            let again = known_page(&desk, &known, &posted.form, &DefectForm::default()).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                examinations::change(w, known.id, &finding).await?;
                Ok(list(&known))
            })
        })
        .await?;
    Ok(see(&to))
}

async fn add_defect(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<DefectForm>,
) -> Result<Response, Problem> {
    let known = examinations::find(desk.store(), ExaminationId::new(id)).await?;
    let mut read = Reader::default();
    let what = read.needed("what", &posted.form.what, "Say what is wrong.");
    let bar = read.one_of("bar", &posted.form.bar, &BARS);
    if let Err(faults) = read.done(()) {
        let form = FindingForm {
            finding: known.finding.clone(),
        };
        let beside = posted.form.beside(&known).again(&posted.key);
        let page = known_page(&desk, &known, &form, &posted.form).await?;
        let key = page.key.clone();
        return refused(&page.beside(beside).again(faults, &key));
    }
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                examinations::add_defect(w, &known, &what, &bar).await?;
                Ok(list(&known))
            })
        })
        .await?;
    Ok(see(&to))
}
