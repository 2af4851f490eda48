//! When an entry was: by the server's clock, by a phone's, or as it was written on paper.

use records::Stamp;
use records::log::{FromPhone, Place};

/// How long an entry may have been under way before it is marked late, ms.
const LATE_MS: i64 = 60_000;

/// Whose word it is for the time of an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum When {
    /// The server's clock as it came.
    Server,
    /// A phone's, as that reckons the server's clock.
    Phone {
        from: FromPhone,
        /// The phone's clock was set meanwhile.
        jumped: bool,
    },
    /// The server's clock as it came, before it came into this log.
    Earlier { at: Stamp },
    /// A hand's, on paper.
    Paper { at: Stamp, unsure_s: u8 },
}

impl When {
    /// The fields of an entry that say when it was, by which clock, and how sure that is.
    pub(super) fn fields(&self, place: &Place) -> String {
        let (received, received_s) = (place.received_at, &place.received_at_s);
        match self {
            Self::Server => format!("\"t_s\":{received_s},\"clock\":\"server\""),
            Self::Phone { from, jumped } => {
                let at = from.at(received);
                let mut marks = Vec::new();
                if received.millis() - at.millis() > LATE_MS {
                    marks.push("late");
                }
                if *jumped || from.is_ahead(received) {
                    marks.push("clock-jumped");
                }
                let unsure = Stamp::from_millis(0).seconds_to(Stamp::from_millis(from.u_ms));
                let t_s = place.trial.seconds_at(at);
                told(&t_s, received_s, "device", &unsure, &marks)
            }
            Self::Earlier { at } => {
                let t_s = place.trial.seconds_at(*at);
                told(&t_s, received_s, "server", "0", &["late"])
            }
            Self::Paper { at, unsure_s } => {
                let t_s = place.trial.seconds_at(*at);
                let marks = ["late", "from-paper"];
                told(&t_s, received_s, "paper", &unsure_s.to_string(), &marks)
            }
        }
    }
}

fn told(t_s: &str, received_s: &str, clock: &str, unsure_s: &str, marks: &[&str]) -> String {
    let marks = if marks.is_empty() {
        String::new()
    } else {
        format!(",\"marks\":[\"{}\"]", marks.join("\",\""))
    };
    format!(
        "\"t_s\":{t_s},\"received_at_s\":{received_s},\"clock\":\"{clock}\",\"time_u_s\":{unsure_s}{marks}"
    )
}
