//! A look that becomes the trial it really is: prepared from what is known of the plant, its lines kept in the log with
//! their own times, and its hold points open, so that what was missed shows as missed.

use records::jobs::Job;
use records::log::{self, NewTrial};
use records::looks::{self, Line, Look};
use records::{Error, Stamp, TrialId, Write};

use super::entries::place_in;
use super::tree::quoted;
use super::when::When;
use super::{from_plant, own_entry, procedures};
use crate::desk::Desk;
use crate::problem::Problem;

/// A log that began longer ago than this is not begun afresh, ms: older lines stay in the look alone.
const LONGEST_MS: i64 = 12 * 3_600_000;

/// What makes a look a trial.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Trigger {
    /// Kind of trial that it really is.
    pub(crate) kind: &'static str,
    /// The fields of the entry that says so.
    fields: String,
}

impl Trigger {
    /// The fire was lit.
    pub(crate) fn fire() -> Self {
        Self {
            kind: "steam",
            fields: "\"event\":\"fire-lit\"".to_owned(),
        }
    }

    /// A pressure, in bar as decimal text, was made with this.
    pub(crate) fn pressure(with: &str, bar: String) -> Self {
        let kind = match with {
            "water" => "hydraulic",
            "air" => "air",
            _ => "steam",
        };
        Self {
            kind,
            fields: format!("\"reading\":{{\"pressure_bar\":{bar}}}"),
        }
    }
}

/// The pressure that a look must not pass, bar, and as text.
pub(crate) async fn most_bar(desk: &Desk, job: &Job) -> Result<(f64, String), Problem> {
    let head = from_plant::as_known(desk, job, "air", "", Stamp::now()).await?;
    let file = triallog::TrialFile::read(&head).map_err(|e| Error::Damaged(e.to_string()))?;
    let most = calc::trial::air_cap_bar(file.trial());
    Ok((most, calc::show::fixed(most, 2)))
}

/// Everything that is to be written when a look becomes a trial.
pub(crate) struct Begun {
    look: Look,
    lines: Vec<Line>,
    new: NewTrial,
    trigger: Trigger,
}

impl Begun {
    /// Gathers it.
    pub(crate) async fn of(
        desk: &Desk,
        job: &Job,
        look: Look,
        trigger: Trigger,
    ) -> Result<Self, Problem> {
        let head = from_plant::as_known(desk, job, trigger.kind, &look.asks, look.made_at).await?;
        Ok(Self {
            lines: looks::lines(desk.store(), look.id).await?,
            new: NewTrial {
                job_id: job.id,
                kind: trigger.kind.to_owned(),
                question: look.asks.clone(),
                head,
            },
            look,
            trigger,
        })
    }

    /// Writes it, and gives the address of the trial.
    ///
    /// # Errors
    /// As a trial that is prepared, and an entry.
    pub(crate) async fn written(self, w: &mut Write, key: &str) -> Result<String, Error> {
        procedures::begin(w, &self.new.kind).await?;
        let trial = log::prepare(w, &self.new).await?;
        let earliest = w.now().millis() - LONGEST_MS;
        let kept = self
            .lines
            .iter()
            .filter(|l| l.withdrawn_at.is_none() && l.made_at.millis() > earliest);
        for (n, line) in kept.enumerate() {
            keep_line(
                w,
                trial,
                &format!("{}-l{n}", key.get(..32).unwrap_or(key)),
                line,
            )
            .await?;
        }
        let from = quoted(&format!("began as look {} of the job", self.look.serial));
        let fields = format!("{},\"note\":{from}", self.trigger.fields);
        let (sent, coming) = own_entry::made_of(trial, key, 0, fields);
        log::append_in(w, &sent, move |place| place_in(place, coming)).await?;
        looks::became(w, self.look.id, trial).await?;
        Ok(super::address(trial))
    }
}

/// A line of the look as an entry with its own time; a figure that this plant's instruments cannot have shown stays a note.
async fn keep_line(w: &mut Write, trial: TrialId, key: &str, line: &Line) -> Result<(), Error> {
    let note = format!("\"event\":\"note\",\"note\":{}", quoted(&line.words));
    let read = line
        .reading
        .as_ref()
        .zip(line.value.as_ref())
        .map(|(name, value)| format!("\"reading\":{{{}:{value}}}", quoted(name)));
    for fields in read.into_iter().chain([note]) {
        let at = line.made_at;
        let (sent, coming) = own_entry::of_before(trial, key, fields, at, When::Earlier { at });
        match log::append_in(w, &sent, move |place| place_in(place, coming)).await {
            Err(Error::Unusable(_)) => {}
            other => return other.map(drop),
        }
    }
    Ok(())
}
