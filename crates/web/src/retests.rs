//! Re-tests: what is due of every plant, by which rule, and the way to the calendar.

use askama::Template;
use axum::Router;
use axum::extract::{Query, State};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use papers::Svg;
use papers::ruler::{Ruler, ruler};
use records::change::Subject;
use records::retests::{self, Due, Rule};
use records::{Day, Stamp, appointments, shares};
use serde::Deserialize;

use crate::changes::Changes;
use crate::desk::Desk;
use crate::form::{Faults, Posted, Reader};
use crate::layout::Layout;
use crate::paging::{LINES, Paging, asked};
use crate::problem::{Problem, page, refused, see};

/// So many stand on the bench, and so long, in days, after they were due.
const ON_BENCH: i64 = 12;
const OVERDUE_ON_BENCH: i64 = 180;
/// The list begins with what has been overdue for so many days.
const OVERDUE_DAYS: i64 = 365;
/// Before anything was due.
const LONG_AGO: &str = "2000-01-01";

/// Every address that is about re-tests.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/retests", get(list))
        .route("/retests/rule", post(keep_rule))
        .route("/retests/calendar", post(make_key))
        .route("/retests/calendar/end", post(end_key))
}

/// A test that is due, as one line.
pub(crate) struct DueLine {
    /// What is due.
    pub due: Due,
    /// How long until then, in words.
    pub in_words: String,
    /// Whether the day is past.
    pub overdue: bool,
    /// Whether it stands on the bench by now.
    pub near: bool,
}

impl DueLine {
    pub(crate) fn of(due: Due, today: &Day, rule: &Rule) -> Self {
        let days = today.days_to(&due.on);
        Self {
            in_words: match days {
                d if d < 0 => format!("overdue by {} d", -d),
                0 => "today".to_owned(),
                d => format!("in {d} d"),
            },
            overdue: days < 0,
            near: days <= rule.ahead_days,
            due,
        }
    }
}

/// What the bench shows of re-tests: what is due of the plants that are here, then of others what is near or has been
/// overdue for less than half a year, so many at most.
pub(crate) async fn near(desk: &Desk) -> Result<Vec<DueLine>, Problem> {
    let (store, now) = (desk.store(), Stamp::now());
    let rule = retests::rule(store).await?;
    let (today, until) = (now.day(), now.plus_days(rule.ahead_days).day());
    let mut near = retests::here(store, &until).await?;
    let from = now.plus_days(-OVERDUE_ON_BENCH).day();
    let others = retests::from(store, &from, None, ON_BENCH).await?;
    for due in others.into_iter().filter(|d| d.on <= until) {
        if !near.iter().any(|known| known.id == due.id) {
            near.push(due);
        }
    }
    let line = |due| DueLine::of(due, &today, &rule);
    Ok(near.into_iter().map(line).collect())
}

async fn lines(
    desk: &Desk,
    from: &Day,
    behind: Option<i64>,
    at_most: i64,
) -> Result<Vec<DueLine>, Problem> {
    let (today, rule) = (Stamp::now().day(), retests::rule(desk.store()).await?);
    let all = retests::from(desk.store(), from, behind, at_most).await?;
    Ok(all
        .into_iter()
        .map(|d| DueLine::of(d, &today, &rule))
        .collect())
}

/// What is due by its number in the list, on a rule of the months from this one on.
fn on_a_rule(lines: &[DueLine], today: &Day) -> Svg {
    let days = |day: &Day| i32::try_from(today.days_to(day)).unwrap_or(i32::MAX);
    let first = Day::read(&format!("{}-01", today.iso().get(..7).unwrap_or("")));
    let months = first
        .into_iter()
        .flat_map(|first| (0..14).map(move |n| first.plus_months(n)));
    ruler(&Ruler {
        months: months
            .map(|day| (days(&day), day.short().trim_start_matches("1 ").to_owned()))
            .collect(),
        dues: lines
            .iter()
            .enumerate()
            .map(|(n, l)| (n + 1, days(&l.due.on)))
            .collect(),
    })
}

/// Where the list begins: at a day, behind a row of that day.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Begin {
    day: String,
    behind: Option<i64>,
}

/// The rule as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct RuleForm {
    copper_months: String,
    other_months: String,
    steam_months: String,
    ahead_days: String,
}

impl RuleForm {
    fn of(rule: &Rule) -> Self {
        Self {
            copper_months: rule.copper_months.to_string(),
            other_months: rule.other_months.to_string(),
            steam_months: rule.steam_months.to_string(),
            ahead_days: rule.ahead_days.to_string(),
        }
    }

