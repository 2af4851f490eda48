//! A job as it is stored, and what is derived of it.

use super::Back;
use crate::ids::{CustomerId, JobId, PlantId};
use crate::time::{Day, Stamp};

/// A job with what is derived of it.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Job {
    /// Its row.
    pub id: JobId,
    /// Year of its number.
    pub year: i64,
    /// Serial of its number.
    pub serial: i64,
    /// The plant.
    pub plant_id: PlantId,
    /// Name of the plant.
    pub plant: String,
    /// Mark on the boiler.
    pub boiler_mark: String,
    /// The customer.
    pub customer_id: CustomerId,
    /// Name of the customer.
    pub customer: String,
    /// The customer's own words.
    pub words: String,
    /// Condition on arrival.
    pub condition: String,
    /// What came with it.
    pub contents: String,
    /// The day it came in.
    pub came_in_on: Day,
    /// The day it was promised for.
    pub promised_on: Option<Day>,
    /// Where it was put by hand.
    #[sqlx(rename = "stands")]
    #[serde(rename = "stands")]
    pub put: String,
    /// Since when.
    pub stands_since: Stamp,
    /// Waits for me since.
    pub me_since: Option<Stamp>,
    /// Waits for the inspector since.
    pub inspector_since: Option<Stamp>,
    /// Waits for the customer's word since: the oldest variation that was asked and has no answer.
    pub word_since: Option<Stamp>,
    /// Waits for parts since: the oldest part on order.
    pub parts_since: Option<Stamp>,
    /// A trial is running since.
    pub trial_since: Option<Stamp>,
    /// What I said I would do next.
    pub next_time: String,
    /// The job this is a return of.
    pub return_of: Option<JobId>,
    /// What came back.
    pub came_back: String,
    /// Through what; none while that is not settled.
    pub back_through: Option<String>,
    /// Whether that is charged; none while that is not settled.
    pub back_charged: Option<String>,
    /// Up to what gauge pressure its customer lets it be steamed, bar, as typed; empty where nothing was said.
    pub steam_to_bar: String,
    /// Estimate.
    pub estimate_pence: Option<i64>,
    /// Paid so far: the sum of its payments.
    pub paid_pence: i64,
    /// Agreed variations together.
    pub agreed_pence: i64,
    /// Minutes at the bench so far.
    pub minutes: i64,
    /// How many no-steam bars stand.
    pub no_steam: i64,
    /// How many no-handover bars stand.
    pub no_handover: i64,
    /// How many watch bars stand.
    pub watch: i64,
    /// A private note.
    pub private_note: String,
    /// When it was booked in.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// What a job waits for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WaitsFor {
    /// Something I have to do.
    Me,
    /// The customer's word.
    CustomersWord,
    /// Parts.
    Parts,
    /// The inspector.
    Inspector,
}

impl WaitsFor {
    /// In the order of the bench: where I can act comes first.
    pub const ALL: [Self; 4] = [Self::Me, Self::CustomersWord, Self::Parts, Self::Inspector];

    /// Its words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Me => "me",
            Self::CustomersWord => "customer's word",
            Self::Parts => "parts",
            Self::Inspector => "inspector",
        }
    }
}

/// The number of a job from its year and serial, `26-014`.
///
/// ```
/// assert_eq!(records::jobs::number(2026, 14), "26-014");
/// ```
#[must_use]
pub fn number(year: i64, serial: i64) -> String {
    format!("{:02}-{serial:03}", year % 100)
}

/// The number of the job that something belongs to; empty where it belongs to none.
pub(crate) fn number_of(year: Option<i64>, serial: Option<i64>) -> String {
    let both = year.zip(serial);
    both.map_or_else(String::new, |(year, serial)| number(year, serial))
}

impl Job {
    /// Whether its customer said that it is not to be steamed at all.
    #[must_use]
    pub fn steams_to_nothing(&self) -> bool {
        !self.steam_to_bar.is_empty() && !self.steam_to_bar.contains(|c| ('1'..='9').contains(&c))
    }

    /// What is said of its being a return.
    #[must_use]
    pub fn back(&self) -> Back {
        Back {
            what: self.came_back.clone(),
            through: self.back_through.clone(),
            charged: self.back_charged.clone(),
        }
    }

    /// Its number, `26-014`.
    #[must_use]
    pub fn number(&self) -> String {
        number(self.year, self.serial)
    }

    /// Where it stands: *under trial* while a trial is running, otherwise where it was put.
    #[must_use]
    pub fn stands(&self) -> &str {
        if self.trial_since.is_some() {
            "under trial"
        } else {
            &self.put
        }
    }

    /// Whether it is still in the workshop.
    #[must_use]
    pub fn is_open(&self) -> bool {
        !self.put.starts_with("gone home")
    }

    /// Everything it waits for, each since when.
    #[must_use]
    pub fn waits(&self) -> Vec<(WaitsFor, Stamp)> {
        [
            (WaitsFor::Me, self.me_since),
            (WaitsFor::CustomersWord, self.word_since),
            (WaitsFor::Parts, self.parts_since),
            (WaitsFor::Inspector, self.inspector_since),
        ]
        .into_iter()
        .filter_map(|(what, since)| since.map(|s| (what, s)))
        .collect()
    }

    /// Estimate and agreed variations, less what is paid; `None` before there is an estimate or an agreed variation.
    #[must_use]
    pub fn owed_pence(&self) -> Option<i64> {
        (self.estimate_pence.is_some() || self.agreed_pence > 0)
            .then(|| self.estimate_pence.unwrap_or(0) + self.agreed_pence - self.paid_pence)
    }
}
