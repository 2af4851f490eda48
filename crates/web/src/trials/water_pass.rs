//! The water test that a trial is prepared with: the newest that is written down of the plant, whether by our own sealed
//! record or by somebody else's paper, so that nobody has to copy it by hand.

use records::log::Trial;
use records::papers::{self, Paper};
use records::{Day, Store, retests};

use super::load::Judged;
use super::tree::{Tree, quoted};
use crate::problem::Problem;

const PASS: &str = "plant.hydraulic_pass";

/// A water test that passed.
struct Passed {
    on: Day,
    bar: String,
    until: Option<Day>,
}

impl Passed {
    fn by_paper(paper: Paper) -> Self {
        Self {
            on: paper.on_day,
            bar: paper.pressure_bar,
            until: paper.valid_until,
        }
    }

    /// Our own test: at what it attained, until the workshop's rule asks for the next.
    async fn by_trial(store: &Store, trial: &Trial, copper: bool) -> Result<Option<Self>, Problem> {
        let Some(on) = trial.closed_at.map(|at| at.day()) else {
            return Ok(None);
        };
        let rule = retests::rule(store).await?;
        let months = if copper {
            rule.copper_months
        } else {
            rule.other_months
        };
        let judged = Judged::of(store, trial.clone()).await?.judged;
        let attained = judged.figures.iter().find(|f| f.name == "attained");
        Ok(Some(Self {
            bar: attained.map_or_else(String::new, |f| calc::show::fixed(f.value, 2)),
            until: Some(on.plus_months(months)),
            on,
        }))
    }
}

/// Puts the newest test of a plant into what is known, where it is newer than what stands there. Whether anything structural
/// was done since is asked anew: that was said of the older one.
pub(super) async fn put(
    store: &Store,
    plant: records::PlantId,
    trials: &[Trial],
    known: &mut Tree,
) -> Result<(), Problem> {
    let copper = known.typed_at("plant.shell_material") == "copper";
    let is_pass = |t: &&Trial| t.kind == "hydraulic" && t.verdict.as_deref() == Some("pass");
    let own = trials.iter().filter(is_pass).max_by_key(|t| t.closed_at);
    let mut newest = match own {
        Some(trial) => Passed::by_trial(store, trial, copper).await?,
        None => None,
    };
    let all = papers::of_plant(store, plant).await?;
    let paper = all
        .into_iter()
        .filter(|p| p.kind == "water test" && p.withdrawn_at.is_none())
        .max_by(|a, b| a.on_day.cmp(&b.on_day));
    if let Some(paper) = paper
        && newest.as_ref().is_none_or(|own| own.on < paper.on_day)
    {
        newest = Some(Passed::by_paper(paper));
    }
    let stands = Day::read(&known.typed_at(&format!("{PASS}.on")));
    let Some(passed) = newest.filter(|n| stands.is_none_or(|on| on < n.on)) else {
        return Ok(());
    };
    for key in ["on", "pressure_bar", "valid_until", "since_structural_work"] {
        known.take(&format!("{PASS}.{key}"));
    }
    known.put(&format!("{PASS}.on"), quoted(passed.on.iso()));
    if !passed.bar.is_empty() {
        known.put(&format!("{PASS}.pressure_bar"), passed.bar);
    }
    if let Some(until) = passed.until {
        known.put(&format!("{PASS}.valid_until"), quoted(until.iso()));
    }
    Ok(())
}