    fn read(&self) -> Result<Rule, Faults> {
        let mut read = Reader::default();
        let mut months = |field: &str, typed: &str| read.whole(field, typed, 1, 240, "the months");
        let rule = Rule {
            copper_months: months("copper_months", &self.copper_months),
            other_months: months("other_months", &self.other_months),
            steam_months: months("steam_months", &self.steam_months),
            ahead_days: read.whole("ahead_days", &self.ahead_days, 0, 730, "the days"),
        };
        read.done(rule)
    }
}

#[derive(Template)]
#[template(path = "retests/list.html")]
struct Retests {
    layout: Layout,
    paging: Paging,
    lines: Vec<DueLine>,
    /// The same on a rule of months.
    rule: Svg,
    form: RuleForm,
    faults: Faults,
    key: String,
    changes: Changes,
    calendar_since: Option<Stamp>,
    fresh_link: Option<String>,
    calendar_key: String,
    end_key: String,
}

/// The lines of a page: all of them where they fit on one; otherwise, unless asked, from those overdue for a year.
async fn listed(desk: &Desk, begin: &Begin) -> Result<(Vec<DueLine>, Paging), Problem> {
    let usual = Stamp::now().plus_days(-OVERDUE_DAYS).day();
    let (day, first) = (Day::read(&begin.day), Day::read(LONG_AGO));
    let from = day.as_ref().or(first.as_ref()).unwrap_or(&usual);
    let mut all = lines(desk, from, begin.behind, asked(LINES)).await?;
    let whole = day.is_none() && all.len() <= LINES;
    if day.is_none() && !whole {
        all = lines(desk, &usual, None, asked(LINES)).await?;
    }
    let on = |l: &DueLine| format!("/retests?day={}&behind={}", l.due.on.iso(), l.due.id);
    let mut paging = Paging::cut(&mut all, LINES, "Later ones", on);
    paging.start = match day {
        _ if whole => None,
        None => Some((
            format!("/retests?day={LONG_AGO}"),
            "From the longest overdue",
        )),
        Some(_) => Some(("/retests".to_owned(), "What is near")),
    };
    Ok((all, paging))
}

async fn retests_page(
    desk: &Desk,
    form: Option<RuleForm>,
    begin: &Begin,
) -> Result<Retests, Problem> {
    let form = match form {
        Some(typed) => typed,
        None => RuleForm::of(&retests::rule(desk.store()).await?),
    };
    let (lines, paging) = listed(desk, begin).await?;
    Ok(Retests {
        layout: desk.layout("Re-tests", "plants").await?,
        rule: on_a_rule(&lines, &Stamp::now().day()),
        paging,
        lines,
        form,
        faults: Faults::default(),
        key: records::fresh_key(),
        calendar_since: appointments::calendar_key_since(desk.store()).await?,
        fresh_link: None,
        calendar_key: records::fresh_key(),
        end_key: records::fresh_key(),
        changes: crate::changes::of(desk, Subject::RetestRule, 1, "/retests".to_owned()).await?,
    })
}

async fn list(
    State(desk): State<Desk>,
    Query(begin): Query<Begin>,
) -> Result<Html<String>, Problem> {
    page(&retests_page(&desk, None, &begin).await?)
}

async fn keep_rule(
    State(desk): State<Desk>,
    posted: Posted<RuleForm>,
) -> Result<Response, Problem> {
    let rule = match posted.form.read() {
        Ok(rule) => rule,
        Err(faults) => {
            let mut again = retests_page(&desk, Some(posted.form), &Begin::default()).await?;
            (again.faults, again.key) = (faults, posted.key);
            return refused(&again);
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                retests::set_rule(w, &rule).await?;
                Ok("/retests".to_owned())
            })
        })
        .await?;
    Ok(see(&to))
}

#[derive(Debug, Default, Deserialize)]
struct Nothing {}

/// Makes the calendar's private address, and shows it this once: only its hash is kept.
async fn make_key(State(desk): State<Desk>, posted: Posted<Nothing>) -> Result<Response, Problem> {
    let token = shares::fresh_token();
    let kept = token.clone();
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                appointments::set_calendar_key(w, &kept).await?;
                Ok("/retests#calendar".to_owned())
            })
        })
        .await?;
    if !appointments::is_calendar_key(desk.store(), &token).await? {
        // The form came a second time: its address was shown the first time, and only then.
        return Ok(see(&to));
    }
    let mut made = retests_page(&desk, None, &Begin::default()).await?;
    made.fresh_link = Some(format!("/calendar/{token}"));
    Ok(page(&made)?.into_response())
}

async fn end_key(State(desk): State<Desk>, posted: Posted<Nothing>) -> Result<Response, Problem> {
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                appointments::drop_calendar_key(w).await?;
                Ok("/retests#calendar".to_owned())
            })
        })
        .await?;
    Ok(see(&to))
}
