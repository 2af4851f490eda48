//! A trial read from the store and judged: what every page of it begins with.

use calc::trial::{Assessment, assess};
use records::log::{self, Trial};
use records::{Error, Stamp, Store, TrialId};
use triallog::TrialFile;

use super::logbook::{Logbook, moment};
use super::procedures::Procedure;
use super::tree::{Tree, quoted};

/// A trial with its log, judged as it stands now, or as it was sealed.
pub(crate) struct Judged {
    pub(super) row: Trial,
    pub(super) log: Logbook,
    pub(super) file: TrialFile,
    pub(super) judged: Assessment,
    pub(super) now: Stamp,
    pub(super) now_s: f64,
    /// The lists that it was prepared with.
    pub(super) procedure: Procedure,
}

impl Judged {
    /// Reads and judges a trial.
    pub(crate) async fn load(store: &Store, id: TrialId) -> Result<Self, Error> {
        let row = log::find(store, id).await?;
        Self::of(store, row).await
    }

    /// The same for a row that is at hand.
    pub(crate) async fn of(store: &Store, row: Trial) -> Result<Self, Error> {
        let entries = log::entries(store, row.id, 0).await?;
        let now = row.closed_at.unwrap_or_else(Stamp::now);
        let seconds = row.seconds_at(now);
        let ends = ended_at(&seconds, &entries);
        let ended = row.closed_at.map(|_| ends.as_str());
        let texts = entries.iter().map(|e| e.text.as_str());
        let file = triallog::assemble(&head_of(&row), texts, ended)
            .map_err(|faults| Error::Damaged(format!("the log of {}: {faults}", row.label())))?;
        let now_s: f64 = seconds.parse().unwrap_or(0.0);
        let until = row.closed_at.is_none().then_some(now_s);
        let judged = assess(file.trial(), until);
        let log = Logbook::new(&row, &entries);
        let procedure = Procedure::of(store, &row).await?;
        Ok(Self {
            row,
            log,
            file,
            judged,
            now,
            now_s,
            procedure,
        })
    }

    /// When its clock began, or when it was prepared.
    pub(super) fn started(&self) -> Stamp {
        self.row.started_at.unwrap_or(self.row.made_at)
    }

    /// The clock at so many seconds into it.
    pub(super) fn clock(&self, t_s: f64) -> String {
        moment(self.started(), t_s).clock()
    }

    /// When the newest entry came, where this machine's clock stands before that.
    pub(super) fn clock_behind(&self) -> Option<String> {
        let newest = self.log.newest_received()?;
        log::is_behind(self.now, newest).then(|| newest.clock())
    }

    /// Its hold points, in their order.
    pub(super) fn hold_points(&self) -> Vec<String> {
        self.file.trial().hold_points.clone().unwrap_or_default()
    }

    /// Has there been fire, pressure, or a running engine?
    pub(super) fn begun(&self) -> bool {
        self.judged.now.begun
    }

    /// What its fire burns.
    pub(super) fn fuel(&self) -> Option<calc::trial::Fuel> {
        self.file.trial().plant.burner.and_then(|b| b.fuel)
    }

    /// Is a fire part of this kind of trial?
    pub(super) fn has_fire(&self) -> bool {
        !self.is_shell_test()
    }

    /// Is it a shell under water or air?
    pub(super) fn is_shell_test(&self) -> bool {
        matches!(self.row.kind.as_str(), "hydraulic" | "air")
    }

    /// Its address.
    pub(super) fn address(&self) -> String {
        address(self.row.id)
    }
}

/// What a trial was prepared with, timed by its own start: it may have been prepared days before it began, and whether a
/// gauge was in date is asked of the day it was read.
pub(super) fn head_of(row: &Trial) -> String {
    match (row.started_at, Tree::read(&row.head)) {
        (Some(started), Ok(mut head)) => {
            head.put("started_at", quoted(&started.rfc3339()));
            head.text()
        }
        _ => row.head.clone(),
    }
}

/// The end of a trial in seconds: a device's clock that ran ahead may have put its last entry later than the seal.
pub(super) fn ended_at(sealed_s: &str, entries: &[log::Entry]) -> String {
    let last = entries.iter().map(|e| e.t_s).fold(0.0, f64::max);
    match sealed_s.parse::<f64>() {
        Ok(sealed) if sealed >= last => sealed_s.to_owned(),
        _ => last.to_string(),
    }
}

/// The address of a trial.
pub(crate) fn address(id: TrialId) -> String {
    format!("/trials/{id}")
}
