//! What is fitted to a component and what was adjusted on it; and all that ever happened to it.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{ComponentId, FittedId, JobId, PartId, PlantId, SittingId};
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

const FIND: &str = "select * from fitted_line where id = ?1";
const OF_COMPONENT: &str = "select * from fitted_line where component_id = ?1 order by withdrawn_at is not null, on_day desc, id desc";
const OF_PLANT: &str = "select * from fitted_line where plant_id = ?1 and withdrawn_at is null order by on_day desc, id desc";
const OF_SITTING: &str =
    "select * from fitted_line where sitting_id = ?1 order by withdrawn_at is not null, id";
const OF_PART: &str =
    "select * from fitted_line where part_id = ?1 order by withdrawn_at is not null, id";
const MAKE: &str = "insert into fitted (component_id, job_id, sitting_id, part_id, kind, what, was, now, on_day, made_at)
    values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10) returning id";
const CHANGE: &str = "update fitted set component_id = ?2, kind = ?3, what = ?4, was = ?5, now = ?6, on_day = ?7 where id = ?1";
const BY_SITTING: &str = "select j.id, j.plant_id, s.on_day from sitting s join job j on j.id = s.job_id where s.id = ?1";
const BY_PART: &str =
    "select j.id, j.plant_id, null from part p join job j on j.id = p.job_id where p.id = ?1";
const ON_PLANT: &str =
    "select exists (select 1 from component where id = ?1 and (?2 is null or plant_id = ?2))";
// Days are of the workshop's own clock where they were typed; a defect's and a part's is that of its moment.
const HISTORY: &str = "select * from (
    select 'fitted' as what, f.id, f.on_day as day, null as at, f.kind as word, f.what as says, f.was, f.now, j.year, j.serial, f.made_at as since
        from fitted f left join job j on j.id = f.job_id where f.component_id = ?1 and f.withdrawn_at is null
    union all select 'defect', d.id, null, d.made_at, d.state, d.what, '', d.bar, j.year, j.serial, d.made_at
        from defect d cross join job j on j.id = d.job_id where d.component_id = ?1 and d.withdrawn_at is null
    union all select 'examination', e.id, null, e.made_at, e.outcome, e.finding, '', e.by, j.year, j.serial, e.made_at
        from examination e cross join job j on j.id = e.job_id where e.component_id = ?1 and e.withdrawn_at is null
    union all select 'part', p.id, null, p.state_since, p.state, p.name, '', p.supplier, j.year, j.serial, p.state_since
        from part p cross join job j on j.id = p.job_id where p.component_id = ?1 and p.withdrawn_at is null
    union all select 'sitting', s.id, s.on_day, null, '', s.done, '', '', j.year, j.serial, s.made_at
        from sitting s cross join job j on j.id = s.job_id where s.component_id = ?1 and s.withdrawn_at is null
    union all select 'picture', p.id, p.taken_on, null, '', p.caption, '', '', null, null, p.made_at
        from picture p where p.subject = 'component' and p.subject_id = ?1 and p.withdrawn_at is null)";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("fitted::FIND", FIND),
    ("fitted::OF_COMPONENT", OF_COMPONENT),
    ("fitted::OF_PLANT", OF_PLANT),
    ("fitted::OF_SITTING", OF_SITTING),
    ("fitted::OF_PART", OF_PART),
    ("fitted::MAKE", MAKE),
    ("fitted::CHANGE", CHANGE),
    ("fitted::BY_SITTING", BY_SITTING),
    ("fitted::BY_PART", BY_PART),
    ("fitted::ON_PLANT", ON_PLANT),
    ("fitted::HISTORY", HISTORY),
];

/// What can be fitted; an adjustment fits nothing, and says from what to what.
pub const KINDS: [&str; 8] = [
    "packing",
    "gasket",
    "sealant",
    "oil",
    "jet",
    "thread",
    "adjustment",
    "other",
];

/// What it was written down with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum With {
    /// In a sitting.
    Sitting(SittingId),
    /// With a part.
    Part(PartId),
    /// Known of old, or found so.
    Neither,
}

