//! The one place that knows the clock and the calendar.
//!
//! Moments are unix milliseconds, which sort; days are `YYYY-MM-DD`, which sort too.

use std::sync::atomic::{AtomicI64, Ordering};

use chrono::{DateTime, Datelike, Local, NaiveDate, TimeZone, Utc};

/// How far a replay has moved this process's clock, ms.
static SHIFT_MS: AtomicI64 = AtomicI64::new(0);

/// When this process first asked: tells one run of the program from another beside what a phone said.
static BOOT: std::sync::LazyLock<Stamp> = std::sync::LazyLock::new(Stamp::now);

/// When this run of the program began.
#[must_use]
pub fn booted() -> Stamp {
    *BOOT
}

/// This run of the program, as a short text.
pub(crate) fn boot() -> String {
    booted().file_name()
}

/// A moment, in unix milliseconds.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    sqlx::Type,
    serde::Serialize,
    serde::Deserialize,
)]
#[sqlx(transparent)]
#[serde(transparent)]
pub struct Stamp(i64);

impl Stamp {
    /// The moment it is now.
    #[must_use]
    pub fn now() -> Self {
        Self(Self::unshifted().0 + SHIFT_MS.load(Ordering::Relaxed))
    }

    /// The machine's own clock, whatever the replay of a trial has made of it.
    #[must_use]
    pub fn unshifted() -> Self {
        Self(Utc::now().timestamp_millis())
    }

    /// Moves the clock of this process: a trial of two hours is replayed in seconds. The program itself never does.
    pub fn shift_now(by_ms: i64) {
        SHIFT_MS.store(by_ms, Ordering::Relaxed);
    }

    /// A moment from unix milliseconds.
    #[must_use]
    pub const fn from_millis(millis: i64) -> Self {
        Self(millis)
    }

    /// Unix milliseconds.
    #[must_use]
    pub const fn millis(self) -> i64 {
        self.0
    }

    /// This moment and some days on.
    #[must_use]
    pub const fn plus_days(self, days: i64) -> Self {
        Self(self.0 + days * 86_400_000)
    }

    /// This moment and some seconds on.
    #[must_use]
    pub const fn plus_seconds(self, seconds: i64) -> Self {
        Self(self.0 + seconds * 1000)
    }

    /// Whole days from this moment to a later one.
    #[must_use]
    pub const fn days_to(self, later: Self) -> i64 {
        (later.0 - self.0).div_euclid(86_400_000)
    }

    /// Seconds from this moment to a later one, as a decimal text with as few places as it needs.
    #[must_use]
    pub fn seconds_to(self, later: Self) -> String {
        let millis = (later.0 - self.0).max(0);
        let (whole, part) = (millis / 1000, millis % 1000);
        if part == 0 {
            return whole.to_string();
        }
        let text = format!("{whole}.{part:03}");
        text.trim_end_matches('0').to_owned()
    }

    /// The day it is in the workshop.
    #[must_use]
    pub fn day(self) -> Day {
        Day(self.local().format("%Y-%m-%d").to_string())
    }

    /// Day and month in the workshop, `24 Nov`.
    #[must_use]
    pub fn short(self) -> String {
        self.local().format("%-d %b").to_string()
    }

    /// Day, month, year, hour and minute in the workshop, `24 Nov 2026, 10:52`.
    #[must_use]
    pub fn full(self) -> String {
        self.local().format("%-d %b %Y, %H:%M").to_string()
    }

    /// Hour, minute and second in the workshop, `10:52:07`.
    #[must_use]
    pub fn clock(self) -> String {
        self.local().format("%H:%M:%S").to_string()
    }

    /// The workshop's clock less universal time at this moment, ms.
    #[must_use]
    pub fn zone_ms(self) -> i64 {
        i64::from(self.local().offset().local_minus_utc()) * 1000
    }

    /// RFC 3339 with the workshop's offset, `2026-11-24T10:52:07+00:00`.
    #[must_use]
    pub fn rfc3339(self) -> String {
        self.local()
            .to_rfc3339_opts(chrono::SecondsFormat::Secs, false)
    }

    /// A text fit for a file name, `2026-11-24T105207Z`, in universal time.
    #[must_use]
    pub fn file_name(self) -> String {
        self.utc().format("%Y-%m-%dT%H%M%SZ").to_string()
    }

    fn utc(self) -> DateTime<Utc> {
        DateTime::from_timestamp_millis(self.0).unwrap_or_default()
    }

    fn local(self) -> DateTime<Local> {
        self.utc().with_timezone(&Local)
    }
}

