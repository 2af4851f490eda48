//! A defect as stored, as written, and how it stands.

use crate::ids::{ComponentId, DefectId, ExaminationId, JobId, LookId, PartId, SittingId, TrialId};
use crate::time::{Day, Stamp};

/// A defect as stored.
#[derive(Clone, Debug, PartialEq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Defect {
    /// Its row.
    pub id: DefectId,
    /// The job.
    pub job_id: JobId,
    /// Year of the job's number.
    pub job_year: i64,
    /// Serial of the job's number.
    pub job_serial: i64,
    /// Name of the plant.
    pub plant: String,
    /// Its number on the job: the balloon on the drawing.
    pub serial: i64,
    /// The component it is on.
    pub component_id: Option<ComponentId>,
    /// What is wrong.
    pub what: String,
    /// One of [`super::BARS`].
    pub bar: String,
    /// What to do about it.
    pub to_do: String,
    /// `standing`, `deferred`, `cleared`.
    pub state: String,
    /// Deferred until.
    pub deferred_to: Option<Day>,
    /// Deferred because.
    pub deferred_why: String,
    /// What it waits for: `day`, `sitting`, `part`, `trial`; the day is then the latest.
    pub deferred_until: String,
    /// The part it waits for.
    pub deferred_part_id: Option<PartId>,
    /// Name of that part.
    pub deferred_part: Option<String>,
    /// When it was put off.
    pub deferred_since: Option<Stamp>,
    /// Whether the sitting, part or trial that it waits for has come.
    pub awaited_came: bool,
    /// The sitting that cleared it.
    pub cleared_by_sitting: Option<SittingId>,
    /// The part that cleared it.
    pub cleared_by_part: Option<PartId>,
    /// The trial that cleared it.
    pub cleared_by_trial: Option<TrialId>,
    /// When it was cleared.
    pub cleared_at: Option<Stamp>,
    /// `examination`, `sitting`, `trial`.
    pub origin: String,
    /// The finding it was written down with.
    pub examination_id: Option<ExaminationId>,
    /// The sitting it was found in.
    pub sitting_id: Option<SittingId>,
    /// Serial of that sitting.
    pub sitting_serial: Option<i64>,
    /// The look it was found in.
    pub look_id: Option<LookId>,
    /// Serial of that look.
    pub look_serial: Option<i64>,
    /// The trial it was found in.
    pub trial_id: Option<TrialId>,
    /// Serial of that trial.
    pub trial_serial: Option<i64>,
    /// The flag or event it came from.
    pub rule: Option<String>,
    /// When that was raised, in seconds into the trial.
    pub raised_at_s: Option<f64>,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

impl Defect {
    /// The job's number, `26-014`.
    #[must_use]
    pub fn job_number(&self) -> String {
        crate::jobs::number(self.job_year, self.job_serial)
    }

    /// Has it come back: is what it was put off to here?
    #[must_use]
    pub fn has_come_back(&self, today: &Day) -> bool {
        let its_day = self.deferred_to.as_ref().is_some_and(|day| day <= today);
        self.state == "deferred" && self.withdrawn_at.is_none() && (its_day || self.awaited_came)
    }

    /// What it was put off to, in words.
    #[must_use]
    pub fn put_off_to(&self) -> String {
        let day = self.deferred_to.as_ref();
        let day = day.map_or_else(String::new, Day::short);
        match self.deferred_until.as_str() {
            "sitting" => format!("the next sitting, at the latest {day}"),
            "trial" => format!("the next trial, at the latest {day}"),
            "part" => {
                let part = self.deferred_part.as_deref().unwrap_or("its part");
                format!("{part} being in hand, at the latest {day}")
            }
            _ => day,
        }
    }
}

/// Where a defect was found.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// Looking it over.
    Examination,
    /// With a finding at its component.
    Finding(ExaminationId),
    /// At the bench.
    Sitting(SittingId),
    /// From a flag or event of a trial, raised so many seconds into it; once a flag.
    Trial {
        /// The trial.
        trial: TrialId,
        /// The flag's rule or the event.
        rule: String,
        /// When it was raised.
        raised_at_s: f64,
    },
}

/// A defect as written on the form.
#[derive(Clone, Debug, PartialEq)]
pub struct NewDefect {
    /// The component it is on.
    pub component_id: Option<ComponentId>,
    /// What is wrong.
    pub what: String,
    /// One of [`super::BARS`].
    pub bar: String,
    /// What to do about it.
    pub to_do: String,
    /// Where it was found; not changed afterwards.
    pub origin: Origin,
}

/// What a defect is put off to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Until {
    /// Its day alone.
    Day,
    /// The next sitting of its job.
    Sitting,
    /// A part being in hand.
    Part(PartId),
    /// The next trial of its job.
    Trial,
}

/// How a defect stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Settled {
    /// It stands.
    Standing,
    /// Put off.
    Deferred {
        /// Until what.
        until: Until,
        /// To this day, or at the latest to it.
        to: Day,
        /// Why.
        why: String,
    },
    /// Cleared by a sitting.
    BySitting(SittingId),
    /// Cleared by a part.
    ByPart(PartId),
    /// Cleared by a trial.
    ByTrial(TrialId),
}
