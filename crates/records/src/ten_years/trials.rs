//! Long trials to be copied: prepared, entered and sealed through the same functions as any trial.

use calc::trial::assess;

use crate::error::Error;
use crate::example::tell::{enter, quoted, unusable};
use crate::ids::{JobId, TrialId};
use crate::log::{self, NewTrial, Sealed};
use crate::time::Stamp;
use crate::writer::Write;
use crate::{components, jobs};

/// How many readings each has, beside its events.
const READINGS: [u32; 5] = [72, 76, 81, 84, 89];
const HEAD: &str = r#""place":"outdoors","instruments":{"pressure":{"id":"G2","full_scale_bar":6,"accuracy_class":1.0,"resolution_bar":0.05},"level":{"resolution_mm":1}}"#;
const NOTES: [&str; 2] = [
    "gland weeps a little, runs evenly",
    "wind from the left, flame steady",
];

/// Makes the templates on the first job of the book.
pub(super) async fn templates(
    w: &mut Write,
    job: JobId,
    now: Stamp,
) -> Result<Vec<TrialId>, Error> {
    let mut all = Vec::new();
    for (n, readings) in (0_i64..).zip(READINGS) {
        all.push(template(w, job, now.plus_days(-3_600 + n), readings).await?);
    }
    w.set_now(now);
    Ok(all)
}

async fn template(
    w: &mut Write,
    job: JobId,
    began: Stamp,
    readings: u32,
) -> Result<TrialId, Error> {
    w.set_now(began);
    let of = jobs::by_id_in(w, job).await?;
    let plant = components::together(&components::of_plant_in(w, of.plant_id).await?, &of.plant)?;
    let text = format!(
        r#"{{"format":"gaugeglass-trial/1","kind":"steam","title":{},"question":"Does it keep its water?","started_at":"{}","plant":{plant},{HEAD}}}"#,
        quoted(&format!("{}, steam trial", of.plant)),
        began.rfc3339(),
    );
    let head = triallog::read_head(&text)
        .map_err(unusable)?
        .canonical()
        .to_owned();
    let new = NewTrial {
        job_id: job,
        kind: "steam".into(),
        question: "Does it keep its water?".into(),
        head: head.clone(),
    };
    let id = log::prepare(w, &new).await?;
    let mut texts = Vec::new();
    for (t_s, keys) in told(readings) {
        texts.push(enter(w, id, began, t_s, &keys).await?);
    }
    let whole =
        triallog::assemble(&head, texts.iter().map(String::as_str), None).map_err(unusable)?;
    let verdict = assess(whole.trial(), None).verdict;
    let sealed = Sealed {
        verdict: verdict.outcome.word().to_owned(),
        because: verdict.because,
        answer: Some("yes".to_owned()),
    };
    log::seal(w, id, &sealed).await?;
    Ok(id)
}

/// A reading a minute, the feed on every ten minutes for three, a note now and then.
fn told(readings: u32) -> Vec<(u32, String)> {
    let mut log = vec![
        (0, r#""event":"fire-lit""#.to_owned()),
        (20, r#""event":"engine-running""#.to_owned()),
    ];
    let mut level = 30.0;
    for minute in 1..=readings {
        let t_s = minute * 60;
        match minute % 10 {
            7 => log.push((t_s - 5, r#""event":"feed-on""#.to_owned())),
            0 => log.push((t_s - 5, r#""event":"feed-off""#.to_owned())),
            _ => {}
        }
        level += if minute % 10 >= 7 { 0.7 } else { -0.3 };
        let note = match minute % 10 {
            5 => format!(
                r#","note":{}"#,
                quoted(NOTES[usize::from(minute % 20 == 5)])
            ),
            _ => String::new(),
        };
        log.push((
            t_s,
            format!(r#""reading":{{"level_mm":{level:.1},"pressure_bar":3.20}}{note}"#),
        ));
    }
    log.push((readings * 60 + 30, r#""event":"fire-out""#.to_owned()));
    log.push((
        readings * 60 + 60,
        r#""note":"steamed as it should","answer":"yes""#.to_owned(),
    ));
    log.push((readings * 60 + 90, r#""signs":"close""#.to_owned()));
    log
}
