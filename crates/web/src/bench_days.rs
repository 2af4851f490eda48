//! When something that is owed to a customer stands on the bench: the workshop's own days.

use axum::Router;
use axum::extract::State;
use axum::response::{Html, Response};
use axum::routing::get;
use records::change::Subject;
use records::workshop::{self, BenchDays};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Posted, Reader};
use crate::form_page::FormPage;
use crate::problem::{Problem, page, refused, see};

/// Where the days are set.
pub(crate) fn routes() -> Router<Desk> {
    Router::new().route("/workshop/bench", get(ask).post(keep))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct DaysForm {
    news_days: String,
    promise_days: String,
}

impl DaysForm {
    fn of(days: BenchDays) -> Self {
        Self {
            news_days: days.news_days.to_string(),
            promise_days: days.promise_days.to_string(),
        }
    }

    fn fields(&self) -> Vec<Field> {
        vec![
            Field::new("number", "news_days", "News is owed after", &self.news_days)
                .hint("a customer of an open job who has heard nothing for so long stands on the bench")
                .unit("days"),
            Field::new("number", "promise_days", "A promised day shows", &self.promise_days)
                .hint("so long before it")
                .unit("days"),
        ]
    }

    fn read(&self) -> Result<BenchDays, Faults> {
        let mut read = Reader::default();
        let days = BenchDays {
            news_days: read.whole("news_days", &self.news_days, 1, 365, "the days"),
            promise_days: read.whole("promise_days", &self.promise_days, 0, 365, "the days"),
        };
        read.done(days)
    }
}

async fn form_page(desk: &Desk, form: &DaysForm) -> Result<FormPage, Problem> {
    let layout = desk.layout("What is owed, and when", "none").await?;
    let (action, back) = ("/workshop/bench".to_owned(), "/workshop".to_owned());
    FormPage::fresh(layout, form.fields(), action, "Save", back)
        .changed(desk, Subject::Workshop, 1)
        .await
}

async fn ask(State(desk): State<Desk>) -> Result<Html<String>, Problem> {
    let days = workshop::bench_days(desk.store()).await?;
    page(&form_page(&desk, &DaysForm::of(days)).await?)
}

async fn keep(State(desk): State<Desk>, posted: Posted<DaysForm>) -> Result<Response, Problem> {
    let days = match posted.form.read() {
        Ok(days) => days,
        Err(faults) => {
            let again = form_page(&desk, &posted.form).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            workshop::set_bench_days(w, days).await?;
            Ok("/workshop".to_owned())
        })
    });
    Ok(see(&to.await?))
}