/// A calendar day, `2026-11-24`.
#[derive(
    Clone, Debug, PartialEq, Eq, PartialOrd, Ord, sqlx::Type, serde::Serialize, serde::Deserialize,
)]
#[sqlx(transparent)]
#[serde(transparent)]
pub struct Day(String);

impl Day {
    /// Reads a day as a date field sends it, or as it is written here (`3 Nov 2026`).
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let text = text.trim();
        let date = NaiveDate::parse_from_str(text, "%Y-%m-%d")
            .or_else(|_| NaiveDate::parse_from_str(text, "%d %b %Y"))
            .or_else(|_| NaiveDate::parse_from_str(text, "%d.%m.%Y"))
            .or_else(|_| NaiveDate::parse_from_str(text, "%d/%m/%Y"))
            .ok()?;
        (2000..=2199)
            .contains(&date.year())
            .then(|| Self(date.format("%Y-%m-%d").to_string()))
    }

    /// As it is stored, `2026-11-24`.
    #[must_use]
    pub fn iso(&self) -> &str {
        &self.0
    }

    /// Day, month and year, `24 Nov 2026`.
    #[must_use]
    pub fn full(&self) -> String {
        self.shown("%-d %b %Y")
    }

    /// Day and month, `24 Nov`.
    #[must_use]
    pub fn short(&self) -> String {
        self.shown("%-d %b")
    }

    /// The year.
    #[must_use]
    pub fn year(&self) -> i64 {
        self.0.get(..4).and_then(|y| y.parse().ok()).unwrap_or(2000)
    }

    /// This day and some months on; in a shorter month its last day.
    #[must_use]
    pub fn plus_months(&self, months: i64) -> Self {
        let months = chrono::Months::new(u32::try_from(months).unwrap_or(0));
        let later = self.date().and_then(|d| d.checked_add_months(months));
        later.map_or_else(|| self.clone(), |d| Self(d.format("%Y-%m-%d").to_string()))
    }

    /// The day after.
    #[must_use]
    pub fn next(&self) -> Self {
        let next = self.date().and_then(|d| d.succ_opt());
        next.map_or_else(|| self.clone(), |d| Self(d.format("%Y-%m-%d").to_string()))
    }

    /// Days from this day to a later one; under nothing when that is earlier.
    #[must_use]
    pub fn days_to(&self, later: &Self) -> i64 {
        match (self.date(), later.date()) {
            (Some(from), Some(to)) => to.signed_duration_since(from).num_days(),
            _ => 0,
        }
    }

    /// Noon of that day in the workshop.
    #[must_use]
    pub fn noon(&self) -> Stamp {
        self.date()
            .and_then(|d| d.and_hms_opt(12, 0, 0))
            .and_then(|t| Local.from_local_datetime(&t).earliest())
            .map_or(Stamp(0), |t| Stamp(t.timestamp_millis()))
    }

    fn date(&self) -> Option<NaiveDate> {
        NaiveDate::parse_from_str(&self.0, "%Y-%m-%d").ok()
    }

    fn shown(&self, form: &str) -> String {
        self.date()
            .map_or_else(|| self.0.clone(), |d| d.format(form).to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_reads_back_as_it_was_written() {
        let day = Day::read(" 2026-11-03 ").unwrap();
        assert_eq!(
            (day.iso(), day.full().as_str()),
            ("2026-11-03", "3 Nov 2026")
        );
        assert_eq!(Day::read("3 Nov 2026"), Some(day.clone()));
        assert_eq!(Day::read("03/11/2026"), Some(day));
        assert_eq!(Day::read("2026-02-30"), None);
        assert_eq!(Day::read("soon"), None);
    }

    #[test]
    fn months_on_keep_to_the_calendar() {
        let day = |text| Day::read(text).unwrap();
        assert_eq!(day("2024-02-29").plus_months(12), day("2025-02-28"));
        assert_eq!(day("2026-03-02").plus_months(48), day("2030-03-02"));
        assert_eq!(day("2026-12-31").next(), day("2027-01-01"));
        assert_eq!(day("2026-12-31").days_to(&day("2027-03-01")), 60);
        assert_eq!(day("2026-12-31").days_to(&day("2026-12-30")), -1);
    }

    #[test]
    fn seconds_between_moments_keep_milliseconds_and_no_more() {
        let a = Stamp::from_millis(1_000);
        assert_eq!(a.seconds_to(Stamp::from_millis(4_000)), "3");
        assert_eq!(a.seconds_to(Stamp::from_millis(4_250)), "3.25");
        assert_eq!(a.seconds_to(Stamp::from_millis(0)), "0");
    }
}
