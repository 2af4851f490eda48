//! What is known of a plant before anybody prepares a trial of it, and a head made of that alone.

use records::jobs::{self, Job};
use records::{Stamp, components, log};

use super::kind_words::title;
use super::tree::{Tree, quoted};
use super::water_pass;
use super::{holds, procedures};
use crate::desk::Desk;
use crate::problem::Problem;

/// What is known beforehand: the plant's components, and the instruments and water test of its last trial.
pub(super) async fn known(desk: &Desk, job: &Job) -> Result<Tree, Problem> {
    let mut tree = Tree::empty();
    let all = components::of_plant(desk.store(), job.plant_id).await?;
    let plant = components::together(&all, &job.plant)?;
    if let Ok(plant) = Tree::read(&plant) {
        tree.set("plant", plant);
    }
    let mut trials = Vec::new();
    for other in jobs::of_plant(desk.store(), job.plant_id).await? {
        trials.extend(log::of_job(desk.store(), other.id).await?);
    }
    let last = trials.iter().find(|t| t.withdrawn_at.is_none());
    if let Some(mut head) = last.and_then(|t| Tree::read(&t.head).ok()) {
        if let Some(instruments) = head.remove("instruments") {
            tree.set("instruments", instruments);
        }
        for path in ["on", "pressure_bar", "valid_until", "since_structural_work"]
            .map(|k| format!("plant.hydraulic_pass.{k}"))
        {
            if let (None, Some(json)) = (tree.at(&path), head.at(&path)) {
                tree.put(&path, json.to_owned());
            }
        }
    }
    water_pass::put(desk.store(), job.plant_id, &trials, &mut tree).await?;
    Ok(tree)
}

/// What every head begins with: what it is, by which procedure, and since when.
pub(super) async fn entitle(
    desk: &Desk,
    job: &Job,
    kind: &str,
    at: Stamp,
    tree: &mut Tree,
) -> Result<(), Problem> {
    tree.put("format", quoted("gaugeglass-trial/1"));
    tree.put("kind", quoted(kind));
    tree.put("title", quoted(&format!("{}, {}", job.plant, title(kind))));
    tree.put("procedure.name", quoted(kind));
    let procedure = procedures::newest(desk.store(), kind).await?;
    tree.put("procedure.version", procedure.version.to_string());
    tree.put("procedure.sha256", quoted(&procedure.sha256));
    tree.put("started_at", quoted(&at.rfc3339()));
    Ok(())
}

/// The canonical head of a trial that nobody prepared: from what is known of the plant, with the usual hold points. Where
/// what is known cannot be read, without it: the trial is there all the same.
pub(super) async fn as_known(
    desk: &Desk,
    job: &Job,
    kind: &str,
    question: &str,
    at: Stamp,
) -> Result<String, Problem> {
    let known = known(desk, job).await?;
    let fuel = known.typed_at("plant.burner.fuel");
    let usual: Vec<String> = holds::of(kind)
        .into_iter()
        .filter(|h| holds::usual(kind, h.name, is_gas(&fuel)))
        .map(|h| quoted(h.name))
        .collect();
    let mut says = String::new();
    for mut tree in [known, Tree::empty()] {
        entitle(desk, job, kind, at, &mut tree).await?;
        tree.put("hold_points", format!("[{}]", usual.join(",")));
        if !question.is_empty() {
            tree.put("question", quoted(question));
        }
        match triallog::read_head(&tree.text()) {
            Ok(head) => return Ok(head.canonical().to_owned()),
            Err(faults) => says = faults.to_string(),
        }
    }
    Err(Problem::Store(records::Error::Damaged(says)))
}

/// Is it burned as gas?
pub(super) fn is_gas(fuel: &str) -> bool {
    matches!(fuel, "butane" | "propane" | "butane-propane-70-30")
}
