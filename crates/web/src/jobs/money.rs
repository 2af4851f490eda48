//! What a job comes to: the estimate, the hours and parts against it, what was agreed and paid; and the
//! statement for the customer.

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::response::Html;
use axum::routing::get;
use calc::money::{labour_pence, tax_within};
use records::estimates::{self, Estimate};
use records::jobs::{self, Job};
use records::parts::{self, Part};
use records::payments::{self, Payment};
use records::stock::{self, StockMove};
use records::variations::{self, Variation};
use records::workshop::{self, MoneyRules};
use records::{Stamp, Store};

use crate::desk::Desk;
use crate::filters;
use crate::layout::Layout;
use crate::problem::{Problem, page};
use crate::show::{hours, pounds};

pub(super) fn routes() -> Router<Desk> {
    Router::new().route("/jobs/{number}/statement", get(statement))
}

/// The estimate with what it comes to.
pub(super) struct Reckoned {
    /// The hours, from and to.
    pub(super) hours: String,
    /// What an hour costs in it.
    pub(super) hourly: String,
    /// The parts, from and to.
    pub(super) parts: String,
    /// All of it, at the least and at the most.
    pub(super) least_pence: i64,
    pub(super) most_pence: i64,
    pub(super) assumes: String,
}

/// Hours and parts so far, held against the estimate.
pub(super) struct SoFar {
    pub(super) hours: String,
    /// What they come to; none while no hour has a price.
    pub(super) labour_pence: Option<i64>,
    pub(super) parts_pence: i64,
    /// Parts of which no price is known.
    pub(super) unpriced: usize,
    pub(super) all_pence: i64,
    /// How it stands to the estimate.
    pub(super) against: String,
}

/// Everything about money on a job's sheet.
pub(super) struct Money {
    pub(super) estimate: Option<Reckoned>,
    pub(super) so_far: SoFar,
    pub(super) payments: Vec<Payment>,
    /// What was drawn from stock.
    pub(super) draws: Vec<StockMove>,
}

impl Money {
    pub(super) async fn of(store: &Store, job: &Job, parts: &[Part]) -> Result<Self, Problem> {
        let rules = workshop::money(store).await?;
        let estimate = estimates::of_job(store, job.id).await?;
        let estimate = estimate.filter(|e| e.withdrawn_at.is_none());
        let draws = stock::of_job(store, job.id).await?;
        let drawn: i64 = draws.iter().filter_map(StockMove::costs_pence).sum();
        Ok(Self {
            so_far: so_far(job, parts, drawn, estimate.as_ref(), &rules),
            draws,
            estimate: estimate.as_ref().map(reckoned),
            payments: payments::of_job(store, job.id).await?,
        })
    }
}

/// What an estimate comes to at the least and at the most.
fn ends(e: &Estimate) -> (i64, i64) {
    (
        labour_pence(e.least_minutes, e.hourly_pence) + e.least_parts_pence,
        labour_pence(e.most_minutes, e.hourly_pence) + e.most_parts_pence,
    )
}

fn reckoned(e: &Estimate) -> Reckoned {
    let range = |least: String, most: String| {
        if least == most {
            least
        } else {
            format!("{least} to {most}")
        }
    };
    let (least_pence, most_pence) = ends(e);
    Reckoned {
        hours: range(hours(e.least_minutes), hours(e.most_minutes)),
        hourly: pounds(e.hourly_pence),
        parts: range(pounds(e.least_parts_pence), pounds(e.most_parts_pence)),
        least_pence,
        most_pence,
        assumes: e.assumes.clone(),
    }
}

fn so_far(
    job: &Job,
    parts: &[Part],
    drawn_pence: i64,
    estimate: Option<&Estimate>,
    rules: &MoneyRules,
) -> SoFar {
    let hourly = estimate.map(|e| e.hourly_pence).or(rules.hourly_pence);
    let labour = hourly.map(|h| labour_pence(job.minutes, h));
    let counted: Vec<&Part> = parts
        .iter()
        .filter(|p| p.withdrawn_at.is_none() && p.state != "returned")
        .collect();
    let bought: i64 = counted.iter().filter_map(|p| p.costs_pence()).sum();
    let parts_pence = bought + drawn_pence;
    let all_pence = labour.unwrap_or(0) + parts_pence;
    let against = match (estimate.map(ends), labour) {
        (None, _) => "no estimate to hold it against".to_owned(),
        (Some(_), None) => "no hour has a price".to_owned(),
        (Some((_, most)), _) if all_pence > most => {
            format!(
                "over the most of the estimate by {}",
                pounds(all_pence - most)
            )
        }
        (Some((least, _)), _) if all_pence < least => {
            format!(
                "under the least of the estimate by {}",
                pounds(least - all_pence)
            )
        }
        _ => "within the estimate".to_owned(),
    };
    SoFar {
        hours: hours(job.minutes),
        labour_pence: labour,
        parts_pence,
        unpriced: counted.iter().filter(|p| p.costs_pence().is_none()).count(),
        all_pence,
        against,
    }
}

#[derive(Template)]
#[template(path = "jobs/statement.html")]
struct Statement {
    layout: Layout,
    owner: String,
    job: Job,
    agreed: Vec<Variation>,
    payments: Vec<Payment>,
    /// The sum of what is charged; none before there is an estimate or an agreed variation.
    charged_pence: Option<i64>,
    paid_pence: i64,
    owed_pence: i64,
    /// `of which tax at 20 %`, and how much that is.
    tax: Option<(String, i64)>,
    made: String,
}

async fn statement(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let store = desk.store();
    let job = jobs::find(store, &number).await?;
    let rules = workshop::money(store).await?;
    let standing =
        |v: &Variation| v.withdrawn_at.is_none() && v.answer.as_deref() == Some("agreed");
    let agreed: Vec<Variation> = variations::of_job(store, job.id)
        .await?
        .into_iter()
        .filter(standing)
        .collect();
    let charged_pence = (job.estimate_pence.is_some() || !agreed.is_empty())
        .then(|| job.estimate_pence.unwrap_or(0) + job.agreed_pence);
    let payments = payments::of_job(store, job.id).await?;
    let tax = rules.tax_hundredths.zip(charged_pence).map(|(rate, sum)| {
        let words = format!("of which tax at {} %", percent(rate));
        (words, tax_within(sum, rate))
    });
    page(&Statement {
        layout: super::layout(&desk, &job, &format!("Statement {}", job.number())).await?,
        owner: desk.owner().await?,
        agreed,
        payments: payments
            .into_iter()
            .filter(|p| p.withdrawn_at.is_none())
            .collect(),
        owed_pence: charged_pence.unwrap_or(0) - job.paid_pence,
        paid_pence: job.paid_pence,
        charged_pence,
        tax,
        made: Stamp::now().full(),
        job,
    })
}

/// Hundredths of a percent as they are read: `20`, `17.5`.
pub(crate) fn percent(hundredths: i64) -> String {
    let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The parts of a job, for what they come to.
pub(super) async fn of_job(store: &Store, job: &Job) -> Result<(Vec<Part>, Money), Problem> {
    let parts = parts::of_job(store, job.id).await?;
    let money = Money::of(store, job, &parts).await?;
    Ok((parts, money))
}

#[cfg(test)]
mod tests {
    use super::percent;

    #[test]
    fn a_rate_is_read_without_idle_noughts() {
        for (hundredths, words) in [
            (2_000, "20"),
            (1_750, "17.5"),
            (2_525, "25.25"),
            (0, "0"),
            (10_000, "100"),
        ] {
            assert_eq!(percent(hundredths), words);
        }
    }
}
