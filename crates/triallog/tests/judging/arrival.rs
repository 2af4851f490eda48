//! Corrections and late entries.

use crate::{LIT, flags, judged};
use calc::trial::Severity::Stop;

#[test]
fn a_correction_clears_what_it_explains_and_dates_nothing_back() {
    let log = [
        LIT,
        r#"{"t_s": 60, "id": "a2", "reading": {"level_mm": 3}}"#,
        r#"{"t_s": 100, "corrects": "a2", "reading": {"level_mm": 23}, "note": "misread"}"#,
        r#"{"t_s": 120, "reading": {"level_mm": 23}}"#,
    ];
    let judged = judged(&log);
    assert_eq!(
        flags(&judged, "water-below-mark"),
        [(Stop, 60.0, Some(100.0))]
    );
    assert!(judged.flags.iter().any(|f| f.cleared_by_correction));
    let worse = [
        LIT,
        r#"{"t_s": 60, "id": "a2", "reading": {"level_mm": 23}}"#,
        r#"{"t_s": 100, "corrects": "a2", "reading": {"level_mm": 3}}"#,
    ];
    assert_eq!(
        flags(&crate::judged(&worse), "water-below-mark"),
        [(Stop, 100.0, None)]
    );
}

#[test]
fn a_late_entry_is_judged_when_it_arrives() {
    let judged = judged(&[
        LIT,
        r#"{"t_s": 60, "received_at_s": 200, "reading": {"level_seen": "below"}}"#,
        r#"{"t_s": 150, "reading": {"level_mm": 20}}"#,
    ]);
    assert_eq!(flags(&judged, "water-out-of-sight"), [(Stop, 200.0, None)]);
}
