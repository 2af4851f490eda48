//! One job's sheet: what was asked, what is wrong, what is for now, what was tried, what it comes to.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Html;
use records::appointments::{self, Appointment};
use records::at_bench;
use records::customers::{self, Way};
use records::defects::{self, Defect};
use records::examinations::{self, Tally};
use records::jobs::{self, Job};
use records::log;
use records::parts::Part;
use records::publish;
use records::reckonings::{self, Reckoning};
use records::shares;
use records::sittings::Sitting;
use records::states::{self, Piece, TemporaryState};
use records::unknown_boilers::{self, UnknownBoiler};
use records::variations::{self, Variation};
use records::{Day, Stamp};

use crate::bench::Begun;
use crate::changes::{self, Changes};
use crate::desk::Desk;
use crate::filters;
use crate::jobs::line::JobLine;
use crate::jobs::money::{self, Money};
use crate::jobs::sat::on_the_sheet;
use crate::layout::{Keys, Layout};
use crate::paging::Paging;
use crate::pictures::Strip;
use crate::problem::{Problem, page};
use crate::trials::strips;

#[derive(Template)]
#[template(path = "jobs/show.html")]
struct JobSheet {
    layout: Layout,
    owner: String,
    today: Day,
    at_bench: Option<Begun>,
    job: Job,
    line: JobLine,
    /// One hidden key a form of the page: each form is its own.
    keys: Keys,
    steamed: &'static str,
    /// The first way to reach the customer.
    reached: Option<Way>,
    return_of: Option<String>,
    examined: Tally,
    defects: Vec<Defect>,
    states: Vec<TemporaryState>,
    pieces: Vec<Piece>,
    trials: Vec<strips::TrialLine>,
    looks: Vec<crate::looks::LookLine>,
    sittings: Vec<Sitting>,
    earlier_sittings: Paging,
    parts: Vec<Part>,
    variations: Vec<Variation>,
    money: Money,
    reckonings: Vec<Reckoning>,
    visits: Vec<Appointment>,
    unknown: Option<UnknownBoiler>,
    strip: Strip,
    news: usize,
    links: usize,
    published: bool,
    changes: Changes,
    stands: &'static [&'static str],
    withdrawn: bool,
}

/// Whether the plant may be steamed, as far as this book knows; it never says yes.
fn may_it_be_steamed(job: &Job) -> &'static str {
    match (job.no_steam > 0, job.trial_since.is_some()) {
        (true, _) => "no: a no-steam bar stands",
        (false, true) => "under trial, here only",
        (false, false) => "no bar stands here; that proves nothing",
    }
}

pub(crate) async fn show(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let store = desk.store();
    let job = jobs::find(store, &number).await?;
    let links = shares::of_job(store, job.id).await?;
    let now = Stamp::now();
    let choices = publish::choices(store, job.id).await?;
    let (parts, money) = money::of_job(store, &job).await?;
    let (sittings, earlier_sittings) = on_the_sheet(store, &job).await?;
    let sheet = JobSheet {
        layout: super::layout(&desk, &job, &format!("{} {}", job.number(), job.plant)).await?,
        owner: desk.owner().await?,
        today: now.day(),
        at_bench: at_bench::of_job(store, job.id)
            .await?
            .map(|b| Begun::of(&b, now)),
        line: JobLine::of(&job, now),
        keys: Keys,
        steamed: may_it_be_steamed(&job),
        reached: customers::find(store, job.customer_id)
            .await?
            .ways
            .all()
            .into_iter()
            .next(),
        return_of: match job.return_of {
            Some(earlier) => Some(jobs::by_id(store, earlier).await?.number()),
            None => None,
        },
        examined: examinations::tally(store, job.id).await?,
        defects: defects::of_job(store, job.id).await?,
        states: states::of_job(store, job.id).await?,
        pieces: states::pieces(store, job.id).await?,
        trials: strips::lines(store, log::of_job(store, job.id).await?).await?,
        looks: crate::looks::of_job(&desk, &job).await?,
        sittings,
        earlier_sittings,
        parts,
        money,
        variations: variations::of_job(store, job.id).await?,
        reckonings: reckonings::of_job(store, job.id).await?,
        unknown: unknown_boilers::of_job(store, job.id).await?,
        visits: appointments::of_job(store, job.id).await?,
        strip: Strip::of_job(&desk, job.id).await?,
        news: choices.news.len(),
        published: !choices.news.is_empty()
            || !choices.defects.is_empty()
            || !choices.variations.is_empty()
            || !choices.pictures.is_empty(),
        links: links.iter().filter(|l| l.opens_at(now)).count(),
        changes: changes::of_job(&desk, &job, format!("/jobs/{}", job.number())).await?,
        stands: &jobs::STANDS,
        withdrawn: job.withdrawn_at.is_some(),
        job,
    };
    page(&sheet)
}
