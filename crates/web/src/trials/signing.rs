//! What may be signed when: the one place that refuses a permission. Facts are never refused here.

use records::{Error, PlantId, Store, TrialId, defects, jobs, states};

use super::load::Judged;
use super::logbook::Held;
use super::{holds, pause};

/// Why a hold point may not be signed as things stand; nothing when it may.
pub(super) async fn refusal(
    store: &Store,
    trial: &Judged,
    name: &str,
    by: &str,
) -> Result<Option<String>, Error> {
    if let Some(why) = pause::broken_off(trial, by) {
        return Ok(Some(format!(
            "the list was broken off ({why}): look at its must-see items again"
        )));
    }
    for earlier in trial.hold_points().iter().take_while(|h| *h != name) {
        if matches!(trial.log.held(earlier), Held::Open | Held::SeenBad(_)) {
            return Ok(Some(format!(
                "“{}” comes before it and is not signed",
                holds::short(earlier)
            )));
        }
    }
    if let Some(void) = void(store, trial)
        .await?
        .first()
        .filter(|(held, _)| held != name)
    {
        return Ok(Some(format!(
            "{} is void: {}",
            holds::short(&void.0),
            void.1
        )));
    }
    covered(store, trial, name).await
}

/// Hold points that were signed and would not be signed now: what they cover has changed since.
pub(super) async fn void(store: &Store, trial: &Judged) -> Result<Vec<(String, String)>, Error> {
    let mut all = Vec::new();
    for name in trial.hold_points() {
        if matches!(trial.log.held(&name), Held::Signed { .. })
            && let Some(why) = covered(store, trial, &name).await?
        {
            all.push((name, why));
        }
    }
    Ok(all)
}

/// What the workshop's own records say against a hold point.
async fn covered(store: &Store, trial: &Judged, name: &str) -> Result<Option<String>, Error> {
    match name {
        "no-steam-clear" => Ok(sentence(
            "a bar against steam stands",
            &no_steam_defects(store, its_plant(store, trial).await?).await?,
        )),
        "temporary-states-ended" => Ok(sentence(
            "something for now is not ended",
            &no_steam_states(store, its_plant(store, trial).await?).await?,
        )),
        "hydraulic-in-date" => Ok(water_test(trial)),
        "gauge-in-date" => Ok(gauge(trial)),
        _ => Ok(None),
    }
}

/// Refuses a signature that may not be given.
///
/// # Errors
/// [`Error::Refused`] with the reason and the ways on.
pub(super) async fn may_sign(
    store: &Store,
    id: TrialId,
    name: &str,
    by: &str,
) -> Result<(), Error> {
    let trial = Judged::load(store, id).await?;
    match refusal(store, &trial, name, by).await? {
        Some(why) => Err(Error::Refused(format!(
            "“{}” cannot be signed: {why}. Put it right first, or go on against it with a reason under your name",
            holds::short(name)
        ))),
        None => Ok(()),
    }
}

/// Everything that bars steam on a plant, for the head of every steam list. A bar on any job of the plant holds for it.
pub(super) async fn bars(store: &Store, plant: PlantId) -> Result<Vec<String>, Error> {
    let mut all = no_steam_states(store, plant)
        .await?
        .into_iter()
        .map(|s| format!("for now: {s}"))
        .collect::<Vec<_>>();
    all.extend(no_steam_defects(store, plant).await?);
    Ok(all)
}

fn sentence(lead: &str, all: &[String]) -> Option<String> {
    (!all.is_empty()).then(|| format!("{lead}: {}", all.join("; ")))
}

/// The plant that is tried.
pub(super) async fn its_plant(store: &Store, trial: &Judged) -> Result<PlantId, Error> {
    Ok(jobs::by_id(store, trial.row.job_id).await?.plant_id)
}

async fn no_steam_defects(store: &Store, plant: PlantId) -> Result<Vec<String>, Error> {
    let all = defects::no_steam(store, plant).await?;
    Ok(all
        .iter()
        .map(|d| format!("{}, defect {}: {}", d.job_number(), d.serial, d.what))
        .collect())
}

async fn no_steam_states(store: &Store, plant: PlantId) -> Result<Vec<String>, Error> {
    let all = states::standing(store, plant).await?;
    Ok(all
        .iter()
        .filter(|s| s.bar == "no steam")
        .map(|s| format!("{}, {}", s.what, s.how))
        .collect())
}

fn today(trial: &Judged) -> String {
    trial.now.day().iso().to_owned()
}

fn water_test(trial: &Judged) -> Option<String> {
    let Some(pass) = trial.file.trial().plant.hydraulic_pass else {
        return Some("no hydraulic pass was copied into this trial".to_owned());
    };
    if pass.since_structural_work == Some(false) {
        return Some("structural work was done after the last water test".to_owned());
    }
    match pass.valid_until.map(|d| d.to_string()) {
        Some(until) if until < today(trial) => {
            Some(format!("the water test was valid until {until}"))
        }
        Some(_) => None,
        None => Some("nobody has said until when the water test is valid".to_owned()),
    }
}

fn gauge(trial: &Judged) -> Option<String> {
    let due = trial
        .file
        .trial()
        .instruments
        .pressure
        .as_ref()
        .and_then(|i| i.calibration_due);
    match due.map(|d| d.to_string()) {
        Some(due) if due < today(trial) => Some(format!("the gauge was due on {due}")),
        Some(_) => None,
        None => Some("no date is known for the gauge".to_owned()),
    }
}
