//! Entries that the program writes itself of what a form asked for: kept by the one way that every entry takes.

use records::TrialId;
use records::log::Sent;

use super::entries::Coming;
use super::entry_form::Draft;

/// An entry that the program makes of a form: one of several under the form's key, timed by the server's clock.
pub(super) fn made_of(trial: TrialId, key: &str, n: usize, fields: String) -> (Sent, Coming) {
    let key = format!("{}-{n}", key.get(..32).unwrap_or(key));
    keyed(trial, key, fields)
}

/// The same under a key that is its own.
pub(super) fn keyed(trial: TrialId, key: String, fields: String) -> (Sent, Coming) {
    let sent = Sent {
        trial,
        key,
        content: fields.clone().into_bytes(),
        written_at: None,
        from: None,
    };
    let draft = Draft {
        fields,
        signs: None,
    };
    (sent, Coming::form(draft))
}
