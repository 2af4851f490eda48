//! Short ways to tell the example's story through the same functions that the pages use.

use calc::trial::{Severity, assess};

use crate::customers::{self, NewCustomer, Ways};
use crate::defects::{self, NewDefect, Origin};
use crate::error::Error;
use crate::examinations::{self, NewExamination, Outcome};
use crate::fitted::{self, NewFitted, With};
use crate::hash::fresh_key;
use crate::ids::{ComponentId, DefectId, JobId, PlantId, SittingId, TrialId};
use crate::jobs::{self, NewJob};
use crate::log::{self, Made, NewTrial, Sealed, Sent};
use crate::papers::{self, NewPaper};
use crate::payments::{self, NewPayment};
use crate::plants::{self, NewPlant};
use crate::sittings::{self, NewSitting};
use crate::time::{Day, Stamp};
use crate::writer::Write;
use crate::{components, components::NewComponent};

/// Ways to reach somebody, a line each that begins with its kind; a telephone comes first.
fn ways(reach: &str) -> Ways {
    let of = |kind: &str| {
        let lines = reach.lines().filter_map(|line| line.strip_prefix(kind));
        lines.map(str::trim).collect::<Vec<_>>().join("\n")
    };
    let telephone = of("telephone");
    let prefers = if telephone.is_empty() {
        ""
    } else {
        "telephone"
    };
    Ways {
        telephone,
        email: of("e-mail:"),
        letter: of("post:").replace(", ", "\n"),
        other: String::new(),
        prefers: prefers.into(),
    }
}

/// A plant, whose it is, and the mark on its boiler.
pub(super) async fn plant(
    w: &mut Write,
    name: &str,
    customer: &str,
    reach: &str,
    mark: &str,
) -> Result<PlantId, Error> {
    let new = NewCustomer {
        name: customer.into(),
        ways: ways(reach),
        ..Default::default()
    };
    let customer_id = customers::make(w, &new).await?;
    plants::make(
        w,
        &NewPlant {
            name: name.into(),
            customer_id,
            boiler_mark: mark.into(),
            note: String::new(),
        },
    )
    .await
}

/// A component with its particulars.
pub(super) async fn component(
    w: &mut Write,
    plant: PlantId,
    kind: &str,
    name: &str,
    particulars: &str,
) -> Result<ComponentId, Error> {
    let new = NewComponent {
        parent_id: None,
        kind: kind.into(),
        name: name.into(),
        particulars: particulars.into(),
        note: String::new(),
        joints: String::new(),
    };
    components::make(w, plant, &new).await
}

/// Somebody else's paper: of what, its number, its pressure, how many days ago, by whom.
pub(super) async fn paper(
    w: &mut Write,
    plant: PlantId,
    [kind, number, pressure_bar, by_whom]: [&str; 4],
    on_day: Day,
) -> Result<(), Error> {
    let new = NewPaper {
        kind: kind.into(),
        number: number.into(),
        pressure_bar: pressure_bar.into(),
        on_day,
        valid_until: None,
        by_whom: by_whom.into(),
        note: String::new(),
    };
    papers::make(w, plant, &new).await.map(drop)
}

/// What was fitted in a sitting to the first component of a kind, or adjusted on it.
pub(super) async fn fitted(
    w: &mut Write,
    plant: PlantId,
    sitting: SittingId,
    component_kind: &str,
    [kind, what, was, now]: [&str; 4],
) -> Result<(), Error> {
    let all = components::of_plant_in(w, plant).await?;
    let Some(component) = all.iter().find(|c| c.kind == component_kind) else {
        return Err(Error::Missing("component"));
    };
    let new = NewFitted {
        component_id: component.id,
        kind: kind.into(),
        what: what.into(),
        was: was.into(),
        now: now.into(),
        on_day: None,
    };
    fitted::make(w, With::Sitting(sitting), &new)
        .await
        .map(drop)
}

