//! Re-tests: what is due of every plant, by which rule, and the way to the calendar.

use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use papers::Svg;
use papers::ruler::{Ruler, ruler};
use records::change::{Change, Subject};
use records::retests::{self, Due, Rule};
use records::{Day, Stamp, appointments, shares};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Posted, Reader};
use crate::layout::Layout;
use crate::problem::{Problem, page, refused, see};

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

/// What is due soon enough to stand on the bench, and what is overdue.
pub(crate) async fn near(desk: &Desk) -> Result<Vec<DueLine>, Problem> {
    let mut all = lines(desk).await?;
    all.retain(|l| l.near);
    Ok(all)
}

async fn lines(desk: &Desk) -> Result<Vec<DueLine>, Problem> {
    let (today, rule) = (Stamp::now().day(), retests::rule(desk.store()).await?);
    let all = retests::all(desk.store()).await?;
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
    lines: Vec<DueLine>,
    /// The same on a rule of months.
    rule: Svg,
    form: RuleForm,
    faults: Faults,
    key: String,
    changes: Vec<Change>,
    calendar_since: Option<Stamp>,
    fresh_link: Option<String>,
    calendar_key: String,
    end_key: String,
}

async fn retests_page(desk: &Desk, form: Option<RuleForm>) -> Result<Retests, Problem> {
    let form = match form {
        Some(typed) => typed,
        None => RuleForm::of(&retests::rule(desk.store()).await?),
    };
    let lines = lines(desk).await?;
    Ok(Retests {
        layout: desk.layout("Re-tests", "plants").await?,
        rule: on_a_rule(&lines, &Stamp::now().day()),
        lines,
        form,
        faults: Faults::default(),
        key: records::fresh_key(),
        calendar_since: appointments::calendar_key_since(desk.store()).await?,
        fresh_link: None,
        calendar_key: records::fresh_key(),
        end_key: records::fresh_key(),
        changes: crate::changes::of(desk, Subject::RetestRule, 1).await?,
    })
}

async fn list(State(desk): State<Desk>) -> Result<Html<String>, Problem> {
    page(&retests_page(&desk, None).await?)
}

async fn keep_rule(
    State(desk): State<Desk>,
    posted: Posted<RuleForm>,
) -> Result<Response, Problem> {
    let rule = match posted.form.read() {
        Ok(rule) => rule,
        Err(faults) => {
            let mut again = retests_page(&desk, Some(posted.form)).await?;
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
    let mut made = retests_page(&desk, None).await?;
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
