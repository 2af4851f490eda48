//! A boiler of unknown history: identified, measured, reckoned, a working pressure proposed, tested with water, and then
//! agreed or refused. While it is neither, a *no steam* bar stands that nothing else takes away.

use crate::change::{self, Subject};
use crate::defects::{self, NewDefect, Origin, Settled};
use crate::error::Error;
use crate::ids::{DefectId, JobId, ReckoningId, TrialId, UnknownBoilerId};
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const OF_JOB: &str = "select * from unknown_boiler where job_id = ?1";
const BEGIN: &str =
    "insert into unknown_boiler (job_id, defect_id, made_at) values (?1, ?2, ?3) returning id";
const WRITE: &str = "update unknown_boiler set material = ?2, seams = ?3, plate = ?4, tubes = ?5, stays = ?6, scale = ?7, lagging = ?8,
    measured = ?9, reckoning_id = ?10, proposed_bar = ?11, proposed_by = ?12 where id = ?1";
const DECIDE: &str = "update unknown_boiler set outcome = ?2, agreed_by = ?3, trial_id = ?4, why = ?5, decided_at = ?6 where id = ?1";
// A water test of this job that passed since the route was begun, for a working pressure not less than the proposed.
const PROVES: &str = "select exists (select 1 from trial t where t.id = ?1 and t.job_id = ?2 and t.kind = 'hydraulic' and t.verdict = 'pass'
    and t.withdrawn_at is null and t.closed_at >= ?3 and cast(json_extract(t.head, '$.plant.working_pressure_bar') as real) >= cast(?4 as real))";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("unknown_boilers::OF_JOB", OF_JOB),
    ("unknown_boilers::BEGIN", BEGIN),
    ("unknown_boilers::WRITE", WRITE),
    ("unknown_boilers::DECIDE", DECIDE),
    ("unknown_boilers::PROVES", PROVES),
];

/// The route of one boiler as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct UnknownBoiler {
    /// Its row.
    pub id: UnknownBoilerId,
    /// The job.
    pub job_id: JobId,
    /// The defect that bars steam.
    pub defect_id: DefectId,
    /// What the shell is made of.
    pub material: String,
    /// What holds the seams.
    pub seams: String,
    /// The plate.
    pub plate: String,
    /// The tubes.
    pub tubes: String,
    /// The stays.
    pub stays: String,
    /// Scale inside.
    pub scale: String,
    /// Old lagging.
    pub lagging: String,
    /// What was measured, and where.
    pub measured: String,
    /// The reckoning that the proposal rests on.
    pub reckoning_id: Option<ReckoningId>,
    /// The working pressure that is proposed, bar, as typed.
    pub proposed_bar: String,
    /// Who proposed it.
    pub proposed_by: String,
    /// `unknown`, `agreed` or `refused`.
    pub outcome: String,
    /// Who agreed.
    pub agreed_by: String,
    /// The water test that it was agreed on.
    pub trial_id: Option<TrialId>,
    /// Why it was refused, or what was said.
    pub why: String,
    /// When it was decided.
    pub decided_at: Option<Stamp>,
    /// When the route was begun.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// What was found out and proposed, as written on the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Findings {
    /// What the shell is made of.
    pub material: String,
    /// What holds the seams.
    pub seams: String,
    /// The plate.
    pub plate: String,
    /// The tubes.
    pub tubes: String,
    /// The stays.
    pub stays: String,
    /// Scale inside.
    pub scale: String,
    /// Old lagging.
    pub lagging: String,
    /// What was measured, and where.
    pub measured: String,
    /// The reckoning that the proposal rests on.
    pub reckoning_id: Option<ReckoningId>,
    /// The working pressure that is proposed, bar.
    pub proposed_bar: String,
    /// Who proposed it.
    pub proposed_by: String,
}

/// What is decided.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Decision {
    /// Nothing yet, or not any more.
    Unknown,
    /// It may be steamed at the proposed pressure.
    Agreed {
        /// Who agreed.
        by: String,
        /// The water test that it rests on.
        trial: TrialId,
        /// What was said.
        why: String,
    },
    /// It is not to be steamed.
    Refused {
        /// Who refused.
        by: String,
        /// Why.
        why: String,
    },
}

/// The route of a job's boiler, if it was begun.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Option<UnknownBoiler>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_optional(store.readers())
        .await?)
}

