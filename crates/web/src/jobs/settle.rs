//! How a defect stands: the form beside the defect.

use records::defects::{Defect, Settled, Until};
use records::{PartId, SittingId, Stamp, TrialId};
use serde::Deserialize;

use crate::form::{Faults, Field, Pick, Reader};

/// What waits for a sitting, a part or a trial comes back after so many days all the same.
const LATEST_DAYS: i64 = 28;

/// What was chosen, as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct SettleForm {
    pub(super) stands: String,
    pub(super) deferred_until: String,
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
        let until = match defect.deferred_part_id {
            Some(part) => format!("part {part}"),
            None => defect.deferred_until.clone(),
        };
        Self {
            stands,
            deferred_until: until,
            deferred_to: defect
                .deferred_to
                .as_ref()
                .map_or_else(String::new, |d| d.iso().to_owned()),
            deferred_why: defect.deferred_why.clone(),
        }
    }

    /// The lines; `clearers` are what may have cleared it, `parts` what it may wait for.
    pub(super) fn fields(&self, clearers: Vec<Pick>, parts: Vec<Pick>) -> Vec<Field> {
        let mut picks = vec![
            Pick::new("standing", "standing"),
            Pick::new(
                "deferred",
                "deferred, to what is said below and for the reason below",
            ),
        ];
        picks.extend(clearers);
        let mut until = vec![
            Pick::new("day", "the day below"),
            Pick::new("sitting", "the next sitting"),
            Pick::new("trial", "the next trial"),
        ];
        until.extend(parts);
        vec![
            Field::new("pick", "stands", "It is", &self.stands).picks(picks),
            Field::new("pick", "deferred_until", "Deferred to", &self.deferred_until)
                .picks(until),
            Field::new("date", "deferred_to", "The day", &self.deferred_to)
                .hint("of anything but a day the latest: then it comes back all the same; empty: in four weeks"),
            Field::new("text", "deferred_why", "Because", &self.deferred_why),
        ]
    }

    fn read_deferral(&self, read: &mut Reader) -> Option<Settled> {
        let until = match self.deferred_until.split_once(' ') {
            None if matches!(self.deferred_until.as_str(), "" | "day") => Some(Until::Day),
            None if self.deferred_until == "sitting" => Some(Until::Sitting),
            None if self.deferred_until == "trial" => Some(Until::Trial),
            Some(("part", id)) => id.parse().ok().map(|id| Until::Part(PartId::new(id))),
            _ => None,
        };
        if until.is_none() {
            read.fault("deferred_until", "Choose what it is put off to.");
        }
        let to = if until == Some(Until::Day) {
            read.needed_day("deferred_to", &self.deferred_to)
        } else if self.deferred_to.trim().is_empty() {
            Some(Stamp::now().plus_days(LATEST_DAYS).day())
        } else {
            read.day("deferred_to", &self.deferred_to)
        };
        let why = read.needed("deferred_why", &self.deferred_why, "Say why it is put off.");
        let (until, to) = until.zip(to)?;
        Some(Settled::Deferred { until, to, why })
    }

    pub(super) fn read(&self) -> Result<Settled, Faults> {
        let mut read = Reader::default();
        let (word, id) = self.stands.split_once(' ').unwrap_or((&self.stands, ""));
        let id: Option<i64> = id.parse().ok();
        let settled = match (word, id) {
            ("standing", None) => Some(Settled::Standing),
            ("deferred", None) => self.read_deferral(&mut read),
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
    use records::Day;

    fn form(stands: &str, to: &str, why: &str) -> SettleForm {
        SettleForm {
            stands: stands.into(),
            deferred_until: "day".into(),
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
            Ok(Settled::Deferred { .. })
        ));
        assert_eq!(
            form("part 7", "", "").read(),
            Ok(Settled::ByPart(PartId::new(7)))
        );
        assert!(form("cleared", "", "").read().is_err());
    }

    #[test]
    fn what_waits_for_something_else_has_a_latest_day_of_its_own() {
        let with = |until: &str, to: &str| SettleForm {
            deferred_until: until.into(),
            ..form("deferred", to, "no time")
        };
        let latest = Stamp::now().plus_days(LATEST_DAYS).day();
        for (typed, until) in [
            ("sitting", Until::Sitting),
            ("trial", Until::Trial),
            ("part 4", Until::Part(PartId::new(4))),
        ] {
            let (to, why) = (latest.clone(), "no time".to_owned());
            assert_eq!(
                with(typed, "").read(),
                Ok(Settled::Deferred { until, to, why })
            );
        }
        let day = Day::read("2026-12-12").unwrap();
        assert!(matches!(
            with("sitting", "2026-12-12").read(),
            Ok(Settled::Deferred { to, .. }) if to == day
        ));
        for bad in ["never", "part x", "sitting 3"] {
            assert!(
                !with(bad, "")
                    .read()
                    .unwrap_err()
                    .of("deferred_until")
                    .is_empty()
            );
        }
    }
}
