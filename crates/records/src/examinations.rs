//! Examinations: what was found at each component in a job, by whom, and whether it is sound.

use std::collections::HashMap;

use serde::{Deserialize, Serialize};

use crate::change::{self, Subject};
use crate::defects::{self, Defect, NewDefect, Origin};
use crate::error::Error;
use crate::ids::{ComponentId, DefectId, ExaminationId, JobId, PictureId, PlantId};
use crate::pictures::Picture;
use crate::store::Store;
use crate::time::Stamp;
use crate::writer::Write;

const FIND: &str = "select * from examination_line where id = ?1";
const OF_PLANT: &str = "select e.* from component c cross join examination_line e on e.component_id = c.id where c.plant_id = ?1
    order by e.made_at desc, e.id desc";
const DEFECTS_OF_PLANT: &str = "select d.* from component c cross join defect_line d on d.component_id = c.id
    join job j on j.id = d.job_id where c.plant_id = ?1 and d.withdrawn_at is null and j.withdrawn_at is null
    order by d.job_year, d.job_serial, d.serial";
const DEFECTS: &str = "select * from defect_line where examination_id = ?1 order by serial";
const PICTURES: &str =
    "select p.* from examination_picture x cross join picture_line p on p.id = x.picture_id
    where x.examination_id = ?1 order by p.withdrawn_at is not null, p.id";
const STANDS: &str =
    "select exists (select 1 from defect d join job j on j.id = d.job_id where d.component_id = ?1
    and d.state <> 'cleared' and d.withdrawn_at is null and j.withdrawn_at is null)";
const MAKE: &str = "insert into examination (job_id, component_id, finding, outcome, by, made_at)
    select j.id, c.id, ?3, ?4, ?5, ?6 from job j join component c on c.plant_id = j.plant_id where j.id = ?1 and c.id = ?2 returning id";
const CHANGE: &str = "update examination set finding = ?2 where id = ?1";
const PICTURED: &str =
    "insert into examination_picture (picture_id, examination_id) values (?1, ?2)";
const TALLY: &str = "select (select count(*) from component c where c.plant_id = j.plant_id and c.withdrawn_at is null) as components,
    (select count(*) from component c where c.plant_id = j.plant_id and c.withdrawn_at is null and exists
        (select 1 from examination e where e.job_id = j.id and e.component_id = c.id and e.withdrawn_at is null)) as examined
    from job j where j.id = ?1";
const BEGUN: &str = "select j.id, (select count(*) from component c where c.plant_id = j.plant_id and c.withdrawn_at is null) as components,
    (select count(*) from component c where c.plant_id = j.plant_id and c.withdrawn_at is null and exists
        (select 1 from examination e where e.job_id = j.id and e.component_id = c.id and e.withdrawn_at is null)) as examined
    from job j where j.stands not in ('gone home', 'gone home unrepaired') and j.withdrawn_at is null and j.stands in ('in', 'opened up')";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("examinations::FIND", FIND),
    ("examinations::OF_PLANT", OF_PLANT),
    ("examinations::DEFECTS_OF_PLANT", DEFECTS_OF_PLANT),
    ("examinations::DEFECTS", DEFECTS),
    ("examinations::PICTURES", PICTURES),
    ("examinations::STANDS", STANDS),
    ("examinations::MAKE", MAKE),
    ("examinations::CHANGE", CHANGE),
    ("examinations::PICTURED", PICTURED),
    ("examinations::TALLY", TALLY),
    ("examinations::BEGUN", BEGUN),
];

/// A finding as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, Serialize, Deserialize)]
pub struct Examination {
    /// Its row.
    pub id: ExaminationId,
    /// The job.
    pub job_id: JobId,
    /// Year of the job's number.
    pub job_year: i64,
    /// Serial of the job's number.
    pub job_serial: i64,
    /// The plant.
    pub plant_id: PlantId,
    /// Name of the plant.
    pub plant: String,
    /// What was examined.
    pub component_id: ComponentId,
    /// Its name.
    pub component: String,
    /// What was found.
    pub finding: String,
    /// `sound`, `sound in other respects` or `defect`.
    pub outcome: String,
    /// By whom.
    pub by: String,
    /// How many pictures were taken at it.
    pub pictures: i64,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

impl Examination {
    /// The job's number, `26-014`.
    #[must_use]
    pub fn job_number(&self) -> String {
        crate::jobs::number(self.job_year, self.job_serial)
    }
}

/// How a component comes out of its examination.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Sound.
    Sound,
    /// Nothing beside the defects that are written down of it already.
    SoundOtherwise,
    /// With a defect that is written down now.
    Defect {
        /// What is wrong.
        what: String,
        /// One of [`defects::BARS`].
        bar: String,
    },
}

impl Outcome {
    /// Its word.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Sound => "sound",
            Self::SoundOtherwise => "sound in other respects",
            Self::Defect { .. } => "defect",
        }
    }
}

/// A finding as written on the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewExamination {
    /// What was examined.
    pub component_id: ComponentId,
    /// What was found.
    pub finding: String,
    /// How it comes out.
    pub outcome: Outcome,
}

/// How far an examination has come.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, sqlx::FromRow)]
pub struct Tally {
    /// How many components the plant has.
    pub components: i64,
    /// At how many of them something was found in this job.
    pub examined: i64,
}

impl Tally {
    /// In words: `examined 5 of 9 components`.
    #[must_use]
    pub fn words(self) -> String {
        let things = if self.components == 1 {
            "component"
        } else {
            "components"
        };
        format!("examined {} of {} {things}", self.examined, self.components)
    }
}