/// What a job comes in with.
pub(super) struct Arrival {
    pub(super) words: &'static str,
    pub(super) condition: &'static str,
    pub(super) contents: &'static str,
    pub(super) estimate_pence: Option<i64>,
    pub(super) paid_pence: i64,
    pub(super) promised: Option<Day>,
    pub(super) next_time: &'static str,
}

/// Books a job in, on the day of the writing.
pub(super) async fn job(w: &mut Write, plant: PlantId, arrival: Arrival) -> Result<JobId, Error> {
    let new = NewJob {
        words: arrival.words.into(),
        condition: arrival.condition.into(),
        contents: arrival.contents.into(),
        came_in_on: w.now().day(),
        promised_on: arrival.promised,
        next_time: arrival.next_time.into(),
        return_of: None,
        back: jobs::Back::default(),
        steam_to_bar: String::new(),
        estimate_pence: arrival.estimate_pence,
        private_note: String::new(),
    };
    let id = jobs::book(w, plant, &new).await?;
    if arrival.paid_pence > 0 {
        let deposit = NewPayment {
            on_day: w.now().day(),
            what: "deposit".into(),
            pence: arrival.paid_pence,
            how: "by transfer".into(),
        };
        payments::make(w, id, &deposit).await?;
    }
    Ok(id)
}

/// A sitting on the day of the writing.
pub(super) async fn sitting(
    w: &mut Write,
    job: JobId,
    minutes: i64,
    done: &str,
    next_time: &str,
) -> Result<SittingId, Error> {
    let new = NewSitting {
        on_day: w.now().day(),
        minutes,
        done: done.into(),
        next_time: next_time.into(),
        clip: String::new(),
        component_id: None,
    };
    sittings::make(w, job, &new).await
}

/// What was found at the first component of a kind.
pub(super) async fn examined(
    w: &mut Write,
    (plant, job): (PlantId, JobId),
    component_kind: &str,
    finding: &str,
    outcome: Outcome,
) -> Result<Option<DefectId>, Error> {
    let all = components::of_plant_in(w, plant).await?;
    let Some(component) = all.iter().find(|c| c.kind == component_kind) else {
        return Err(Error::Missing("component"));
    };
    let new = NewExamination {
        component_id: component.id,
        finding: finding.into(),
        outcome,
    };
    let (_, defect) = examinations::make(w, job, &new).await?;
    Ok(defect)
}

/// A defect with its bar.
pub(super) async fn defect(
    w: &mut Write,
    job: JobId,
    bar: &str,
    what: &str,
    to_do: &str,
    origin: Origin,
) -> Result<DefectId, Error> {
    let new = NewDefect {
        component_id: None,
        what: what.into(),
        bar: bar.into(),
        to_do: to_do.into(),
        origin,
    };
    defects::make(w, job, &new).await
}

/// A trial to tell: what it is prepared with beside the plant, and its log.
pub(super) struct Told {
    pub(super) kind: &'static str,
    pub(super) question: &'static str,
    /// More keys of the head, as JSON without braces.
    pub(super) head: String,
    /// Seconds into the trial, and the entry's own keys as JSON without braces.
    pub(super) log: &'static [(u32, &'static str)],
    /// The workshop's answer, and why.
    pub(super) answer: (&'static str, &'static str),
}

/// A trial that was told: its row, and each flag it raised with the second it was raised at.
pub(super) struct Tried {
    pub(super) id: TrialId,
    pub(super) flags: Vec<(String, f64)>,
}

impl Tried {
    /// Where a defect came from: the first flag of a rule.
    pub(super) fn origin(&self, rule: &str) -> Origin {
        let flag = self.flags.iter().find(|(name, _)| name == rule);
        flag.map_or(Origin::Examination, |(rule, raised_at_s)| Origin::Trial {
            trial: self.id,
            rule: rule.clone(),
            raised_at_s: *raised_at_s,
        })
    }
}

