//! Entries that the program writes itself of what a form asked for: kept by the one way that every entry takes.

use records::log::Sent;
use records::{Stamp, TrialId};

use super::entries::Coming;
use super::entry_form::Draft;
use super::when::When;

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

/// An entry of a moment that lies before it comes in, as somebody else kept it until now.
pub(super) fn of_before(
    trial: TrialId,
    key: &str,
    fields: String,
    at: Stamp,
    when: When,
) -> (Sent, Coming) {
    let (sent, _) = keyed(trial, key.to_owned(), fields.clone());
    let sent = Sent {
        written_at: Some(at),
        ..sent
    };
    let draft = Draft {
        fields,
        signs: None,
    };
    (sent, Coming::Form { draft, when })
}
