//! When each plant must be tested again: from papers, from the workshop's own water tests, and by the workshop's rule.
//!
//! Where a paper says until when it is valid and the rule says sooner, the sooner counts. A steam test is never due
//! later than the water test. What nobody has written down is not due: it is not known, and says so.

pub(crate) mod kept;

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::PlantId;
use crate::papers::Paper;
use crate::store::Store;
use crate::time::Day;
use crate::writer::Write;

pub use kept::{from, here, of_plant};

const RULE: &str =
    "select copper_months, other_months, steam_months, ahead_days from retest_rule where id = 1";
const RULE_IS_SET: &str = "select exists (select 1 from retest_rule where id = 1)";
const SET_RULE: &str = "insert into retest_rule (id, copper_months, other_months, steam_months, ahead_days) values (1, ?1, ?2, ?3, ?4)
    on conflict (id) do update set copper_months = excluded.copper_months, other_months = excluded.other_months,
    steam_months = excluded.steam_months, ahead_days = excluded.ahead_days";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("retests::RULE", RULE),
    ("retests::RULE_IS_SET", RULE_IS_SET),
    ("retests::SET_RULE", SET_RULE),
];

/// How often a boiler is tested again where no paper says sooner, and how long ahead it stands on the bench.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Rule {
    /// A water test of a copper boiler, months.
    pub copper_months: i64,
    /// A water test of any other, months.
    pub other_months: i64,
    /// A steam test, months.
    pub steam_months: i64,
    /// How many days ahead it is shown on the bench.
    pub ahead_days: i64,
}

impl Default for Rule {
    /// Four and two years, and a year: what model boiler test codes ask; the local code decides.
    fn default() -> Self {
        Self {
            copper_months: 48,
            other_months: 24,
            steam_months: 12,
            ahead_days: 60,
        }
    }
}

/// A test that is due.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Due {
    /// Its row.
    pub id: i64,
    /// The plant.
    pub plant_id: PlantId,
    /// Its name.
    pub plant: String,
    /// What is due.
    pub what: String,
    /// On which day at the latest.
    #[sqlx(rename = "on_day")]
    pub on: Day,
    /// What that follows from.
    pub because: String,
}

#[derive(sqlx::FromRow)]
struct Boiler {
    id: PlantId,
    name: String,
    material: Option<String>,
    passed_on: Option<String>,
    valid_until: Option<String>,
    sound_since: Option<bool>,
}

/// The workshop's rule.
///
/// # Errors
/// Only the database's.
pub async fn rule(store: &Store) -> Result<Rule, Error> {
    let set: Option<Rule> = sqlx::query_as(RULE).fetch_optional(store.readers()).await?;
    Ok(set.unwrap_or_default())
}

/// Sets the workshop's rule.
///
/// # Errors
/// [`Error::Rule`] when a figure cannot be.
pub async fn set_rule(w: &mut Write, rule: &Rule) -> Result<(), Error> {
    let known: bool = sqlx::query_scalar(RULE_IS_SET).fetch_one(w.conn()).await?;
    let before = if known {
        Some(change::before(w, Subject::RetestRule, 1).await?)
    } else {
        None
    };
    sqlx::query(SET_RULE)
        .bind(rule.copper_months)
        .bind(rule.other_months)
        .bind(rule.steam_months)
        .bind(rule.ahead_days)
        .execute(w.conn())
        .await?;
    match before {
        Some(before) => before.changed(w).await,
        None => change::made(w, Subject::RetestRule, 1).await,
    }
}

async fn rule_in(w: &mut Write) -> Result<Rule, Error> {
    let set: Option<Rule> = sqlx::query_as(RULE).fetch_optional(w.conn()).await?;
    Ok(set.unwrap_or_default())
}

/// A proof that something was tested: when, until when it says it holds, and what it is.
struct Proof {
    on: Day,
    until: Option<Day>,
    words: String,
}

fn of_boiler(boiler: &Boiler, papers: &[Paper], own: Option<&Day>, rule: &Rule) -> Vec<Due> {
    let of_kind = |kind: &str| -> Vec<Proof> {
        let of_kind = papers.iter().filter(|p| p.kind == kind);
        of_kind
            .map(|p| Proof {
                on: p.on_day.clone(),
                until: p.valid_until.clone(),
                words: p.words(),
            })
            .collect()
    };
    let mut water = of_kind("water test");
    water.extend(own.map(|on| Proof {
        on: on.clone(),
        until: None,
        words: "water test, our own record".to_owned(),
    }));
    water.extend(
        boiler
            .passed_on
            .as_deref()
            .and_then(Day::read)
            .map(|on| Proof {
                on,
                until: boiler.valid_until.as_deref().and_then(Day::read),
                words: "water test written down with the boiler".to_owned(),
            }),
    );
    if boiler.sound_since == Some(false) {
        // Work on the shell ends every test before it.
        for proof in &mut water {
            proof.until = Some(proof.on.clone());
            proof
                .words
                .push_str(", over because structural work was done after it,");
        }
    }
    let copper = boiler.material.as_deref() == Some("copper");
    let (months, metal) = if copper {
        (rule.copper_months, "a copper boiler")
    } else {
        (rule.other_months, "a boiler that is not known to be copper")
    };
    let water = soonest(water, months, metal);
    let steam = soonest(of_kind("steam test"), rule.steam_months, "steam");
    let steam = steam.map(|(on, because)| match &water {
        Some((before, _)) if *before < on => (
            before.clone(),
            format!("{because}; but never later than the water test"),
        ),
        _ => (on, because),
    });
    let line = |what: &str, (on, because): (Day, String)| Due {
        id: 0,
        plant_id: boiler.id,
        plant: boiler.name.clone(),
        what: what.to_owned(),
        on,
        because,
    };
    let mut all: Vec<Due> = water.map(|w| line("water test", w)).into_iter().collect();
    all.extend(steam.map(|s| line("steam test", s)));
    for kind in ["certificate", "insurance", "other"] {
        let stated = newest(of_kind(kind)).into_iter();
        let until = stated
            .filter_map(|p| Some((p.until?, format!("{} of {}", p.words, p.on.full()))))
            .min();
        all.extend(until.map(|u| line(kind, u)));
    }
    all
}

