//! Writing down a variation, and changing it.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::post;
use records::jobs::{self, Job};
use records::pictures::Of;
use records::variations::{self, Answer, NewVariation, Variation};
use records::{Error, JobId, VariationId, Write};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::{BesideForm, FormPage};
use crate::jobs::record_form::{self, RecordForm};
use crate::problem::{Problem, see};
use crate::show::typed_pounds;

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route(
            "/jobs/{number}/variations",
            record_form::making::<VariationForm>(),
        )
        .route(
            "/jobs/{number}/variations/new",
            record_form::beginning::<VariationForm>(),
        )
        .route("/variations/{id}", record_form::keeping::<VariationForm>())
        .route("/variations/{id}/answer", post(answer))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct VariationForm {
    what: String,
    reason: String,
    if_not: String,
    price: String,
    asked: String,
}

impl VariationForm {
    fn fields(&self) -> Vec<Field> {
        vec![
            Field::new("text", "what", "Extra work", &self.what)
                .hint("as the customer will read it"),
            Field::new("long", "reason", "Why", &self.reason),
            Field::new("long", "if_not", "If the customer says no", &self.if_not),
            Field::new("number", "price", "Price", &self.price).money(),
            Field::new("tick", "asked", "Asked", &self.asked)
                .hint("the customer has been asked; the job waits for their word"),
        ]
    }
}

impl RecordForm for VariationForm {
    type Row = Variation;
    type New = NewVariation;

    const WRITES: &'static [&'static str] = &["what", "reason", "if_not", "price_pence"];
    const ANCHOR: &'static str = "money";
    const PICTURES: Option<Of> = Some(Of::Variation);

    fn fresh() -> Self {
        VariationForm::default()
    }

    fn of(variation: &Variation) -> Self {
        Self {
            what: variation.what.clone(),
            reason: variation.reason.clone(),
            if_not: variation.if_not.clone(),
            price: typed_pounds(Some(variation.price_pence)),
            asked: if variation.asked_at.is_some() {
                "yes".to_owned()
            } else {
                String::new()
            },
        }
    }

    fn read(&self) -> Result<NewVariation, Faults> {
        let mut read = Reader::default();
        if self.price.trim().is_empty() {
            read.fault("price", "Give the price; 0.00 when it costs nothing.");
        }
        let new = NewVariation {
            what: read.needed("what", &self.what, "Say what the extra work is."),
            reason: read.words("reason", &self.reason),
            if_not: read.words("if_not", &self.if_not),
            price_pence: read.money("price", &self.price).unwrap_or(0),
            asked: self.asked == "yes",
        };
        read.done(new)
    }

    async fn find(desk: &Desk, id: i64) -> Result<(Variation, JobId), Error> {
        let row = variations::find(desk.store(), VariationId::new(id)).await?;
        let job = row.job_id;
        Ok((row, job))
    }

    async fn page(
        &self,
        desk: &Desk,
        job: &Job,
        known: Option<&Variation>,
    ) -> Result<FormPage, Problem> {
        let (title, action) = match known {
            None => (
                "Write down a variation".to_owned(),
                format!("/jobs/{}/variations", job.number()),
            ),
            Some(s) => (
                format!("Variation {}", s.serial),
                format!("/variations/{}", s.id),
            ),
        };
        let layout = super::layout(desk, job, &title).await?;
        let page = FormPage::fresh(
            layout,
            self.fields(),
            action,
            "Save",
            format!("/jobs/{}#money", job.number()),
        );
        Ok(match known {
            Some(s) => {
                let page = page.withdrawable("variation", s.id.get(), s.withdrawn_at.is_some());
                // What the customer said themselves nobody writes over.
                if s.answered_on_page {
                    page
                } else {
                    page.beside(answer_form(s))
                }
            }
            None => page,
        })
    }

    async fn make(w: &mut Write, job: JobId, new: &NewVariation) -> Result<(), Error> {
        variations::make(w, job, new).await.map(drop)
    }

    async fn change(w: &mut Write, id: i64, new: &NewVariation) -> Result<(), Error> {
        variations::change(w, VariationId::new(id), new).await
    }
}

/// What the customer said, beside the variation.
fn answer_form(known: &Variation) -> BesideForm {
    let answers = vec![
        Pick::new("none", "none yet"),
        Pick::new("agreed", "agreed"),
        Pick::new("declined", "declined"),
    ];
    let fields = vec![
        Field::new(
            "pick",
            "answer",
            "The customer's answer",
            known.answer.as_deref().unwrap_or("none"),
        )
        .picks(answers),
        Field::new("text", "by", "Who gave it", &known.answered_by),
        Field::new("text", "how", "How it came", &known.answered_how)
            .hint("by telephone, in a letter …"),
    ];
    BesideForm::new(
        "The answer",
        format!("/variations/{}/answer", known.id),
        fields,
        "Save the answer",
    )
}

/// The customer's answer, as it came.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct AnswerForm {
    answer: String,
    by: String,
    how: String,
}

async fn answer(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<AnswerForm>,
) -> Result<Response, Problem> {
    let variation = variations::find(desk.store(), VariationId::new(id)).await?;
    let job = jobs::by_id(desk.store(), variation.job_id).await?;
    let answer = match posted.form.answer.as_str() {
        "agreed" => Some("agreed"),
        "declined" => Some("declined"),
        "none" => None,
        _ => {
            return Err(Problem::Unreadable(
                "an answer is agreed, declined, or none yet".to_owned(),
            ));
        }
    };
    let given = Answer {
        answer: answer.map(str::to_owned),
        by: posted.form.by.trim().to_owned(),
        how: posted.form.how.trim().to_owned(),
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                variations::answer(w, variation.id, &given).await?;
                Ok(format!("/jobs/{}#money", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}