/// Something fitted, as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct Fitted {
    /// Its row.
    pub id: FittedId,
    /// To which component.
    pub component_id: ComponentId,
    /// The job it was done in.
    pub job_id: Option<JobId>,
    /// The sitting it was done in.
    pub sitting_id: Option<SittingId>,
    /// The part it is.
    pub part_id: Option<PartId>,
    /// One of [`KINDS`].
    pub kind: String,
    /// What.
    pub what: String,
    /// Before an adjustment.
    pub was: String,
    /// After it.
    pub now: String,
    /// The day.
    pub on_day: Day,
    /// When it was written down.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
    /// Name of the component.
    pub component: String,
    /// The plant.
    pub plant_id: PlantId,
    /// Year of the job's number.
    pub job_year: Option<i64>,
    /// Serial of the job's number.
    pub job_serial: Option<i64>,
    /// Which sitting of the job.
    pub sitting_serial: Option<i64>,
    /// Name of the part.
    pub part: Option<String>,
}

impl Fitted {
    /// Number of its job; empty for what is known of old.
    #[must_use]
    pub fn job_number(&self) -> String {
        crate::jobs::number_of(self.job_year, self.job_serial)
    }

    /// What it is in one line: `packing: graphite yarn 3 mm`, `adjustment: lead of the left valve, 0.3 mm late → alike`.
    #[must_use]
    pub fn line(&self) -> String {
        one_line(&self.kind, &self.what, &self.was, &self.now)
    }
}

fn one_line(kind: &str, what: &str, was: &str, now: &str) -> String {
    match (was, now) {
        ("", "") => format!("{kind}: {what}"),
        ("", now) => format!("{kind}: {what}, now {now}"),
        (was, "") => format!("{kind}: {what}, was {was}"),
        (was, now) => format!("{kind}: {what}, from {was} to {now}"),
    }
}

/// Something fitted, as written on the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewFitted {
    /// To which component.
    pub component_id: ComponentId,
    /// One of [`KINDS`].
    pub kind: String,
    /// What.
    pub what: String,
    /// Before an adjustment.
    pub was: String,
    /// After it.
    pub now: String,
    /// The day; a sitting's own day when none is given.
    pub on_day: Option<Day>,
}

/// One line of all that happened to a component.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Happened {
    /// The day.
    pub day: Day,
    /// `fitted`, `defect`, `examination`, `part`, `sitting` or `picture`.
    pub what: String,
    /// Its row.
    pub id: i64,
    /// In words.
    pub says: String,
    /// Number of the job; empty where there is none.
    pub job: String,
}

#[derive(sqlx::FromRow)]
struct Row {
    what: String,
    id: i64,
    day: Option<Day>,
    at: Option<Stamp>,
    word: String,
    says: String,
    was: String,
    now: String,
    year: Option<i64>,
    serial: Option<i64>,
    since: Stamp,
}

/// All that happened to a component, the newest first.
///
/// # Errors
/// Only the database's.
pub async fn history(store: &Store, component: ComponentId) -> Result<Vec<Happened>, Error> {
    let rows: Vec<Row> = sqlx::query_as(HISTORY)
        .bind(component)
        .fetch_all(store.readers())
        .await?;
    let mut all: Vec<(Stamp, Happened)> =
        rows.into_iter().map(|r| (r.since, happened(r))).collect();
    all.sort_by(|(a_at, a), (b_at, b)| (&b.day, b_at).cmp(&(&a.day, a_at)));
    Ok(all.into_iter().map(|(_, line)| line).collect())
}

fn happened(row: Row) -> Happened {
    let says = match row.what.as_str() {
        "fitted" => one_line(&row.word, &row.says, &row.was, &row.now),
        "defect" => format!("defect, {}: {}, {}", row.now, row.says, row.word),
        "examination" => format!("examined by {}, {}: {}", row.now, row.word, row.says),
        "part" if row.now.is_empty() => format!("part: {}, {}", row.says, row.word),
        "part" => format!("part: {}, {}, from {}", row.says, row.word, row.now),
        "sitting" => format!("sitting: {}", row.says),
        _ if row.says.is_empty() => "picture".to_owned(),
        _ => format!("picture: {}", row.says),
    };
    let day = row.day.or(row.at.map(Stamp::day));
    Happened {
        day: day.unwrap_or_else(|| row.since.day()),
        what: row.what,
        id: row.id,
        says,
        job: crate::jobs::number_of(row.year, row.serial),
    }
}

