//! Forms: kept as typed, every fault at once, sent twice but saved once.

use std::borrow::Cow;

use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use serde::de::DeserializeOwned;

use records::Day;

use crate::problem::Problem;

/// A form as it was sent: its hidden key, its content, and its fields.
pub(crate) struct Posted<T> {
    /// The hidden key: the same form sent twice is one row.
    pub key: String,
    /// The address and the bytes as they came, to tell the same from other content under one key.
    pub content: Vec<u8>,
    /// The fields as typed.
    pub form: T,
}

impl<S: Send + Sync, T: DeserializeOwned + Send> FromRequest<S> for Posted<T> {
    type Rejection = axum::response::Response;

    async fn from_request(request: Request, state: &S) -> Result<Self, Self::Rejection> {
        use axum::response::IntoResponse;
        let path = request.uri().path().to_owned();
        let body = Bytes::from_request(request, state)
            .await
            .map_err(IntoResponse::into_response)?;
        let unreadable = |what: String| Problem::Unreadable(what).into_response();
        let form = axum_extra::extract::Form::<T>::from_request(again(&body), state)
            .await
            .map_err(|e| unreadable(e.to_string()))?
            .0;
        let keyed = axum_extra::extract::Form::<Keyed>::from_request(again(&body), state)
            .await
            .map_err(|e| unreadable(e.to_string()))?
            .0;
        if !(16..=64).contains(&keyed.key.len()) {
            return Err(unreadable(
                "this form came without its hidden key; open the page again and send it from there"
                    .to_owned(),
            ));
        }
        let content = [path.as_bytes(), b"\n", &body].concat();
        Ok(Self {
            key: keyed.key,
            content,
            form,
        })
    }
}

#[derive(serde::Deserialize)]
struct Keyed {
    #[serde(default)]
    key: String,
}

fn again(body: &Bytes) -> Request {
    let mut request = Request::new(axum::body::Body::from(body.clone()));
    *request.method_mut() = axum::http::Method::POST;
    let kind = axum::http::HeaderValue::from_static("application/x-www-form-urlencoded");
    request
        .headers_mut()
        .insert(axum::http::header::CONTENT_TYPE, kind);
    request
}

/// One fault: which field, and in words how to mend it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Fault {
    /// The field's name, which is its id.
    pub field: String,
    /// What is wrong and how to mend it.
    pub says: String,
}

/// Every fault of a form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Faults(Vec<Fault>);

impl Faults {
    pub(crate) fn add(&mut self, field: &str, says: impl Into<String>) {
        self.0.push(Fault {
            field: field.to_owned(),
            says: says.into(),
        });
    }

    /// What is wrong with a field; empty when nothing is.
    pub(crate) fn of(&self, field: &str) -> &str {
        self.0
            .iter()
            .find(|f| f.field == field)
            .map_or("", |f| f.says.as_str())
    }

    pub(crate) fn list(&self) -> &[Fault] {
        &self.0
    }
}

/// Reads the fields of a form one after the other and keeps every fault.
#[derive(Debug, Default)]
pub(crate) struct Reader {
    faults: Faults,
}

impl Reader {
    /// All fields were read: the value, or every fault together.
    pub(crate) fn done<T>(self, value: T) -> Result<T, Faults> {
        if self.faults.0.is_empty() {
            Ok(value)
        } else {
            Err(self.faults)
        }
    }

    pub(crate) fn fault(&mut self, field: &str, says: impl Into<String>) {
        self.faults.add(field, says);
    }

    /// Words that may be left out.
    pub(crate) fn words(&mut self, field: &str, typed: &str) -> String {
        let text = typed.trim().replace("\r\n", "\n");
        if text.chars().count() > 4000 {
            self.fault(field, "Too long: at most 4000 characters.");
        }
        text
    }

    /// Words that must be there.
    pub(crate) fn needed(&mut self, field: &str, typed: &str, mend: &str) -> String {
        let text = self.words(field, typed);
        if text.is_empty() {
            self.fault(field, mend);
        }
        text
    }

    /// A day that may be left out.
    pub(crate) fn day(&mut self, field: &str, typed: &str) -> Option<Day> {
        if typed.trim().is_empty() {
            return None;
        }
        let day = Day::read(typed);
        if day.is_none() {
            self.fault(
                field,
                format!(
                    "“{}” is no day; write it like 2026-11-24 or 24 Nov 2026.",
                    typed.trim()
                ),
            );
        }
        day
    }

    /// A day that must be there.
    pub(crate) fn needed_day(&mut self, field: &str, typed: &str) -> Option<Day> {
        if typed.trim().is_empty() {
            self.fault(field, "Give the day.");
        }
        self.day(field, typed)
    }

    /// Pounds and pence that may be left out.
    pub(crate) fn money(&mut self, field: &str, typed: &str) -> Option<i64> {
        let text = typed.trim();
        if text.is_empty() {
            return None;
        }
        let pence = read_pence(text);
        if pence.is_none() {
            self.fault(
                field,
                format!("“{text}” is no sum; write pounds and pence with a point, like 14.60."),
            );
        }
        pence
    }

    /// Hours that may be left out, as minutes: `7`, `7.5` or `7:20`.
    pub(crate) fn hours(&mut self, field: &str, typed: &str) -> Option<i64> {
        let text = typed.trim();
        if text.is_empty() {
            return None;
        }
        let minutes = read_hours(text);
        if minutes.is_none() {
            self.fault(
                field,
                format!("“{text}” is no whole number of minutes; write hours like 7, 7.5 or 7:20."),
            );
        }
        minutes
    }

