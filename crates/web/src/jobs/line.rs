//! A job as one line of a list.

use records::Stamp;
use records::jobs::Job;

use crate::show::{days_since, pounds};

/// A job as one line of a list.
pub(crate) struct JobLine {
    /// `26-014`.
    pub number: String,
    /// Name of the plant.
    pub plant: String,
    /// Name of the customer.
    pub customer: String,
    /// Where it stands, as a place from 1 to 6.
    pub place: u8,
    /// Where it stands, in words.
    pub stands: String,
    /// Bars that stand.
    pub no_steam: i64,
    /// Bars that stand.
    pub no_handover: i64,
    /// Bars that stand.
    pub watch: i64,
    /// What I said I would do next.
    pub next_time: String,
    /// How far its examination has come, where that is asked and it is not done.
    pub examined: String,
    /// What else it waits for, when it waits for more than one thing.
    pub also: String,
    /// What it waits for, all of it, each since when.
    pub waits: String,
    /// Since when it waits, in days.
    pub since: String,
    /// Whether that is long.
    pub long: bool,
    /// For sorting.
    pub since_millis: i64,
    /// What is owed.
    pub owed: String,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// More days than this stand out.
const LONG_DAYS: i64 = 10;

impl JobLine {
    pub(crate) fn of(job: &Job, now: Stamp) -> Self {
        let waits = job.waits();
        let since = waits.first().map_or(job.stands_since, |(_, since)| *since);
        let named: Vec<String> = waits
            .iter()
            .map(|(what, since)| format!("{} since {}", what.words(), since.short()))
            .collect();
        Self {
            number: job.number(),
            plant: job.plant.clone(),
            customer: job.customer.clone(),
            place: place(job.stands()),
            stands: job.stands().to_owned(),
            no_steam: job.no_steam,
            no_handover: job.no_handover,
            watch: job.watch,
            next_time: job.next_time.clone(),
            examined: String::new(),
            also: named.get(1..).unwrap_or_default().join(", "),
            waits: named.join("; "),
            since: days_since(since, now),
            long: since.days_to(now) >= LONG_DAYS,
            since_millis: since.millis(),
            owed: job
                .owed_pence()
                .filter(|p| *p > 0)
                .map_or_else(String::new, pounds),
            withdrawn: job.withdrawn_at.is_some(),
        }
    }
}

/// The places of the route: 1 in … 6 gone home.
pub(crate) fn place(stands: &str) -> u8 {
    match stands {
        "opened up" => 2,
        "on the bench" => 3,
        "under trial" => 4,
        "ready" => 5,
        "gone home" | "gone home unrepaired" => 6,
        _ => 1,
    }
}
