//! When an entry was: by the server's clock, by a phone's, or as it was written on paper.

use records::Stamp;
use records::log::{FromPhone, Place};

/// How long an entry may have been under way before it is marked late, ms.
const LATE_MS: i64 = 60_000;

/// How far a time written in hours and minutes may be off, s.
const MINUTE_UNSURE_S: u8 = 30;
/// A time written with its seconds.
const SECOND_UNSURE_S: u8 = 2;
/// A time of the day that is this long before the trial's start is taken for the next day's, ms.
const HALF_A_DAY_MS: i64 = 12 * 3_600_000;
const DAY_MS: i64 = 24 * 3_600_000;

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
            Self::Server if place.clock_is_behind => {
                format!("\"t_s\":{received_s},\"clock\":\"server\",\"marks\":[\"clock-jumped\"]")
            }
            Self::Server => format!("\"t_s\":{received_s},\"clock\":\"server\""),
            Self::Phone { from, jumped } => {
                let at = from.at(received);
                let mut marks = Vec::new();
                if received.millis() - at.millis() > LATE_MS {
                    marks.push("late");
                }
                if *jumped || place.clock_is_behind || from.is_ahead(received) {
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

/// The moment of a time of the day, `10:52` or `10:52:07`, on the trial's own day or in the night after it.
pub(super) fn moment(typed: &str, begun: Stamp, now: Stamp) -> Result<(Stamp, u8), String> {
    let mend = || "write the time as on the paper, like 10:52 or 10:52:07".to_owned();
    let parts: Vec<i64> = typed
        .split([':', '.'])
        .map(|part| part.parse().map_err(|_| mend()))
        .collect::<Result<_, _>>()?;
    let (h, m, s, unsure) = match parts.as_slice() {
        [h, m] => (*h, *m, 0, MINUTE_UNSURE_S),
        [h, m, s] => (*h, *m, *s, SECOND_UNSURE_S),
        _ => return Err(mend()),
    };
    if !(0..24).contains(&h) || !(0..60).contains(&m) || !(0..60).contains(&s) {
        return Err(mend());
    }
    let zone = begun.zone_ms();
    let midnight = (begun.millis() + zone).div_euclid(DAY_MS) * DAY_MS - zone;
    let mut at = midnight + ((h * 60 + m) * 60 + s) * 1000;
    if at < begun.millis() - HALF_A_DAY_MS {
        at += DAY_MS;
    }
    if at > now.millis() + i64::from(unsure) * 1000 {
        return Err(format!("{typed} is yet to come"));
    }
    Ok((Stamp::from_millis(at.min(now.millis())), unsure))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 24 Nov 2026, 10:40 in the workshop's own zone.
    fn begun() -> Stamp {
        let noon = Stamp::from_millis(1_795_521_600_000);
        Stamp::from_millis(noon.millis() - noon.zone_ms() - 80 * 60_000)
    }

    #[test]
    fn a_time_after_midnight_is_the_next_days_and_what_is_to_come_is_refused() {
        let late = begun().plus_seconds(12 * 3600 + 1800);
        let now = late.plus_seconds(4 * 3600);
        let (at, _) = moment("00:30", late, now).unwrap();
        assert!(at > late);
        assert!(moment("10:52", begun(), begun().plus_seconds(60)).is_err());
    }
}
