//! Re-tests and appointments as a calendar that other programs can read (RFC 5545).

use axum::Router;
use axum::extract::{Path, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use records::appointments::{self, Appointment};
use records::retests::{self, Due};
use records::{Stamp, Store, workshop};

use crate::desk::Desk;
use crate::problem::Problem;

/// How many days back appointments stay in the calendar.
const BACK: i64 = 60;
/// How many days a re-test that is overdue stays in it, and how many re-tests it holds at most.
const OVERDUE: i64 = 730;
const MOST: i64 = 1_000;

/// The calendar for who is in.
pub(crate) fn routes() -> Router<Desk> {
    Router::new().route("/calendar.ics", get(own))
}

/// The calendar for a program that cannot come in: its private address is the key.
pub(crate) fn private(store: Store) -> Router {
    Router::new()
        .route("/calendar/{token}", get(by_key))
        .with_state(store)
}

async fn own(State(desk): State<Desk>) -> Result<Response, Problem> {
    Ok(sent(calendar(desk.store()).await?))
}

async fn by_key(State(store): State<Store>, Path(token): Path<String>) -> Response {
    let known = appointments::is_calendar_key(&store, &token).await;
    match known {
        Ok(true) => calendar(&store)
            .await
            .map_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response(), sent),
        Ok(false) => StatusCode::NOT_FOUND.into_response(),
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}

fn sent(text: String) -> Response {
    let mut response = text.into_response();
    let headers = response.headers_mut();
    let kind = HeaderValue::from_static("text/calendar; charset=utf-8");
    headers.insert(header::CONTENT_TYPE, kind);
    headers.insert(
        header::REFERRER_POLICY,
        HeaderValue::from_static("no-referrer"),
    );
    response
}

async fn calendar(store: &Store) -> Result<String, records::Error> {
    let now = Stamp::now();
    let name = workshop::find(store)
        .await?
        .map_or_else(String::new, |w| w.name);
    let due = retests::from(store, &now.plus_days(-OVERDUE).day(), None, MOST).await?;
    let from = now.plus_days(-BACK).day();
    let visits = appointments::from(store, &from).await?;
    Ok(written(&name, &due, &visits, now))
}

/// The whole calendar, every line folded and ended as RFC 5545 asks.
fn written(workshop: &str, due: &[Due], visits: &[Appointment], now: Stamp) -> String {
    let mut lines = Lines::default();
    lines.plain("BEGIN:VCALENDAR");
    lines.plain("VERSION:2.0");
    lines.plain("PRODID:-//gaugeglass//re-tests and appointments//EN");
    lines.text("X-WR-CALNAME", workshop);
    for one in due {
        lines.plain("BEGIN:VEVENT");
        lines.plain(&format!(
            "UID:retest-{}-{}@gaugeglass",
            one.plant_id,
            one.what.replace(' ', "-")
        ));
        lines.plain(&format!("DTSTAMP:{}", stamp(now)));
        lines.day(&one.on);
        lines.text("SUMMARY", &format!("{} due: {}", one.what, one.plant));
        lines.text("DESCRIPTION", &one.because);
        lines.plain("TRANSP:TRANSPARENT");
        lines.plain("END:VEVENT");
    }
    for one in visits {
        lines.plain("BEGIN:VEVENT");
        lines.plain(&format!("UID:appointment-{}@gaugeglass", one.id));
        lines.plain(&format!("DTSTAMP:{}", stamp(now)));
        lines.plain(&format!("SEQUENCE:{}", one.changes));
        if one.at_time.is_empty() {
            lines.day(&one.on_day);
        } else {
            // The workshop's own clock, wherever that is: a time without a zone.
            let at = one.at_time.replace(':', "");
            lines.plain(&format!("DTSTART:{}T{at}00", digits(&one.on_day)));
        }
        lines.text("SUMMARY", &one.who);
        lines.text("LOCATION", &one.place);
        lines.text("DESCRIPTION", &one.at_hand);
        lines.plain("END:VEVENT");
    }
    lines.plain("END:VCALENDAR");
    lines.0
}

fn digits(day: &records::Day) -> String {
    day.iso().replace('-', "")
}

fn stamp(at: Stamp) -> String {
    at.file_name().replace('-', "")
}

/// Lines of a calendar.
#[derive(Default)]
struct Lines(String);

impl Lines {
    /// A line, folded so that none is longer than 75 octets, never within a character.
    fn plain(&mut self, line: &str) {
        let mut room = 75;
        for c in line.chars() {
            if c.len_utf8() > room {
                self.0.push_str("\r\n ");
                room = 74;
            }
            self.0.push(c);
            room -= c.len_utf8();
        }
        self.0.push_str("\r\n");
    }

    /// A property with text; nothing where there is none.
    fn text(&mut self, name: &str, text: &str) {
        if text.is_empty() {
            return;
        }
        let mut escaped = String::new();
        for c in text.replace("\r\n", "\n").chars() {
            match c {
                '\\' | ';' | ',' => escaped.extend(['\\', c]),
                '\n' => escaped.push_str("\\n"),
                c if c.is_control() => {}
                c => escaped.push(c),
            }
        }
        self.plain(&format!("{name}:{escaped}"));
    }

    /// A whole day; its end is the day after.
    fn day(&mut self, day: &records::Day) {
        self.plain(&format!("DTSTART;VALUE=DATE:{}", digits(day)));
        self.plain(&format!("DTEND;VALUE=DATE:{}", digits(&day.next())));
    }
}

#[cfg(test)]
mod tests {
    use super::Lines;

    #[test]
    fn no_line_is_longer_than_75_octets_and_unfolding_gives_the_text_back() {
        let text = "Kesselprüfung °C; ".repeat(20);
        let mut lines = Lines::default();
        lines.plain(&text);
        assert!(lines.0.ends_with("\r\n"));
        assert!(lines.0.split("\r\n").all(|l| l.len() <= 75));
        assert_eq!(lines.0.replace("\r\n ", "").trim_end(), text.trim_end());
    }

    #[test]
    fn what_has_a_meaning_of_its_own_is_escaped() {
        let mut lines = Lines::default();
        lines.text("SUMMARY", "a;b,c\\d\r\nBEGIN:VEVENT\u{7}");
        lines.text("LOCATION", "");
        assert_eq!(lines.0, "SUMMARY:a\\;b\\,c\\\\d\\nBEGIN:VEVENT\r\n");
    }
}
