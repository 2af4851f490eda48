//! The two forms of the route: what was found out, and what is decided.

use records::components::JOINTS;
use records::log::Trial;
use records::reckonings::Reckoning;
use records::unknown_boilers::{Decision, Findings, UnknownBoiler};
use records::{ReckoningId, TrialId};
use serde::Deserialize;

use crate::form::{Faults, Field, Pick, Reader};
use crate::trials::decimal;

const MATERIALS: [&str; 6] = ["", "copper", "steel", "stainless steel", "brass", "bronze"];
const OUTCOMES: [&str; 3] = ["unknown", "agreed", "refused"];

/// What was found out, as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct FindingsForm {
    material: String,
    seams: String,
    plate: String,
    tubes: String,
    stays: String,
    scale: String,
    lagging: String,
    measured: String,
    reckoning: String,
    proposed_bar: String,
    proposed_by: String,
}

/// A decision, as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct DecisionForm {
    outcome: String,
    by: String,
    trial: String,
    why: String,
}

impl FindingsForm {
    pub(super) fn of(known: &UnknownBoiler) -> Self {
        Self {
            material: known.material.clone(),
            seams: known.seams.clone(),
            plate: known.plate.clone(),
            tubes: known.tubes.clone(),
            stays: known.stays.clone(),
            scale: known.scale.clone(),
            lagging: known.lagging.clone(),
            measured: known.measured.clone(),
            reckoning: known
                .reckoning_id
                .map_or_else(String::new, |r| r.to_string()),
            proposed_bar: known.proposed_bar.clone(),
            proposed_by: known.proposed_by.clone(),
        }
    }

    pub(super) fn fields(&self, reckoned: &[Reckoning]) -> Vec<Field> {
        let named = |words: &[&str]| -> Vec<Pick> {
            let shown = |w: &&str| Pick::new(*w, if w.is_empty() { "not known" } else { w });
            words.iter().map(shown).collect()
        };
        let mut rests = vec![Pick::new("", "none kept on the job")];
        rests.extend(reckoned.iter().map(|r| Pick::new(r.id, r.title.clone())));
        vec![
            Field::new("head", "identify", "1 Identify", ""),
            Field::new("pick", "material", "The shell is of", &self.material)
                .picks(named(&MATERIALS)),
            Field::new("pick", "seams", "What holds the seams", &self.seams)
                .picks(named(&JOINTS))
                .hint("until this is known it counts as soft solder"),
            Field::new("text", "plate", "Plate", &self.plate)
                .hint("pitting, dents, where it is thinnest"),
            Field::new("text", "tubes", "Tubes", &self.tubes).hint("how many, of what, how fixed"),
            Field::new("text", "stays", "Stays", &self.stays)
                .hint("how many, how fixed, whether any is wasted"),
            Field::new("text", "scale", "Scale inside", &self.scale),
            Field::new("text", "lagging", "Old lagging", &self.lagging)
                .hint("it may hold asbestos: do not strip it dry or blow it off"),
            Field::new("head", "measure", "2 Measure", ""),
            Field::new(
                "long",
                "measured",
                "What was measured, and where",
                &self.measured,
            ),
            Field::new("head", "reckon", "3 Reckon, and 4 propose", ""),
            Field::new(
                "pick",
                "reckoning",
                "It rests on the reckoning",
                &self.reckoning,
            )
            .picks(rests),
            Field::new(
                "number",
                "proposed_bar",
                "Working pressure proposed",
                &self.proposed_bar,
            )
            .unit("bar"),
            Field::new("text", "proposed_by", "Proposed by", &self.proposed_by),
        ]
    }

    pub(super) fn read(&self) -> Result<Findings, Faults> {
        let mut read = Reader::default();
        let typed = self.proposed_bar.trim();
        let proposed_bar = match decimal::read_positive(typed) {
            _ if typed.is_empty() => String::new(),
            Ok(figure) if figure.parse::<f64>().is_ok_and(|f| f > 0.0 && f <= 40.0) => figure,
            Ok(_) => {
                read.fault(
                    "proposed_bar",
                    "A working pressure is above 0 and not over 40 bar.",
                );
                String::new()
            }
            Err(says) => {
                read.fault("proposed_bar", says);
                String::new()
            }
        };
        let new = Findings {
            material: read.one_of("material", &self.material, &MATERIALS),
            seams: read.one_of("seams", &self.seams, &JOINTS),
            plate: read.words("plate", &self.plate),
            tubes: read.words("tubes", &self.tubes),
            stays: read.words("stays", &self.stays),
            scale: read.words("scale", &self.scale),
            lagging: read.words("lagging", &self.lagging),
            measured: read.words("measured", &self.measured),
            reckoning_id: read.row("reckoning", &self.reckoning).map(ReckoningId::new),
            proposed_by: read.words("proposed_by", &self.proposed_by),
            proposed_bar,
        };
        read.done(new)
    }
}

impl DecisionForm {
    pub(super) fn of(known: &UnknownBoiler) -> Self {
        Self {
            outcome: known.outcome.clone(),
            by: known.agreed_by.clone(),
            trial: known.trial_id.map_or_else(String::new, |t| t.to_string()),
            why: known.why.clone(),
        }
    }

    pub(super) fn fields(&self, trials: &[Trial]) -> Vec<Field> {
        let mut tests = vec![Pick::new("", "none")];
        let passed = trials
            .iter()
            .filter(|t| t.kind == "hydraulic" && t.verdict.as_deref() == Some("pass"));
        tests.extend(passed.map(|t| Pick::new(t.id, format!("{}, {}", t.label(), t.question))));
        vec![
            Field::new("pick", "outcome", "It is", &self.outcome).picks(Pick::words(&OUTCOMES)),
            Field::new("text", "by", "Agreed or refused by", &self.by)
                .hint("the inspector or competent person"),
            Field::new("pick", "trial", "On the water test", &self.trial)
                .picks(tests)
                .hint("one that passed since, for the proposed pressure at least; needed to agree"),
            Field::new("long", "why", "Why", &self.why)
                .hint("needed to refuse; it stands on the paper"),
        ]
    }

    pub(super) fn read(&self) -> Result<Decision, Faults> {
        let mut read = Reader::default();
        let by = read.words("by", &self.by);
        let (why, trial) = (read.words("why", &self.why), read.row("trial", &self.trial));
        let outcome = read.one_of("outcome", &self.outcome, &OUTCOMES);
        if outcome != "unknown" && by.is_empty() {
            read.fault("by", "Say who decided.");
        }
        if outcome == "agreed" && trial.is_none() {
            read.fault("trial", "Choose the water test that it is agreed on.");
        }
        if outcome == "refused" && why.is_empty() {
            read.fault("why", "Say why it is not to be steamed.");
        }
        let decision = match (outcome.as_str(), trial) {
            ("agreed", Some(trial)) => Decision::Agreed {
                by,
                trial: TrialId::new(trial),
                why,
            },
            ("refused", _) => Decision::Refused { by, why },
            _ => Decision::Unknown,
        };
        read.done(decision)
    }
}
