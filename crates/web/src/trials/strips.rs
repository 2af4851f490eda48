//! A trial as one line of a table: its strip and what it came to. Jobs and the bench show these.

use papers::Svg;
use records::Store;
use records::log::{self, Trial};

use super::judged_once::{self, Seen};
use super::load::{Judged, address};
use super::sight;
use crate::problem::Problem;

/// How far back standing stops are looked for.
const RECENT: i64 = 60;

/// One line of a table of trials.
#[derive(Clone, Debug)]
pub(crate) struct TrialLine {
    /// Where it is shown.
    pub address: String,
    /// `26-014/3`.
    pub label: String,
    /// The plant.
    pub plant: String,
    /// `steam`, `feed pump` …
    pub kind: String,
    /// When: the day, or when it was begun.
    pub when: String,
    /// What it is to answer.
    pub question: String,
    /// A second line: flags that stand, or the answer and the first reason.
    pub under: String,
    /// `prepared`, `running`, `closed`.
    pub state: String,
    /// `pass`, `fail`, `not-proven`, or `running`, or empty before the start.
    pub outcome: String,
    /// The strip.
    pub strip: Svg,
}

/// The lines of these trials, each judged; withdrawn ones say so.
pub(crate) async fn lines(store: &Store, trials: Vec<Trial>) -> Result<Vec<TrialLine>, Problem> {
    let mut lines = Vec::new();
    for row in trials {
        if row.state == "closed" {
            let seen = judged_once::sealed(store, &row).await?;
            lines.push(line_of(&row, under_sealed(&row), seen.strip.clone()));
        } else {
            lines.push(line(&Judged::of(store, row).await?));
        }
    }
    Ok(lines)
}

fn line(trial: &Judged) -> TrialLine {
    let strip = papers::strip::trial(&sight::plot(trial));
    line_of(&trial.row, under(trial), strip)
}

fn line_of(row: &Trial, under: String, strip: Svg) -> TrialLine {
    let outcome = match row.state.as_str() {
        "closed" => row.verdict.clone().unwrap_or_default(),
        "running" => "running".to_owned(),
        _ => String::new(),
    };
    TrialLine {
        address: address(row.id),
        label: row.label(),
        plant: row.plant.clone(),
        kind: row.kind.replace('-', " "),
        when: row.started_at.unwrap_or(row.made_at).full(),
        question: row.question.clone(),
        under,
        state: if row.withdrawn_at.is_some() {
            "withdrawn".to_owned()
        } else {
            row.state.clone()
        },
        outcome,
        strip,
    }
}

fn under(trial: &Judged) -> String {
    let row = &trial.row;
    if row.state == "closed" {
        return under_sealed(row);
    }
    let standing: Vec<String> = trial
        .judged
        .standing()
        .iter()
        .filter(|f| f.severity != calc::trial::Severity::Note)
        .map(|f| {
            format!(
                "{}: {}",
                f.severity.word(),
                super::orders::about(f.rule.name()).to_lowercase()
            )
        })
        .collect();
    match (row.state.as_str(), standing.is_empty()) {
        ("prepared", _) => "prepared, nothing entered yet".to_owned(),
        (_, true) => "no flag stands".to_owned(),
        (_, false) => standing.join("; "),
    }
}

/// The answer and the first reason of a sealed record.
fn under_sealed(row: &Trial) -> String {
    let answer = row.answer.as_deref().map_or_else(String::new, |a| {
        format!("answer: {}; ", a.replace('-', " "))
    });
    let why = row
        .because
        .as_deref()
        .unwrap_or("")
        .lines()
        .next()
        .unwrap_or("");
    format!("{answer}{why}")
}

/// The trial that is running now, as the bench shows it.
pub(crate) struct RunningNow {
    /// Its line.
    pub line: TrialLine,
    /// The chart.
    pub chart: Svg,
    /// The runway at the least: a figure, or words.
    pub runway: String,
    /// Unit of the figure; empty for words.
    pub runway_unit: &'static str,
    /// What the next look is: label and figure; empty when none is due.
    pub next_label: &'static str,
    /// The figure of the next look.
    pub next: String,
    /// Is that look late?
    pub late: bool,
    /// Stops that stand, in words.
    pub stops: Vec<String>,
    /// Cautions that stand, in words.
    pub cautions: Vec<String>,
    /// The page of the chart alone.
    pub watch: String,
    /// Phones that have held entries for over an hour without a word, in words.
    pub silent_phones: Vec<String>,
}

/// Every trial that is running, for the bench.
pub(crate) async fn running(store: &Store) -> Result<Vec<RunningNow>, Problem> {
    let mut all = Vec::new();
    for row in log::running(store).await? {
        let trial = Judged::of(store, row).await?;
        let sight = sight::Sight::of(&trial);
        let standing = |mark: &str| {
            let mine = sight.flags.iter().filter(|f| f.stands && f.mark == mark);
            mine.map(|f| f.about.clone()).collect()
        };
        all.push(RunningNow {
            line: line(&trial),
            runway: sight.runway.clone(),
            runway_unit: sight.runway_unit,
            late: sight.next.as_ref().is_some_and(|n| n.late),
            next_label: sight.next.as_ref().map_or("", |n| n.label),
            next: sight
                .next
                .as_ref()
                .map_or_else(String::new, |n| n.figure.clone()),
            stops: standing("stop"),
            cautions: standing("caution"),
            watch: format!("{}/watch", trial.address()),
            silent_phones: super::phone::holding_long(store, trial.row.id).await?,
            chart: sight.chart,
        });
    }
    Ok(all)
}

/// A stop that stands.
pub(crate) struct StopLine {
    /// The trial's address.
    pub address: String,
    /// `26-014/3`.
    pub label: String,
    /// Name of the plant.
    pub plant: String,
    /// What the flag says.
    pub says: String,
    /// What to do.
    pub todo: String,
}

/// Every stop that stands in a running trial, and every one that stood when the last trial of a plant was sealed.
pub(crate) async fn standing_stops(store: &Store) -> Result<Vec<StopLine>, Problem> {
    let mut rows = log::of_open_jobs(store).await?;
    for row in log::before(store, None, RECENT).await? {
        if !rows.iter().any(|known| known.id == row.id) {
            rows.push(row);
        }
    }
    rows.sort_by_key(|row| std::cmp::Reverse(row.id));
    let (mut seen_plants, mut all) = (Vec::new(), Vec::new());
    for row in rows {
        // The newest first: an older sealed record of the same plant has been overtaken.
        let overtaken = seen_plants.contains(&row.plant);
        if row.state == "prepared" || (row.state == "closed" && overtaken) {
            continue;
        }
        seen_plants.push(row.plant.clone());
        let stops = if row.state == "closed" {
            judged_once::sealed(store, &row).await?.stops.clone()
        } else {
            Seen::of(&Judged::of(store, row.clone()).await?).stops
        };
        all.extend(stops.into_iter().map(|(says, todo)| StopLine {
            address: address(row.id),
            label: row.label(),
            plant: row.plant.clone(),
            says,
            todo,
        }));
    }
    Ok(all)
}
