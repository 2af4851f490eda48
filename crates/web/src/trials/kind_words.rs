//! What the kinds of trials are called, and what their hold points come before.

/// A kind of trial by its word; where none is said, a steam trial.
pub(super) fn kind_of(word: &str) -> &'static str {
    let known = triallog::schema::KINDS.iter();
    known.copied().find(|k| *k == word).unwrap_or("steam")
}

/// What a kind is called.
pub(super) fn title(kind: &str) -> &'static str {
    match kind {
        "hydraulic" => "hydraulic trial",
        "air" => "air trial",
        "safety-valve" => "safety valve trial",
        "feed-pump" => "feed pump trial",
        "burner" => "burner trial",
        "engine-run" => "engine run",
        _ => "steam trial",
    }
}

/// What its hold points come before.
pub(super) fn before(kind: &str) -> &'static str {
    match kind {
        "hydraulic" => "Before the water",
        "air" => "Before the air",
        "feed-pump" => "Before it pumps",
        "engine-run" => "Before it runs",
        _ => "Before the fire",
    }
}

/// What does not happen before they are signed.
pub(super) fn held_back(kind: &str) -> &'static str {
    match kind {
        "hydraulic" | "air" => "No pressure",
        "feed-pump" => "No pumping",
        "engine-run" => "No running",
        _ => "No fire",
    }
}
