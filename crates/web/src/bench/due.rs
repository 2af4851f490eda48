//! What has come round: defects that were put off and are back or wait for the next sitting, customers
//! who heard nothing for long, and days that were promised.

use records::defects::{self, Defect};
use records::jobs::Job;
use records::owed::{self, Heard};
use records::workshop::{self, BenchDays};
use records::{Day, Stamp, Store};

use crate::problem::Problem;

/// So many lines stand open; the rest are folded under them.
const SHOWN: usize = 6;

/// A defect that was put off.
pub(super) struct PutOff {
    pub(super) id: i64,
    pub(super) number: String,
    pub(super) plant: String,
    pub(super) serial: i64,
    pub(super) what: String,
    pub(super) bar: String,
    /// What it was put off to, and why.
    pub(super) says: String,
}

/// A job that something is owed on.
pub(super) struct Owed {
    pub(super) number: String,
    pub(super) plant: String,
    pub(super) says: String,
    pub(super) late: bool,
}

/// Lines that stand open, and those that are folded.
pub(super) struct Lines<T> {
    pub(super) open: Vec<T>,
    pub(super) folded: Vec<T>,
}

impl<T> Lines<T> {
    fn of(mut all: Vec<T>) -> Self {
        // One line is not worth a fold.
        let at = if all.len() <= SHOWN + 1 {
            all.len()
        } else {
            SHOWN
        };
        let folded = all.split_off(at);
        Self { open: all, folded }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.open.is_empty()
    }
}

/// Everything that has come round.
pub(super) struct Due {
    pub(super) back: Lines<PutOff>,
    pub(super) next_sitting: Lines<PutOff>,
    pub(super) news: Lines<Owed>,
    pub(super) promised: Lines<Owed>,
    pub(super) news_days: i64,
}

impl Due {
    /// Is there anything to be shown?
    pub(super) fn is_empty(&self) -> bool {
        self.back.is_empty()
            && self.next_sitting.is_empty()
            && self.news.is_empty()
            && self.promised.is_empty()
    }
}

pub(super) async fn find(store: &Store, open: &[Job], now: Stamp) -> Result<Due, Problem> {
    let today = now.day();
    let deferred = defects::deferred(store).await?;
    let (back, waiting): (Vec<Defect>, Vec<Defect>) =
        deferred.into_iter().partition(|d| d.has_come_back(&today));
    let heard = owed::heard(store).await?;
    let days = workshop::bench_days(store).await?;
    let silent = heard
        .iter()
        .filter(|h| h.since().days_to(now) >= days.news_days);
    Ok(Due {
        back: Lines::of(back.iter().map(put_off).collect()),
        next_sitting: Lines::of(
            waiting
                .iter()
                .filter(|d| d.deferred_until == "sitting")
                .map(put_off)
                .collect(),
        ),
        news: Lines::of(silent.map(|h| news(h, now, days)).collect()),
        promised: Lines::of(promised(open, &today, now, days)),
        news_days: days.news_days,
    })
}

fn put_off(d: &Defect) -> PutOff {
    PutOff {
        id: d.id.get(),
        number: d.job_number(),
        plant: d.plant.clone(),
        serial: d.serial,
        what: d.what.clone(),
        bar: d.bar.clone(),
        says: format!("put off to {}, because {}", d.put_off_to(), d.deferred_why),
    }
}

fn news(h: &Heard, now: Stamp, rule: BenchDays) -> Owed {
    let days = h.since().days_to(now);
    let said = match h.last_said {
        Some(at) => format!("last news {}", at.short()),
        None => "nothing yet".to_owned(),
    };
    Owed {
        number: h.job_number(),
        plant: h.plant.clone(),
        says: format!("{} has heard nothing for {days} d, {said}", h.customer),
        late: days >= 2 * rule.news_days,
    }
}

/// Jobs that were promised for a day that is near or gone, the first first.
fn promised(open: &[Job], today: &Day, now: Stamp, rule: BenchDays) -> Vec<Owed> {
    let soon = now.plus_days(rule.promise_days).day();
    let mut due: Vec<(&Day, &Job)> = open
        .iter()
        .filter_map(|j| Some((j.promised_on.as_ref()?, j)))
        .filter(|(day, _)| **day <= soon)
        .collect();
    due.sort_by(|a, b| a.0.cmp(b.0));
    due.into_iter()
        .map(|(day, job)| {
            let late = day < today;
            let when = match day.noon().days_to(now.day().noon()) {
                0 => "today".to_owned(),
                d if d > 0 => format!("{d} d over"),
                d => format!("in {} d", -d),
            };
            Owed {
                number: job.number(),
                plant: job.plant.clone(),
                says: format!(
                    "promised for {}, {when}; it stands: {}",
                    day.short(),
                    job.stands()
                ),
                late,
            }
        })
        .collect()
}
