//! How the workshop writes its sums: the sign before them, what an hour costs, and the tax within them.

use axum::Router;
use axum::extract::State;
use axum::response::{Html, Response};
use axum::routing::get;
use records::change::Subject;
use records::workshop::{self, MoneyRules};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Posted, Reader};
use crate::form_page::FormPage;
use crate::jobs::percent;
use crate::problem::{Problem, page, refused, see};
use crate::show::typed_pounds;

/// The address of the rules.
pub(crate) fn routes() -> Router<Desk> {
    Router::new().route("/workshop/money", get(ask).post(keep))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct RulesForm {
    currency: String,
    hourly: String,
    tax: String,
}

impl RulesForm {
    fn of(rules: &MoneyRules) -> Self {
        Self {
            currency: rules.currency.clone(),
            hourly: typed_pounds(rules.hourly_pence),
            tax: rules.tax_hundredths.map_or_else(String::new, percent),
        }
    }

    fn fields(&self) -> Vec<Field> {
        vec![
            Field::new("text", "currency", "Sign before a sum", &self.currency)
                .hint("£, €, $, kr …: four letters at most"),
            Field::new("number", "hourly", "An hour costs", &self.hourly)
                .hint("what the customer pays; may stay empty")
                .money(),
            Field::new("number", "tax", "Tax within every sum", &self.tax)
                .hint("empty: the statement speaks of no tax. Sums are what the customer pays; the statement says how much of them is tax, rounded once to the penny, a half upward")
                .unit("%"),
        ]
    }

    fn read(&self) -> Result<MoneyRules, Faults> {
        let mut read = Reader::default();
        let currency = read.needed("currency", &self.currency, "Give the sign, such as £.");
        if currency.chars().count() > 4 || currency.chars().any(|c| c.is_ascii_digit()) {
            read.fault(
                "currency",
                "A sign has four letters at most, and no figures.",
            );
        }
        let hourly_pence = read.money("hourly", &self.hourly);
        let tax = self.tax.trim().trim_end_matches('%').trim();
        let tax_hundredths = (!tax.is_empty()).then(|| hundredths(tax));
        if tax_hundredths == Some(None) {
            read.fault(
                "tax",
                format!("“{tax}” is no rate: write 20 or 17.5, from 0 to 100."),
            );
        }
        read.done(MoneyRules {
            currency,
            hourly_pence,
            tax_hundredths: tax_hundredths.flatten(),
        })
    }
}

/// `20` or `17.5` percent as hundredths of a percent.
fn hundredths(text: &str) -> Option<i64> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
    if whole.is_empty() || whole.len() > 3 || part.len() > 2 || !digits(whole) || !digits(part) {
        return None;
    }
    let rate = format!("{whole}{part:0<2}").parse().ok()?;
    (0..=10_000).contains(&rate).then_some(rate)
}

async fn form_page(desk: &Desk, form: &RulesForm) -> Result<FormPage, Problem> {
    let layout = desk.layout("How sums are written", "none").await?;
    let mut page = FormPage::fresh(
        layout,
        form.fields(),
        "/workshop/money".to_owned(),
        "Save",
        "/workshop".to_owned(),
    );
    page.lead = "a record of what was named and paid; it keeps no accounts".to_owned();
    page.changed(desk, Subject::Workshop, 1).await
}

async fn ask(State(desk): State<Desk>) -> Result<Html<String>, Problem> {
    let rules = workshop::money(desk.store()).await?;
    page(&form_page(&desk, &RulesForm::of(&rules)).await?)
}

async fn keep(State(desk): State<Desk>, posted: Posted<RulesForm>) -> Result<Response, Problem> {
    let rules = match posted.form.read() {
        Ok(rules) => rules,
        Err(faults) => {
            let again = form_page(&desk, &posted.form).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            workshop::set_money(w, &rules).await?;
            Ok("/workshop".to_owned())
        })
    });
    Ok(see(&to.await?))
}

#[cfg(test)]
mod tests {
    use super::hundredths;

    #[test]
    fn a_rate_is_read_exactly_or_not_at_all() {
        for (typed, rate) in [
            ("20", 2_000),
            ("17.5", 1_750),
            ("0", 0),
            ("100", 10_000),
            ("2.05", 205),
        ] {
            assert_eq!(hundredths(typed), Some(rate), "{typed}");
        }
        for bad in ["", "-1", "101", "100.01", "1.234", ".5", "a", "1e1"] {
            assert_eq!(hundredths(bad), None, "{bad}");
        }
    }
}
