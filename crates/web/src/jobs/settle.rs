//! How a defect stands: the form beside the defect.

use records::defects::{Defect, Settled};
use records::{PartId, SittingId, TrialId};
use serde::Deserialize;

use crate::form::{Faults, Field, Pick, Reader};

/// What was chosen, as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct SettleForm {
    pub(super) stands: String,
    pub(super) deferred_to: String,
    pub(super) deferred_why: String,
}

impl SettleForm {
    /// How it stands now.
    pub(super) fn of(defect: &Defect) -> Self {
        let stands = match (
            defect.cleared_by_sitting,
            defect.cleared_by_part,
            defect.cleared_by_trial,
        ) {
            (Some(id), _, _) => format!("sitting {id}"),
            (_, Some(id), _) => format!("part {id}"),
            (_, _, Some(id)) => format!("trial {id}"),
            _ => defect.state.clone(),
        };
        Self {
            stands,
            deferred_to: defect
                .deferred_to
                .as_ref()
                .map_or_else(String::new, |d| d.iso().to_owned()),
            deferred_why: defect.deferred_why.clone(),
        }
    }

    pub(super) fn fields(&self, clearers: Vec<Pick>) -> Vec<Field> {
        let mut picks = vec![
            Pick::new("standing", "standing"),
            Pick::new("deferred", "deferred, to the day and for the reason below"),
        ];
        picks.extend(clearers);
        vec![
            Field::new("pick", "stands", "It is", &self.stands).picks(picks),
            Field::new("date", "deferred_to", "Deferred to", &self.deferred_to),
            Field::new("text", "deferred_why", "Because", &self.deferred_why),
        ]
    }

    pub(super) fn read(&self) -> Result<Settled, Faults> {
        let mut read = Reader::default();
        let (word, id) = self.stands.split_once(' ').unwrap_or((&self.stands, ""));
        let id: Option<i64> = id.parse().ok();
        let settled = match (word, id) {
            ("standing", None) => Some(Settled::Standing),
            ("deferred", None) => {
                let day = read.needed_day("deferred_to", &self.deferred_to);
                let why = read.needed("deferred_why", &self.deferred_why, "Say why it is put off.");
                day.map(|day| Settled::Deferred(day, why))
            }
            ("sitting", Some(id)) => Some(Settled::BySitting(SittingId::new(id))),
            ("part", Some(id)) => Some(Settled::ByPart(PartId::new(id))),
            ("trial", Some(id)) => Some(Settled::ByTrial(TrialId::new(id))),
            _ => {
                read.fault("stands", "Choose how it stands.");
                None
            }
        };
        read.done(settled)
            .and_then(|s| s.ok_or_else(Faults::default))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(stands: &str, to: &str, why: &str) -> SettleForm {
        SettleForm {
            stands: stands.into(),
            deferred_to: to.into(),
            deferred_why: why.into(),
        }
    }

    #[test]
    fn putting_off_needs_a_day_and_a_reason() {
        let faults = form("deferred", "", " ").read().unwrap_err();
        assert!(!faults.of("deferred_to").is_empty() && !faults.of("deferred_why").is_empty());
        assert!(matches!(
            form("deferred", "2026-12-12", "no ring").read(),
            Ok(Settled::Deferred(..))
        ));
        assert_eq!(
            form("part 7", "", "").read(),
            Ok(Settled::ByPart(PartId::new(7)))
        );
        assert!(form("cleared", "", "").read().is_err());
    }
}
