//! What is due of each plant, kept: reckoned anew within the transaction that changes what it follows from.

use super::{Boiler, Due, of_boiler, rule_in};
use crate::error::Error;
use crate::ids::PlantId;
use crate::papers;
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

const ASKED: &str = "select plant_id from retest_asked";
const ANSWERED: &str = "delete from retest_asked";
const BOILER: &str = "select p.id, p.name, json_extract(c.particulars, '$.shell_material') as material,
    json_extract(c.particulars, '$.hydraulic_pass.on') as passed_on,
    json_extract(c.particulars, '$.hydraulic_pass.valid_until') as valid_until,
    json_extract(c.particulars, '$.hydraulic_pass.since_structural_work') as sound_since
    from plant p left join component c on c.plant_id = p.id and c.kind = 'boiler' and c.withdrawn_at is null
    where p.id = ?1 and p.withdrawn_at is null order by c.id limit 1";
const OWN_TEST: &str = "select max(t.closed_at) from job j cross join trial t on t.job_id = j.id
    where j.plant_id = ?1 and t.kind = 'hydraulic' and t.verdict = 'pass' and t.withdrawn_at is null";
const FORGET: &str = "delete from retest_due where plant_id = ?1";
const KEEP: &str =
    "insert into retest_due (plant_id, what, on_day, because) values (?1, ?2, ?3, ?4)";
const OF_PLANT: &str =
    "select d.id, d.plant_id, p.name as plant, d.what, d.on_day, d.because from retest_due d
    join plant p on p.id = d.plant_id where d.plant_id = ?1 order by d.on_day, d.id";
const FROM: &str = "select d.id, d.plant_id, p.name as plant, d.what, d.on_day, d.because from retest_due d
    join plant p on p.id = d.plant_id where (d.on_day, d.id) > (?1, ?2) order by d.on_day, d.id limit ?3";
const HERE: &str = "select d.id, d.plant_id, p.name as plant, d.what, d.on_day, d.because
    from job j cross join retest_due d on d.plant_id = j.plant_id cross join plant p on p.id = d.plant_id
    where j.stands not in ('gone home', 'gone home unrepaired') and j.withdrawn_at is null and d.on_day <= ?1
    group by d.id order by d.on_day, d.id";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("retests::kept::ASKED", ASKED),
    ("retests::kept::ANSWERED", ANSWERED),
    ("retests::kept::BOILER", BOILER),
    ("retests::kept::OWN_TEST", OWN_TEST),
    ("retests::kept::FORGET", FORGET),
    ("retests::kept::KEEP", KEEP),
    ("retests::kept::OF_PLANT", OF_PLANT),
    ("retests::kept::FROM", FROM),
    ("retests::kept::HERE", HERE),
];

/// What is due of one plant, the soonest first.
///
/// # Errors
/// Only the database's.
pub async fn of_plant(store: &Store, plant: PlantId) -> Result<Vec<Due>, Error> {
    Ok(sqlx::query_as(OF_PLANT)
        .bind(plant)
        .fetch_all(store.readers())
        .await?)
}

/// What is due from a day on, the soonest first; with a row, what stands behind that row of that day.
///
/// # Errors
/// Only the database's.
pub async fn from(
    store: &Store,
    day: &Day,
    behind: Option<i64>,
    at_most: i64,
) -> Result<Vec<Due>, Error> {
    Ok(sqlx::query_as(FROM)
        .bind(day)
        .bind(behind.unwrap_or(0))
        .bind(at_most)
        .fetch_all(store.readers())
        .await?)
}

/// What is due until a day of the plants that are in the workshop, however long it has been; the soonest first.
///
/// # Errors
/// Only the database's.
pub async fn here(store: &Store, until: &Day) -> Result<Vec<Due>, Error> {
    Ok(sqlx::query_as(HERE)
        .bind(until)
        .fetch_all(store.readers())
        .await?)
}

/// Reckons anew what was asked for: the writer does this at the end of every transaction.
pub(crate) async fn renew(w: &mut Write) -> Result<(), Error> {
    let asked: Vec<PlantId> = sqlx::query_scalar(ASKED).fetch_all(w.conn()).await?;
    if asked.is_empty() {
        return Ok(());
    }
    let rule = rule_in(w).await?;
    for plant in asked {
        sqlx::query(FORGET).bind(plant).execute(w.conn()).await?;
        let boiler: Option<Boiler> = sqlx::query_as(BOILER)
            .bind(plant)
            .fetch_optional(w.conn())
            .await?;
        let Some(boiler) = boiler else { continue };
        let own: Option<Stamp> = sqlx::query_scalar(OWN_TEST)
            .bind(plant)
            .fetch_one(w.conn())
            .await?;
        let papers = papers::standing_of(w, plant).await?;
        let own = own.map(Stamp::day);
        for due in of_boiler(&boiler, &papers, own.as_ref(), &rule) {
            sqlx::query(KEEP)
                .bind(plant)
                .bind(&due.what)
                .bind(&due.on)
                .bind(&due.because)
                .execute(w.conn())
                .await?;
        }
    }
    sqlx::query(ANSWERED).execute(w.conn()).await?;
    Ok(())
}
