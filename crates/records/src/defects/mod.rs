//! Defects, each with a bar: *no steam*, *no handover*, *watch*.

mod row;

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{DefectId, JobId, PlantId};
use crate::store::Store;
use crate::writer::Write;

pub use row::{Defect, NewDefect, Origin, Settled, Until};

const FIND: &str = "select * from defect_line where id = ?1";
const OF_JOB: &str = "select * from defect_line where job_id = ?1 order by serial";
const NO_STEAM: &str = "select d.* from job j cross join defect_line d on d.job_id = j.id
    where j.plant_id = ?1 and d.bar = 'no steam' and d.state <> 'cleared' and d.withdrawn_at is null and j.withdrawn_at is null
    order by d.job_year, d.job_serial, d.serial";
const DEFERRED: &str = "select d.* from job j cross join defect_line d on d.job_id = j.id
    where d.state = 'deferred' and d.withdrawn_at is null
    and j.stands not in ('gone home', 'gone home unrepaired') and j.withdrawn_at is null
    order by d.deferred_to, d.job_year, d.job_serial, d.serial";
const OF_FLAG: &str = "select id from defect where trial_id = ?1 and rule = ?2 and raised_at_s is ?3 and withdrawn_at is null";
const NEXT_SERIAL: &str = "select coalesce(max(serial), 0) + 1 from defect where job_id = ?1";
const MAKE: &str = "insert into defect (job_id, serial, component_id, what, bar, to_do, origin, sitting_id, trial_id, rule, raised_at_s, made_at, examination_id)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13) returning id";
const CHANGE: &str =
    "update defect set component_id = ?2, what = ?3, bar = ?4, to_do = ?5 where id = ?1";
const SETTLE: &str = "update defect set state = ?2, deferred_to = ?3, deferred_why = ?4, cleared_by_sitting = ?5, cleared_by_part = ?6,
    cleared_by_trial = ?7, cleared_at = ?8, deferred_until = ?9, deferred_part_id = ?10, deferred_since = ?11 where id = ?1
    and (?5 is null or exists (select 1 from sitting s where s.id = ?5 and s.job_id = defect.job_id))
    and (?6 is null or exists (select 1 from part p where p.id = ?6 and p.job_id = defect.job_id))
    and (?10 is null or exists (select 1 from part p where p.id = ?10 and p.job_id = defect.job_id))
    and (?7 is null or exists (select 1 from trial t where t.id = ?7 and t.job_id = defect.job_id))";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("defects::FIND", FIND),
    ("defects::OF_JOB", OF_JOB),
    ("defects::NO_STEAM", NO_STEAM),
    ("defects::DEFERRED", DEFERRED),
    ("defects::OF_FLAG", OF_FLAG),
    ("defects::NEXT_SERIAL", NEXT_SERIAL),
    ("defects::MAKE", MAKE),
    ("defects::CHANGE", CHANGE),
    ("defects::SETTLE", SETTLE),
];

/// What a defect or a temporary state forbids.
pub const BARS: [&str; 3] = ["no steam", "no handover", "watch"];

/// One defect.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: DefectId) -> Result<Defect, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("defect"))
}

