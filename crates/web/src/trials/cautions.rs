//! The cautions that go with a trial: on its pages and on its record.

use calc::cautions::{About, codes, text};

/// The cautions that fit a kind of trial, in the order of the one table they stand in; the last one is always there.
pub(crate) fn fitting(about: About<'_>) -> Vec<&'static str> {
    codes(about).into_iter().filter_map(text).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn low_water_comes_first_and_who_decides_comes_last_whatever_is_burnt() {
        for fuel in ["butane", "spirit", "coal", "electric"] {
            let all = fitting(About {
                trial: "steam",
                fuel: Some(fuel),
                ..About::default()
            });
            assert!(all.first().is_some_and(|c| c.contains("Do not feed")));
            assert!(all.last().is_some_and(|c| c.contains("not a certificate")));
            assert_eq!(
                all.iter().any(|c| c.contains("Soap every joint")),
                fuel == "butane"
            );
        }
    }

    #[test]
    fn every_kind_of_trial_has_cautions() {
        for trial in triallog::schema::KINDS {
            let all = fitting(About {
                trial,
                ..About::default()
            });
            assert!(all.len() >= 2, "{trial}: {all:?}");
        }
    }
}