/// One thing that was fitted.
///
/// # Errors
/// [`Error::Missing`].
pub async fn find(store: &Store, id: FittedId) -> Result<Fitted, Error> {
    sqlx::query_as(FIND)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("thing fitted"))
}

/// What was ever fitted to a component, the newest first, withdrawn ones last.
///
/// # Errors
/// Only the database's.
pub async fn of_component(store: &Store, id: ComponentId) -> Result<Vec<Fitted>, Error> {
    all(store, OF_COMPONENT, id.get()).await
}

/// What was ever fitted to the components of a plant, the newest first.
///
/// # Errors
/// Only the database's.
pub async fn of_plant(store: &Store, id: PlantId) -> Result<Vec<Fitted>, Error> {
    all(store, OF_PLANT, id.get()).await
}

/// What was fitted in a sitting.
///
/// # Errors
/// Only the database's.
pub async fn of_sitting(store: &Store, id: SittingId) -> Result<Vec<Fitted>, Error> {
    all(store, OF_SITTING, id.get()).await
}

/// What a part was fitted as.
///
/// # Errors
/// Only the database's.
pub async fn of_part(store: &Store, id: PartId) -> Result<Vec<Fitted>, Error> {
    all(store, OF_PART, id.get()).await
}

async fn all(store: &Store, statement: &'static str, id: i64) -> Result<Vec<Fitted>, Error> {
    Ok(sqlx::query_as(statement)
        .bind(id)
        .fetch_all(store.readers())
        .await?)
}

/// Writes down what is fitted.
///
/// # Errors
/// [`Error::Missing`] when sitting, part or component is not there; [`Error::Refused`] when the component is another plant's.
pub async fn make(w: &mut Write, with: With, new: &NewFitted) -> Result<FittedId, Error> {
    let now = w.now();
    let (statement, row, sitting, part) = match with {
        With::Sitting(id) => (BY_SITTING, id.get(), Some(id), None),
        With::Part(id) => (BY_PART, id.get(), None, Some(id)),
        With::Neither => ("", 0, None, None),
    };
    let home: Option<(JobId, PlantId, Option<Day>)> = match with {
        With::Neither => None,
        _ => Some(
            sqlx::query_as(statement)
                .bind(row)
                .fetch_optional(w.conn())
                .await?
                .ok_or(Error::Missing("sitting or part"))?,
        ),
    };
    on_plant(
        w,
        new.component_id,
        home.as_ref().map(|(_, plant, _)| *plant),
    )
    .await?;
    let own_day = home.as_ref().and_then(|(_, _, day)| day.clone());
    let day = new.on_day.clone().or(own_day).unwrap_or_else(|| now.day());
    let id: FittedId = sqlx::query_scalar(MAKE)
        .bind(new.component_id)
        .bind(home.map(|(job, _, _)| job))
        .bind(sitting)
        .bind(part)
        .bind(&new.kind)
        .bind(&new.what)
        .bind(&new.was)
        .bind(&new.now)
        .bind(day)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::Fitted, id.get()).await?;
    Ok(id)
}

/// Changes what is written of it; the day stays when none is given.
///
/// # Errors
/// [`Error::Missing`].
pub async fn change(w: &mut Write, known: &Fitted, new: &NewFitted) -> Result<(), Error> {
    on_plant(w, new.component_id, Some(known.plant_id)).await?;
    let before = change::before(w, Subject::Fitted, known.id.get()).await?;
    sqlx::query(CHANGE)
        .bind(known.id)
        .bind(new.component_id)
        .bind(&new.kind)
        .bind(&new.what)
        .bind(&new.was)
        .bind(&new.now)
        .bind(new.on_day.as_ref().unwrap_or(&known.on_day))
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

pub(crate) async fn on_plant(
    w: &mut Write,
    id: ComponentId,
    plant: Option<PlantId>,
) -> Result<(), Error> {
    let there: bool = sqlx::query_scalar(ON_PLANT)
        .bind(id)
        .bind(plant)
        .fetch_one(w.conn())
        .await?;
    if there {
        Ok(())
    } else {
        Err(Error::Refused(
            "that component is not on this plant; choose one of its own".to_owned(),
        ))
    }
}