/// The defects of a job in the order of their numbers, withdrawn ones too.
///
/// # Errors
/// Only the database's.
pub async fn of_job(store: &Store, job: JobId) -> Result<Vec<Defect>, Error> {
    Ok(sqlx::query_as(OF_JOB)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Every no-steam defect of a plant that is not cleared, from whichever of its jobs.
///
/// # Errors
/// Only the database's.
pub async fn no_steam(store: &Store, plant: PlantId) -> Result<Vec<Defect>, Error> {
    Ok(sqlx::query_as(NO_STEAM)
        .bind(plant)
        .fetch_all(store.readers())
        .await?)
}

/// Every defect of an open job that is put off, by its day.
///
/// # Errors
/// Only the database's.
pub async fn deferred(store: &Store) -> Result<Vec<Defect>, Error> {
    Ok(sqlx::query_as(DEFERRED).fetch_all(store.readers()).await?)
}

/// Writes a defect down. A flag that was made a defect already gives that defect again.
///
/// # Errors
/// [`Error::Rule`] when bar or words cannot be.
pub async fn make(w: &mut Write, job: JobId, new: &NewDefect) -> Result<DefectId, Error> {
    let (mut finding, mut sitting_id) = (None, None);
    let (mut trial_id, mut rule, mut raised) = (None, None, None);
    let origin = match &new.origin {
        Origin::Examination => "examination",
        Origin::Finding(id) => {
            finding = Some(*id);
            "examination"
        }
        Origin::Sitting(id) => {
            sitting_id = Some(*id);
            "sitting"
        }
        Origin::Trial {
            trial,
            rule: name,
            raised_at_s,
        } => {
            (trial_id, rule, raised) = (Some(*trial), Some(name), Some(*raised_at_s));
            let known = sqlx::query_scalar(OF_FLAG)
                .bind(trial)
                .bind(name)
                .bind(raised)
                .fetch_optional(w.conn())
                .await?;
            if let Some(known) = known {
                return Ok(known);
            }
            "trial"
        }
    };
    let now = w.now();
    let serial: i64 = sqlx::query_scalar(NEXT_SERIAL)
        .bind(job)
        .fetch_one(w.conn())
        .await?;
    let id: DefectId = sqlx::query_scalar(MAKE)
        .bind(job)
        .bind(serial)
        .bind(new.component_id)
        .bind(&new.what)
        .bind(&new.bar)
        .bind(&new.to_do)
        .bind(origin)
        .bind(sitting_id)
        .bind(trial_id)
        .bind(rule)
        .bind(raised)
        .bind(now)
        .bind(finding)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Defect, id.get()).await?;
    Ok(id)
}

/// Changes what is written of a defect; where it was found stays.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: DefectId, new: &NewDefect) -> Result<(), Error> {
    let before = change::before(w, Subject::Defect, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(new.component_id)
        .bind(&new.what)
        .bind(&new.bar)
        .bind(&new.to_do)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Says how a defect stands.
///
/// # Errors
/// [`Error::Missing`]; [`Error::Rule`] when it is put off without a reason.
pub async fn settle(w: &mut Write, id: DefectId, settled: &Settled) -> Result<(), Error> {
    let before = change::before(w, Subject::Defect, id.get()).await?;
    let now = w.now();
    let (mut to, mut why, mut sitting, mut part, mut trial, mut at) =
        (None, "", None, None, None, Some(now));
    let (mut until, mut part_awaited, mut since) = ("day", None, None);
    let state = match settled {
        Settled::Standing => {
            at = None;
            "standing"
        }
        Settled::Deferred {
            until: what,
            to: day,
            why: reason,
        } => {
            (to, why, at, since) = (Some(day), reason.as_str(), None, Some(now));
            (until, part_awaited) = match what {
                Until::Day => ("day", None),
                Until::Sitting => ("sitting", None),
                Until::Part(id) => ("part", Some(*id)),
                Until::Trial => ("trial", None),
            };
            "deferred"
        }
        Settled::BySitting(id) => {
            sitting = Some(*id);
            "cleared"
        }
        Settled::ByPart(id) => {
            part = Some(*id);
            "cleared"
        }
        Settled::ByTrial(id) => {
            trial = Some(*id);
            "cleared"
        }
    };
    let done = sqlx::query(SETTLE)
        .bind(id)
        .bind(state)
        .bind(to)
        .bind(why)
        .bind(sitting)
        .bind(part)
        .bind(trial)
        .bind(at)
        .bind(until)
        .bind(part_awaited)
        .bind(since)
        .execute(w.conn())
        .await?;
    if done.rows_affected() == 0 {
        return Err(Error::Refused(
            "what clears a defect, or what it waits for, belongs to the same job".to_owned(),
        ));
    }
    before.changed(w).await
}