/// The proofs of the newest day that there is one of.
fn newest(mut proofs: Vec<Proof>) -> Vec<Proof> {
    let day = proofs.iter().map(|p| p.on.clone()).max();
    proofs.retain(|p| Some(&p.on) == day.as_ref());
    proofs
}

/// When the newest proofs are over: of two of one day the one that holds shorter counts.
fn soonest(proofs: Vec<Proof>, months: i64, of: &str) -> Option<(Day, String)> {
    newest(proofs).iter().map(|p| due(p, months, of)).min()
}

/// When a proof is over: by its own word or by the rule, whichever is sooner.
fn due(proof: &Proof, months: i64, of: &str) -> (Day, String) {
    let by_rule = proof.on.plus_months(months);
    let words = format!("{} of {}", proof.words, proof.on.full());
    match &proof.until {
        Some(until) if *until <= by_rule => (until.clone(), format!("{words}, valid until then")),
        _ => (
            by_rule,
            format!("{words}, and {months} months for {of} by the workshop's rule"),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::Stamp;

    fn boiler(material: &str, passed_on: Option<&str>) -> Boiler {
        Boiler {
            id: PlantId::new(1),
            name: "Sandmartin".into(),
            material: Some(material.into()),
            passed_on: passed_on.map(str::to_owned),
            valid_until: None,
            sound_since: None,
        }
    }

    fn paper(kind: &str, on: &str, until: Option<&str>) -> Paper {
        Paper {
            id: crate::PaperId::new(1),
            plant_id: PlantId::new(1),
            kind: kind.into(),
            number: "12".into(),
            pressure_bar: String::new(),
            on_day: Day::read(on).unwrap(),
            valid_until: until.and_then(Day::read),
            by_whom: "the club".into(),
            note: String::new(),
            made_at: Stamp::from_millis(0),
            withdrawn_at: None,
        }
    }

    fn days(boiler: &Boiler, papers: &[Paper], own: Option<&str>) -> Vec<(String, String)> {
        let own = own.and_then(Day::read);
        let all = of_boiler(boiler, papers, own.as_ref(), &Rule::default());
        all.into_iter()
            .map(|d| (d.what, d.on.iso().to_owned()))
            .collect()
    }

    fn one(what: &str, on: &str) -> (String, String) {
        (what.to_owned(), on.to_owned())
    }

    #[test]
    fn the_sooner_of_paper_and_rule_counts() {
        let copper = boiler("copper", None);
        let at = |until| days(&copper, &[paper("water test", "2026-03-02", until)], None);
        assert_eq!(at(None), [one("water test", "2030-03-02")]);
        assert_eq!(at(Some("2028-03-02")), [one("water test", "2028-03-02")]);
        assert_eq!(at(Some("2036-03-02")), [one("water test", "2030-03-02")]);
        let steel = boiler("steel", Some("2026-03-02"));
        assert_eq!(days(&steel, &[], None), [one("water test", "2028-03-02")]);
    }

    #[test]
    fn the_newest_test_counts_and_steam_is_never_later_than_water() {
        let copper = boiler("copper", Some("2020-01-01"));
        assert_eq!(
            days(&copper, &[], Some("2024-02-29")),
            [one("water test", "2028-02-29")]
        );
        let papers = [
            paper("steam test", "2027-06-01", None),
            paper("water test", "2023-09-01", None),
        ];
        assert_eq!(
            days(&copper, &papers, None),
            [
                one("water test", "2027-09-01"),
                one("steam test", "2027-09-01")
            ]
        );
    }

    #[test]
    fn of_two_proofs_of_one_day_the_shorter_counts_and_structural_work_ends_all() {
        let mut copper = boiler("copper", Some("2026-11-07"));
        copper.valid_until = Some("2028-11-06".into());
        assert_eq!(
            days(&copper, &[], Some("2026-11-07")),
            [one("water test", "2028-11-06")]
        );
        copper.sound_since = Some(false);
        let papers = [paper("steam test", "2026-11-08", None)];
        assert_eq!(
            days(&copper, &papers, None),
            [
                one("water test", "2026-11-07"),
                one("steam test", "2026-11-07")
            ]
        );
    }

    #[test]
    fn what_nobody_wrote_down_is_not_due() {
        assert!(days(&boiler("copper", None), &[], None).is_empty());
        let kept = [
            paper("insurance", "2026-01-01", None),
            paper("other", "2026-01-01", Some("2027-01-01")),
        ];
        assert_eq!(
            days(&boiler("copper", None), &kept, None),
            [one("other", "2027-01-01")]
        );
    }
}
