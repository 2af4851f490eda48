//! One more line of a look, and the first of those that make it a trial.

use axum::extract::{Path, State};
use axum::response::Response;
use records::defects::{self, BARS, NewDefect, Origin};
use records::jobs;
use records::looks::{self, NewLine, PRESSED_WITH};
use records::{LookId, Write};

use super::{address, again};
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::problem::{Problem, see};
use crate::trials::decimal;
use crate::trials::from_look::{self, Trigger};
use crate::trials::typed::{Typed, one};

/// What can be read during a look: the trial file's key, its words, its unit, whether it may be under nothing.
pub(super) type Readable = (&'static str, &'static str, &'static str, bool);

pub(super) const READABLE: &[Readable] = &[
    ("pressure_bar", "pressure on the gauge", "bar", false),
    ("level_mm", "water in the glass", "mm", false),
    ("rpm", "turns", "rpm", false),
    ("water_c", "water", "°C", true),
    ("bearing_c", "bearing", "°C", true),
    ("ambient_c", "air of the room", "°C", true),
    ("co_ppm", "carbon monoxide", "ppm", false),
    ("catch_ml", "caught", "ml", false),
    ("catch_s", "caught in", "s", false),
    ("gas_g", "gas tank on the scale", "g", false),
];

/// What a line comes to.
enum Coming {
    Line(NewLine),
    Defect(NewDefect),
    /// It makes the look a trial.
    Trial(Trigger),
}

/// Writes one line: a note, a reading, a defect, or that the fire is lit.
pub(super) async fn write(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let look = looks::find(desk.store(), LookId::new(id)).await?;
    if let Some(trial) = look.trial_id {
        // What was sent once is answered as it was then; anything else belongs into the trial.
        let says = format!("this look became a trial: write it down there, at /trials/{trial}");
        let work = desk.once(&posted, move |_| {
            Box::pin(async move { Err(records::Error::Refused(says)) })
        });
        return Ok(see(&work.await?));
    }
    let job = jobs::by_id(desk.store(), look.job_id).await?;
    // Only a figure is held against the cap.
    let most_bar = match posted.form.get("what") {
        "reading" => from_look::most_bar(&desk, &job).await?.0,
        _ => 0.0,
    };
    let coming = match read(&posted.form, most_bar) {
        Ok(coming) => coming,
        Err(faults) => return again(&desk, look, posted.form, faults).await,
    };
    let id = look.id;
    let to = match coming {
        Coming::Trial(trigger) => {
            let begun = from_look::Begun::of(&desk, &job, look, trigger).await?;
            let key = posted.key.clone();
            let work = desk.once(&posted, move |w| {
                Box::pin(async move { begun.written(w, &key).await })
            });
            work.await?
        }
        Coming::Line(new) => {
            let work = desk.once(&posted, move |w| {
                Box::pin(async move {
                    looks::add(w, id, &new).await?;
                    Ok(address(id))
                })
            });
            work.await?
        }
        Coming::Defect(new) => {
            let job = job.id;
            let work = desk.once(&posted, move |w| {
                Box::pin(async move { found(w, id, job, &new).await })
            });
            work.await?
        }
    };
    Ok(see(&to))
}

async fn found(
    w: &mut Write,
    look: LookId,
    job: records::JobId,
    new: &NewDefect,
) -> Result<String, records::Error> {
    let defect = defects::make(w, job, new).await?;
    let line = NewLine {
        words: format!("defect, {}: {}", new.bar, new.what),
        defect: Some(defect),
        ..NewLine::default()
    };
    looks::add(w, look, &line).await?;
    Ok(address(look))
}

fn read(form: &Typed, most_bar: f64) -> Result<Coming, Faults> {
    match form.get("what") {
        "fire" => Ok(Coming::Trial(Trigger::fire())),
        "reading" => reading(form, most_bar),
        "defect" => defect(form),
        _ => match form.get("words") {
            "" => Err(one("words", "a note without words: write it first")),
            words => Ok(Coming::Line(NewLine {
                words: words.to_owned(),
                ..NewLine::default()
            })),
        },
    }
}

fn reading(form: &Typed, most_bar: f64) -> Result<Coming, Faults> {
    let Some((key, words, unit, negative)) = READABLE.iter().find(|r| r.0 == form.get("reading"))
    else {
        return Err(one("reading", "choose what was read"));
    };
    let typed = form.get("value");
    let value = if *negative {
        decimal::read(typed)
    } else {
        decimal::read_positive(typed)
    }
    .map_err(|says| one("value", says))?;
    let with = if *key == "pressure_bar" {
        match PRESSED_WITH
            .iter()
            .find(|w| **w == form.get("pressed_with"))
        {
            Some(with) => *with,
            None => return Err(one("pressed_with", "say what it is pressed with")),
        }
    } else {
        ""
    };
    let bar: f64 = value.parse().unwrap_or(f64::INFINITY);
    // Steam is never without a fire, whatever the gauge shows.
    if with == "steam" || (!with.is_empty() && bar > most_bar) {
        return Ok(Coming::Trial(Trigger::pressure(with, value)));
    }
    let with_words = if with.is_empty() {
        String::new()
    } else {
        format!(", {with}")
    };
    Ok(Coming::Line(NewLine {
        words: format!("{words} {value} {unit}{with_words}"),
        reading: Some(((*key).to_owned(), value)),
        pressed_with: with.to_owned(),
        ..NewLine::default()
    }))
}

fn defect(form: &Typed) -> Result<Coming, Faults> {
    let (what, bar) = (form.get("wrong"), form.get("bar"));
    let mut faults = Faults::default();
    if what.is_empty() {
        faults.add("wrong", "Say what is wrong.");
    }
    if !BARS.contains(&bar) {
        faults.add("bar", "choose what it bars until it is cleared");
    }
    if !faults.list().is_empty() {
        return Err(faults);
    }
    Ok(Coming::Defect(NewDefect {
        component_id: None,
        what: what.to_owned(),
        bar: bar.to_owned(),
        to_do: String::new(),
        origin: Origin::Examination,
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(pairs: &[(&str, &str)]) -> Typed {
        let own = |(n, v): &(&str, &str)| ((*n).to_owned(), (*v).to_owned());
        Typed::new(pairs.iter().map(own).collect())
    }

    fn pressed(bar: &str, with: &str) -> Coming {
        let form = typed(&[
            ("what", "reading"),
            ("reading", "pressure_bar"),
            ("value", bar),
            ("pressed_with", with),
        ]);
        read(&form, 0.4).ok().unwrap()
    }

    #[test]
    fn a_pressure_over_the_cap_or_of_steam_makes_it_a_trial_of_its_kind() {
        for (bar, with, kind) in [
            ("0.4", "air", None),
            ("0,41", "air", Some("air")),
            ("0.41", "water", Some("hydraulic")),
            ("0", "steam", Some("steam")),
        ] {
            let found = match pressed(bar, with) {
                Coming::Trial(trigger) => Some(trigger.kind),
                _ => None,
            };
            assert_eq!(found, kind, "{bar} bar of {with}");
        }
    }

    #[test]
    fn every_fault_names_its_box() {
        for (form, field) in [
            (typed(&[("what", "note")]), "words"),
            (typed(&[("what", "reading")]), "reading"),
            (typed(&[("what", "reading"), ("reading", "rpm")]), "value"),
            (
                typed(&[
                    ("what", "reading"),
                    ("reading", "pressure_bar"),
                    ("value", "1"),
                ]),
                "pressed_with",
            ),
            (typed(&[("what", "defect")]), "wrong"),
        ] {
            let faults = read(&form, 0.5).err().unwrap();
            assert!(!faults.of(field).is_empty(), "{field}");
        }
    }
}
