//! Instruments from the register, for the page that prepares a trial: offered by kind, copied box by box.

use records::Day;
use records::instruments::{self, Instrument};
use records::jobs::Job;

use super::fields;
use super::typed::Typed;
use crate::desk::Desk;
use crate::form::Pick;
use crate::problem::Problem;

/// An instrument of one kind, to be chosen from the register.
pub(super) struct Offer {
    /// The name of its box.
    pub(super) id: String,
    pub(super) label: &'static str,
    pub(super) picks: Vec<Pick>,
    pub(super) chosen: String,
    /// What is known of the chosen one beyond its figures.
    pub(super) says: String,
}

/// A place of the trial file that an instrument is copied to: the kind, its path, and where each figure goes.
struct Slot {
    kind: &'static str,
    path: &'static str,
    figures: [(&'static str, Figure); 4],
}

#[derive(Clone, Copy)]
enum Figure {
    Scale,
    Accuracy,
    Step,
    Repeats,
    Nothing,
}

const SLOTS: [Slot; 4] = [
    Slot {
        kind: "pressure gauge",
        path: "instruments.pressure",
        figures: [
            ("full_scale_bar", Figure::Scale),
            ("accuracy_class", Figure::Accuracy),
            ("resolution_bar", Figure::Step),
            ("", Figure::Nothing),
        ],
    },
    Slot {
        kind: "thermometer",
        path: "instruments.temperature",
        figures: [
            ("accuracy_c", Figure::Accuracy),
            ("resolution_c", Figure::Step),
            ("repeatability_c", Figure::Repeats),
            ("", Figure::Nothing),
        ],
    },
    Slot {
        kind: "CO meter",
        path: "instruments.co",
        figures: [
            ("accuracy_pct", Figure::Accuracy),
            ("resolution_ppm", Figure::Step),
            ("", Figure::Nothing),
            ("", Figure::Nothing),
        ],
    },
    Slot {
        kind: "scale",
        path: "instruments.scale",
        figures: [
            ("resolution_g", Figure::Step),
            ("", Figure::Nothing),
            ("", Figure::Nothing),
            ("", Figure::Nothing),
        ],
    },
];

impl Slot {
    fn name(&self, key: &str) -> String {
        format!("{}.{key}", self.path).replace('.', "-")
    }

    fn box_id(&self) -> String {
        format!("register-{}", self.path.trim_start_matches("instruments."))
    }

    /// Whether a kind of trial asks for such an instrument at all.
    fn is_asked(&self, kind: &str) -> bool {
        fields::all(kind).any(|f| f.path.starts_with(self.path))
    }

    /// Every box of the slot with what stands in it for an instrument; what is not known empties its box.
    fn filled(&self, from: &Instrument) -> Vec<(String, String)> {
        let day = |d: &Option<Day>| d.as_ref().map_or_else(String::new, |d| d.iso().to_owned());
        let mut all = vec![
            (self.name("id"), from.mark.clone()),
            (self.name("calibrated_on"), day(&from.calibrated_on)),
            (self.name("calibration_due"), day(&from.due_on)),
        ];
        for (key, figure) in self.figures {
            let typed = match figure {
                Figure::Scale => &from.full_scale,
                Figure::Accuracy => &from.accuracy,
                Figure::Step => &from.resolution,
                Figure::Repeats => &from.repeatability,
                Figure::Nothing => continue,
            };
            all.push((self.name(key), typed.clone()));
        }
        all
    }
}

/// What the register offers for a kind of trial.
pub(super) async fn offers(
    desk: &Desk,
    job: &Job,
    kind: &str,
    form: &Typed,
) -> Result<Vec<Offer>, Problem> {
    let at_hand = instruments::at_hand(desk.store(), job.plant_id).await?;
    let today = records::Stamp::now().day();
    let mut offers = Vec::new();
    for slot in SLOTS.iter().filter(|s| s.is_asked(kind)) {
        let of_kind: Vec<&Instrument> = at_hand.iter().filter(|i| i.kind == slot.kind).collect();
        if of_kind.is_empty() {
            continue;
        }
        let mut picks = vec![Pick::new("", "as it is typed below")];
        picks.extend(of_kind.iter().map(|i| Pick::new(i.id, in_words(i, &today))));
        let chosen = form.get(&slot.box_id()).to_owned();
        let known = of_kind.iter().find(|i| i.id.to_string() == chosen);
        offers.push(Offer {
            id: slot.box_id(),
            label: slot.kind,
            says: match known {
                Some(i) => crate::instruments::error_in_words(desk, i.id).await?,
                None => String::new(),
            },
            picks,
            chosen,
        });
    }
    Ok(offers)
}

fn in_words(instrument: &Instrument, today: &Day) -> String {
    let due = match &instrument.due_on {
        Some(day) if instrument.is_overdue(today) => format!("overdue since {}", day.full()),
        Some(day) => format!("due {}", day.full()),
        None => "no day known when it is due".to_owned(),
    };
    let known = crate::instruments::known(instrument);
    format!(
        "{} of {}: {known}; {due}",
        instrument.mark,
        instrument.whose()
    )
}

/// The form with the boxes of every chosen instrument filled in from the register.
pub(super) async fn filled(desk: &Desk, job: &Job, form: &Typed) -> Result<Typed, Problem> {
    let at_hand = instruments::at_hand(desk.store(), job.plant_id).await?;
    let mut form = form.clone();
    for slot in &SLOTS {
        let chosen = form.get(&slot.box_id()).to_owned();
        let found = at_hand
            .iter()
            .find(|i| i.kind == slot.kind && i.id.to_string() == chosen);
        for (name, typed) in found.map(|i| slot.filled(i)).unwrap_or_default() {
            form.set(&name, typed);
        }
    }
    Ok(form)
}

/// The form with every instrument that the register knows by its mark as it is there today.
pub(super) async fn refreshed(desk: &Desk, job: &Job, form: &Typed) -> Result<Typed, Problem> {
    let at_hand = instruments::at_hand(desk.store(), job.plant_id).await?;
    let mut form = form.clone();
    for slot in &SLOTS {
        let mark = form.get(&slot.name("id")).to_owned();
        let found = at_hand
            .iter()
            .find(|i| i.kind == slot.kind && i.mark == mark);
        if let Some(instrument) = found.filter(|_| !mark.is_empty()) {
            form.set(&slot.box_id(), instrument.id.to_string());
        }
    }
    filled(desk, job, &form).await
}