async fn of_job_in(w: &mut Write, job: JobId) -> Result<UnknownBoiler, Error> {
    sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_optional(w.conn())
        .await?
        .ok_or(Error::Missing("unknown boiler"))
}

/// Begins the route: from now on no steam stands.
///
/// # Errors
/// [`Error::Taken`] when it was begun before.
pub async fn begin(w: &mut Write, job: JobId) -> Result<UnknownBoilerId, Error> {
    let bar = NewDefect {
        component_id: None,
        what: "The boiler's history is unknown, and no working pressure is agreed".to_owned(),
        bar: "no steam".to_owned(),
        to_do: "identify, measure, reckon, propose, test with water, agree or refuse".to_owned(),
        origin: Origin::Examination,
    };
    let defect = defects::make(w, job, &bar).await?;
    let now = w.now();
    let id: UnknownBoilerId = sqlx::query_scalar(BEGIN)
        .bind(job)
        .bind(defect)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::UnknownBoiler, id.get()).await?;
    Ok(id)
}

/// Writes down what was found out and what is proposed.
///
/// # Errors
/// [`Error::Missing`]; [`Error::Refused`] once it is decided.
pub async fn write(w: &mut Write, job: JobId, new: &Findings) -> Result<(), Error> {
    let known = of_job_in(w, job).await?;
    if known.outcome != "unknown" {
        return Err(Error::Refused(format!(
            "this boiler was {}: say that it is unknown again before what it rests on is changed",
            known.outcome
        )));
    }
    let before = change::before(w, Subject::UnknownBoiler, known.id.get()).await?;
    sqlx::query(WRITE)
        .bind(known.id)
        .bind(&new.material)
        .bind(&new.seams)
        .bind(&new.plate)
        .bind(&new.tubes)
        .bind(&new.stays)
        .bind(&new.scale)
        .bind(&new.lagging)
        .bind(&new.measured)
        .bind(new.reckoning_id)
        .bind(&new.proposed_bar)
        .bind(&new.proposed_by)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Decides. Agreeing takes the bar away, and needs a water test that passed since the route was begun, for no less
/// than the proposed pressure; everything else leaves the bar standing.
///
/// # Errors
/// [`Error::Missing`]; [`Error::Refused`] with what is wanting; [`Error::Rule`] when it does not say who or why.
pub async fn decide(w: &mut Write, job: JobId, decision: &Decision) -> Result<(), Error> {
    let known = of_job_in(w, job).await?;
    let now = w.now();
    let (outcome, by, trial, why) = match decision {
        Decision::Unknown => ("unknown", "", None, ""),
        Decision::Agreed { by, trial, why } => {
            proves(w, &known, *trial).await?;
            ("agreed", by.as_str(), Some(*trial), why.as_str())
        }
        Decision::Refused { by, why } => ("refused", by.as_str(), None, why.as_str()),
    };
    let before = change::before(w, Subject::UnknownBoiler, known.id.get()).await?;
    // The bar comes back before the word that held it away is taken back.
    if known.outcome == "agreed" && trial.is_none() {
        defects::settle(w, known.defect_id, &Settled::Standing).await?;
    }
    sqlx::query(DECIDE)
        .bind(known.id)
        .bind(outcome)
        .bind(by)
        .bind(trial)
        .bind(why)
        .bind((outcome != "unknown").then_some(now))
        .execute(w.conn())
        .await?;
    if let Some(trial) = trial {
        defects::settle(w, known.defect_id, &Settled::ByTrial(trial)).await?;
    }
    before.changed(w).await
}

async fn proves(w: &mut Write, known: &UnknownBoiler, trial: TrialId) -> Result<(), Error> {
    if known.proposed_bar.is_empty() || known.proposed_by.is_empty() {
        return Err(Error::Refused(
            "nothing is agreed before a working pressure is proposed, and by whom".to_owned(),
        ));
    }
    let proves: bool = sqlx::query_scalar(PROVES)
        .bind(trial)
        .bind(known.job_id)
        .bind(known.made_at)
        .bind(&known.proposed_bar)
        .fetch_one(w.conn())
        .await?;
    if proves {
        return Ok(());
    }
    Err(Error::Refused(format!(
        "agreeing needs a water test of this boiler that passed since its history was found unknown, for a working pressure of {} bar at least",
        known.proposed_bar
    )))
}