    /// A whole number within bounds.
    pub(crate) fn whole(
        &mut self,
        field: &str,
        typed: &str,
        least: i64,
        most: i64,
        what: &str,
    ) -> i64 {
        match typed.trim().parse::<i64>() {
            Ok(n) if (least..=most).contains(&n) => n,
            _ => {
                self.fault(
                    field,
                    format!("Give {what} as a whole number from {least} to {most}."),
                );
                least
            }
        }
    }

    /// One of some words.
    pub(crate) fn one_of(&mut self, field: &str, typed: &str, allowed: &[&str]) -> String {
        if !allowed.contains(&typed) {
            self.fault(field, format!("Choose one: {}.", allowed.join(", ")));
        }
        typed.to_owned()
    }

    /// The number of a row that was chosen, or none.
    pub(crate) fn row(&mut self, field: &str, typed: &str) -> Option<i64> {
        let text = typed.trim();
        if text.is_empty() {
            return None;
        }
        let row = text.parse().ok();
        if row.is_none() {
            self.fault(field, "Choose one from the list.");
        }
        row
    }
}

/// Reads `7`, `7.5` or `7:20` into minutes, where that is a whole number of them.
fn read_hours(text: &str) -> Option<i64> {
    let digits = |t: &str| !t.is_empty() && t.len() <= 5 && t.bytes().all(|b| b.is_ascii_digit());
    let number = |t: &str| digits(t).then(|| t.parse::<i64>().ok())?;
    if let Some((hours, minutes)) = text.split_once(':') {
        let minutes = number(minutes).filter(|m| *m < 60)?;
        return Some(number(hours)? * 60 + minutes);
    }
    let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
    if part.len() > 2 {
        return None;
    }
    let hundredths = number(whole)? * 100 + number(&format!("{part:0<2}"))?;
    (hundredths * 60 % 100 == 0).then_some(hundredths * 60 / 100)
}

/// Reads `14.60`, `£14.60` or `14` into pence.
pub(crate) fn read_pence(text: &str) -> Option<i64> {
    let sign = crate::currency::sign();
    let text = text.strip_prefix(sign.as_str()).unwrap_or(text).trim();
    let (pounds, pence) = text.split_once('.').unwrap_or((text, "00"));
    let digits = |t: &str| !t.is_empty() && t.len() <= 7 && t.bytes().all(|b| b.is_ascii_digit());
    if !digits(pounds) || !digits(pence) || pence.len() != 2 {
        return None;
    }
    Some(pounds.parse::<i64>().ok()? * 100 + pence.parse::<i64>().ok()?)
}

/// A line of a form, for the page that shows any form.
#[derive(Clone, Debug, Default)]
pub(crate) struct Field {
    /// Its name and id.
    pub id: &'static str,
    /// What stands left of it.
    pub label: &'static str,
    /// Where the value comes from, or how to write it.
    pub hint: &'static str,
    /// Unit, right of it.
    pub unit: Cow<'static, str>,
    /// `text`, `number`, `date`, `long`, `few`, `pick`, `tick`, `head`, `hidden`.
    pub kind: &'static str,
    /// As typed.
    pub value: String,
    /// What can be chosen, for `pick`.
    pub picks: Vec<Pick>,
}

/// One choice of a list.
#[derive(Clone, Debug)]
pub(crate) struct Pick {
    /// What is sent.
    pub value: String,
    /// What is read.
    pub words: String,
}

impl Pick {
    pub(crate) fn new(value: impl ToString, words: impl Into<String>) -> Self {
        Self {
            value: value.to_string(),
            words: words.into(),
        }
    }

    /// Words that are sent as they are read.
    pub(crate) fn words(all: &[&str]) -> Vec<Self> {
        all.iter().map(|w| Self::new(w, *w)).collect()
    }
}

impl Field {
    pub(crate) fn new(
        kind: &'static str,
        id: &'static str,
        label: &'static str,
        value: &str,
    ) -> Self {
        Self {
            id,
            label,
            kind,
            value: value.to_owned(),
            ..Self::default()
        }
    }

    pub(crate) fn hint(mut self, hint: &'static str) -> Self {
        self.hint = hint;
        self
    }

    pub(crate) fn unit(mut self, unit: &'static str) -> Self {
        self.unit = Cow::Borrowed(unit);
        self
    }

    /// A sum in the workshop's currency.
    pub(crate) fn money(mut self) -> Self {
        self.unit = Cow::Owned(crate::currency::sign());
        self
    }

    pub(crate) fn picks(mut self, picks: Vec<Pick>) -> Self {
        self.picks = picks;
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_is_read_exactly_or_not_at_all() {
        for (typed, pence) in [
            ("14.60", Some(1460)),
            ("£310", Some(31_000)),
            ("0.05", Some(5)),
            (" 7.00 ", Some(700)),
        ] {
            assert_eq!(read_pence(typed.trim()), pence, "{typed}");
        }
        for bad in [
            "",
            "14.6",
            "14,60",
            "1,240.00",
            "-3.00",
            "1e3",
            "£",
            ".50",
            "3.",
            "12345678.00",
        ] {
            assert_eq!(read_pence(bad), None, "{bad}");
        }
    }

    #[test]
    fn every_fault_is_kept() {
        let mut read = Reader::default();
        read.needed("name", " ", "Give a name.");
        read.day("promised_on", "soon");
        read.money("estimate", "much");
        let faults = read.done(()).unwrap_err();
        assert_eq!(faults.list().len(), 3);
        assert_eq!(faults.of("name"), "Give a name.");
        assert_eq!(faults.of("words"), "");
    }
}
