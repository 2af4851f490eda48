//! What must be so before a trial of each kind is closed.

/// What must be so before a trial is closed: its name on the form, its words, and the event that shows it, if one does.
pub(in crate::trials) type ShutDown = (&'static str, &'static str, Option<&'static str>);

/// The shut-down list of a kind.
pub(in crate::trials) fn shut_down(kind: &str, lit: bool) -> Vec<ShutDown> {
    let pressure = (
        "down-pressure",
        "The pressure is gone",
        Some("pressure-released"),
    );
    let look = (
        "down-look",
        "Looked over once more: leaks, scorched paint, loose nuts",
        None,
    );
    let drained = (
        "down-drained",
        "Drained, or filled for standing; frost thought of",
        None,
    );
    match kind {
        "hydraulic" => vec![
            pressure,
            (
                "down-back",
                "What came off for the test is back, or written on the job as off",
                None,
            ),
            drained,
        ],
        "air" => vec![
            pressure,
            (
                "down-supply",
                "The air supply is off and disconnected",
                None,
            ),
        ],
        "feed-pump" | "engine-run" if !lit => vec![pressure, look],
        _ => vec![
            (
                "down-fire",
                "The fire is out, the fuel shut at the tank",
                Some("fire-out"),
            ),
            pressure,
            (
                "down-water",
                "Water is still in the glass, or the boiler was let cool untouched",
                None,
            ),
            drained,
            look,
        ],
    }
}