/// Prepares a trial, keeps its log entry by entry at the times told, closes it by its own verdict and seals it.
pub(super) async fn trial(
    w: &mut Write,
    job: JobId,
    plant: PlantId,
    began: Stamp,
    told: &Told,
) -> Result<Tried, Error> {
    w.set_now(began.plus_seconds(-900));
    let name = jobs::by_id_in(w, job).await?.plant;
    let together = components::together(&components::of_plant_in(w, plant).await?, &name)?;
    let text = format!(
        r#"{{"format":"gaugeglass-trial/1","kind":"{}","title":{},"question":{},"started_at":"{}","plant":{together},{}}}"#,
        told.kind,
        quoted(&format!("{name}, {} trial", told.kind)),
        quoted(told.question),
        began.rfc3339(),
        told.head,
    );
    let head = triallog::read_head(&text)
        .map_err(unusable)?
        .canonical()
        .to_owned();
    let new = NewTrial {
        job_id: job,
        kind: told.kind.into(),
        question: told.question.into(),
        head: head.clone(),
    };
    let id = log::prepare(w, &new).await?;
    let mut texts = Vec::new();
    let mut last = 0;
    for (t_s, keys) in told.log {
        texts.push(enter(w, id, began, *t_s, keys).await?);
        last = *t_s;
    }
    // Every stop is seen by name before the trial is closed.
    let judged = assess(
        triallog::assemble(&head, texts.iter().map(String::as_str), None)
            .map_err(unusable)?
            .trial(),
        None,
    );
    for flag in judged.flags.iter().filter(|f| f.severity == Severity::Stop) {
        last += 5;
        let keys = format!(
            r#""acknowledges":{{"rule":"{}","raised_at_s":{}}}"#,
            flag.rule.name(),
            flag.raised_at_s
        );
        texts.push(enter(w, id, began, last, &keys).await?);
    }
    let (answer, because) = told.answer;
    for keys in [
        format!(r#""answer":"{answer}","note":{}"#, quoted(because)),
        r#""signs":"close""#.to_owned(),
    ] {
        last += 60;
        texts.push(enter(w, id, began, last, &keys).await?);
    }
    let whole = triallog::assemble(
        &head,
        texts.iter().map(String::as_str),
        Some(&last.to_string()),
    )
    .map_err(unusable)?;
    let verdict = assess(whole.trial(), None).verdict;
    let sealed = Sealed {
        verdict: verdict.outcome.word().to_owned(),
        because: verdict.because,
        answer: Some(answer.to_owned()),
    };
    log::seal(w, id, &sealed).await?;
    let flags = judged
        .flags
        .iter()
        .map(|f| (f.rule.name().to_owned(), f.raised_at_s))
        .collect();
    Ok(Tried { id, flags })
}

/// One entry, received at the moment it speaks of.
pub(crate) async fn enter(
    w: &mut Write,
    trial: TrialId,
    began: Stamp,
    t_s: u32,
    keys: &str,
) -> Result<String, Error> {
    w.set_now(began.plus_seconds(i64::from(t_s)));
    let text = format!("{{\"t_s\":{t_s},{keys}}}");
    let sent = Sent {
        trial,
        key: fresh_key(),
        content: text.clone().into_bytes(),
        written_at: None,
        from: None,
    };
    let stored = log::append_in(w, &sent, move |place| {
        let entry = triallog::read_entry(&text).map_err(unusable)?;
        let entry = entry
            .stamped(&place.id, Some(&place.by), &place.received_at_s, "device")
            .map_err(unusable)?;
        Ok(Made {
            text: entry.canonical().to_owned(),
            t_s: entry.t_s(),
        })
    })
    .await?;
    Ok(stored.text)
}

pub(crate) fn unusable(faults: triallog::Faults) -> Error {
    Error::Unusable(faults.to_string().lines().map(str::to_owned).collect())
}

pub(crate) fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}