/// One finding.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: ExaminationId) -> Result<Examination, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("examination"))
}

/// Every finding at a plant's components in all its jobs, the newest first, withdrawn ones among them.
///
/// # Errors
/// Only the database's.
pub async fn of_plant(store: &Store, plant: PlantId) -> Result<Vec<Examination>, Error> {
    Ok(sqlx::query_as(OF_PLANT)
        .bind(plant)
        .fetch_all(store.readers())
        .await?)
}

/// Every defect on a plant's components in all its jobs.
///
/// # Errors
/// Only the database's.
pub async fn defects_of_plant(store: &Store, plant: PlantId) -> Result<Vec<Defect>, Error> {
    Ok(sqlx::query_as(DEFECTS_OF_PLANT)
        .bind(plant)
        .fetch_all(store.readers())
        .await?)
}

/// The defects that were written down with a finding.
///
/// # Errors
/// Only the database's.
pub async fn defects(store: &Store, id: ExaminationId) -> Result<Vec<Defect>, Error> {
    Ok(sqlx::query_as(DEFECTS)
        .bind(id)
        .fetch_all(store.readers())
        .await?)
}

/// The pictures that were taken at a finding, withdrawn ones last.
///
/// # Errors
/// Only the database's.
pub async fn pictures(store: &Store, id: ExaminationId) -> Result<Vec<Picture>, Error> {
    Ok(sqlx::query_as(PICTURES)
        .bind(id)
        .fetch_all(store.readers())
        .await?)
}

/// How far the examination of a job has come.
///
/// # Errors
/// [`Error::Missing`].
pub async fn tally(store: &Store, job: JobId) -> Result<Tally, Error> {
    sqlx::query_as(TALLY)
        .bind(job)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("job"))
}

/// How far it has come in each job that stands *in* or *opened up*.
///
/// # Errors
/// Only the database's.
pub async fn begun(store: &Store) -> Result<HashMap<i64, Tally>, Error> {
    let rows: Vec<(i64, i64, i64)> = sqlx::query_as(BEGUN).fetch_all(store.readers()).await?;
    let tally = |(job, components, examined)| {
        (
            job,
            Tally {
                components,
                examined,
            },
        )
    };
    Ok(rows.into_iter().map(tally).collect())
}

/// Writes a finding down, beside those that are there, and its defect with it.
///
/// # Errors
/// [`Error::Refused`] when the component is another plant's, or is called sound while a defect stands on it.
pub async fn make(
    w: &mut Write,
    job: JobId,
    new: &NewExamination,
) -> Result<(ExaminationId, Option<DefectId>), Error> {
    if new.outcome == Outcome::Sound {
        let stands: bool = sqlx::query_scalar(STANDS)
            .bind(new.component_id)
            .fetch_one(w.conn())
            .await?;
        if stands {
            return Err(Error::Refused(
                "a defect stands on this component: clear it first, or say that it is sound in other respects"
                    .to_owned(),
            ));
        }
    }
    let (now, by) = (w.now(), w.by().to_owned());
    let id: ExaminationId = sqlx::query_scalar(MAKE)
        .bind(job)
        .bind(new.component_id)
        .bind(&new.finding)
        .bind(new.outcome.word())
        .bind(by)
        .bind(now)
        .fetch_optional(w.conn())
        .await?
        .ok_or_else(|| {
            Error::Refused("that component is not on this plant; choose one of its own".to_owned())
        })?;
    change::made(w, Subject::Examination, id.get()).await?;
    let Outcome::Defect { what, bar } = &new.outcome else {
        return Ok((id, None));
    };
    let defect = from_finding(w, (id, job, new.component_id), what, bar).await?;
    Ok((id, Some(defect)))
}

/// One more defect of the same finding.
///
/// # Errors
/// [`Error::Refused`] when the component came out sound.
pub async fn add_defect(
    w: &mut Write,
    known: &Examination,
    what: &str,
    bar: &str,
) -> Result<DefectId, Error> {
    if known.outcome != "defect" || known.withdrawn_at.is_some() {
        return Err(Error::Refused(
            "this finding has no defect: examine the component again and write the new finding beside it"
                .to_owned(),
        ));
    }
    from_finding(w, (known.id, known.job_id, known.component_id), what, bar).await
}

async fn from_finding(
    w: &mut Write,
    (id, job, component): (ExaminationId, JobId, ComponentId),
    what: &str,
    bar: &str,
) -> Result<DefectId, Error> {
    let new = NewDefect {
        component_id: Some(component),
        what: what.to_owned(),
        bar: bar.to_owned(),
        to_do: String::new(),
        origin: Origin::Finding(id),
    };
    defects::make(w, job, &new).await
}

/// Puts the words of a finding right; its component and its outcome stay.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, id: ExaminationId, finding: &str) -> Result<(), Error> {
    let before = change::before(w, Subject::Examination, id.get()).await?;
    sqlx::query(CHANGE)
        .bind(id)
        .bind(finding)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// Says that a picture was taken at a finding.
///
/// # Errors
/// [`Error::Rule`] when either is not there.
pub async fn pictured(w: &mut Write, id: ExaminationId, picture: PictureId) -> Result<(), Error> {
    sqlx::query(PICTURED)
        .bind(picture)
        .bind(id)
        .execute(w.conn())
        .await?;
    Ok(())
}
