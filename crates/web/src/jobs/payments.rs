//! Writing down a deposit or a payment, and changing it.

use axum::Router;
use records::jobs::Job;
use records::payments::{self, NewPayment, Payment};
use records::pictures::Of;
use records::{Error, JobId, PaymentId, Stamp, Write};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Reader};
use crate::form_page::FormPage;
use crate::jobs::record_form::{self, RecordForm};
use crate::problem::Problem;
use crate::show::typed_pounds;

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route(
            "/jobs/{number}/payments",
            record_form::making::<PaymentForm>(),
        )
        .route(
            "/jobs/{number}/payments/new",
            record_form::beginning::<PaymentForm>(),
        )
        .route("/payments/{id}", record_form::keeping::<PaymentForm>())
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct PaymentForm {
    on_day: String,
    what: String,
    sum: String,
    how: String,
}

impl RecordForm for PaymentForm {
    type Row = Payment;
    type New = NewPayment;

    const WRITES: &'static [&'static str] = &["on_day", "what", "pence", "how"];
    const ANCHOR: &'static str = "money";
    const PICTURES: Option<Of> = None;

    fn fresh() -> Self {
        Self {
            on_day: Stamp::now().day().iso().to_owned(),
            what: "payment".to_owned(),
            ..Self::default()
        }
    }

    fn of(row: &Payment) -> Self {
        Self {
            on_day: row.on_day.iso().to_owned(),
            what: row.what.clone(),
            sum: typed_pounds(Some(row.pence)),
            how: row.how.clone(),
        }
    }

    fn read(&self) -> Result<NewPayment, Faults> {
        let mut read = Reader::default();
        let on_day = read.needed_day("on_day", &self.on_day);
        let what = read.one_of("what", &self.what, &payments::KINDS);
        let sum = read.money("sum", &self.sum);
        if self.sum.trim().is_empty() || sum == Some(0) {
            read.fault("sum", "Give the sum, more than nothing.");
        }
        let how = read.words("how", &self.how);
        let new = on_day.zip(sum).map(|(on_day, pence)| NewPayment {
            on_day,
            what,
            pence,
            how,
        });
        read.done(new)
            .and_then(|new| new.ok_or_else(Faults::default))
    }

    async fn find(desk: &Desk, id: i64) -> Result<(Payment, JobId), Error> {
        let row = payments::find(desk.store(), PaymentId::new(id)).await?;
        let job = row.job_id;
        Ok((row, job))
    }

    async fn page(
        &self,
        desk: &Desk,
        job: &Job,
        known: Option<&Payment>,
    ) -> Result<FormPage, Problem> {
        let (title, action) = match known {
            None => (
                "Write down a payment".to_owned(),
                format!("/jobs/{}/payments", job.number()),
            ),
            Some(p) => (
                format!("{} of {}", capital(&p.what), p.on_day.full()),
                format!("/payments/{}", p.id),
            ),
        };
        let fields = vec![
            Field::new("date", "on_day", "Day", &self.on_day),
            Field::new("pick", "what", "What it is", &self.what)
                .picks(Pick::words(&payments::KINDS)),
            Field::new("number", "sum", "Sum", &self.sum).money(),
            Field::new("text", "how", "How it came", &self.how)
                .hint("in notes, by transfer …; stands on the statement"),
        ];
        let layout = super::layout(desk, job, &title).await?;
        let back = format!("/jobs/{}#money", job.number());
        let page = FormPage::fresh(layout, fields, action, "Save", back);
        Ok(match known {
            Some(p) => page.withdrawable("payment", p.id.get(), p.withdrawn_at.is_some()),
            None => page,
        })
    }

    async fn make(w: &mut Write, job: JobId, new: &NewPayment) -> Result<(), Error> {
        payments::make(w, job, new).await.map(drop)
    }

    async fn change(w: &mut Write, id: i64, new: &NewPayment) -> Result<(), Error> {
        payments::change(w, PaymentId::new(id), new).await
    }
}

/// With a capital at the head.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}
