//! A trial as one line of a table: its strip and what it came to. Jobs and the bench show these.

use papers::Svg;
use records::Store;
use records::log::Trial;

use super::load::{Judged, address};
use super::sight;
use crate::problem::Problem;

/// One line of a table of trials.
#[derive(Clone, Debug)]
pub(crate) struct TrialLine {
    /// Where it is shown.
    pub address: String,
    /// `26-014/3`.
    pub label: String,
    /// Number within the job.
    pub serial: i64,
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
    /// How many stops stand.
    pub stops: usize,
}

/// The lines of these trials, each judged; withdrawn ones are left out.
pub(crate) async fn lines(store: &Store, trials: Vec<Trial>) -> Result<Vec<TrialLine>, Problem> {
    let mut lines = Vec::new();
    for row in trials.into_iter().filter(|t| t.withdrawn_at.is_none()) {
        lines.push(line(&Judged::of(store, row).await?));
    }
    Ok(lines)
}

fn line(trial: &Judged) -> TrialLine {
    let row = &trial.row;
    let stops = trial
        .judged
        .flags
        .iter()
        .filter(|f| f.stands() && f.severity == calc::trial::Severity::Stop)
        .count();
    let outcome = match row.state.as_str() {
        "closed" => row.verdict.clone().unwrap_or_default(),
        "running" => "running".to_owned(),
        _ => String::new(),
    };
    TrialLine {
        address: address(row.id),
        label: row.label(),
        serial: row.serial,
        plant: row.plant.clone(),
        kind: row.kind.replace('-', " "),
        when: row.started_at.unwrap_or(row.made_at).full(),
        question: row.question.clone(),
        under: under(trial),
        state: row.state.clone(),
        outcome,
        strip: papers::strip::trial(&sight::plot(trial)),
        stops,
    }
}

fn under(trial: &Judged) -> String {
    let row = &trial.row;
    if row.state == "closed" {
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
        return format!("{answer}{why}");
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

/// The trial that is running now, as the bench shows it.
pub(crate) struct RunningNow {
    /// Its line.
    pub line: TrialLine,
    /// The chart.
    pub chart: Svg,
    /// The runway at the least: a figure, or words.
    pub runway: String,
    /// Unit of the figure.
    pub runway_unit: &'static str,
    /// What the next look is: label and figure, where one is due.
    pub next: Option<(String, String)>,
    /// Is that look late?
    pub late: bool,
    /// Stops that stand.
    pub stops: Vec<String>,
    /// Cautions that stand.
    pub cautions: Vec<String>,
    /// The page of the chart alone.
    pub watch: String,
}

/// Every trial that is running, for the bench.
pub(crate) async fn running(store: &Store) -> Result<Vec<RunningNow>, Problem> {
    let mut all = Vec::new();
    for row in records::log::running(store).await? {
        let trial = Judged::of(store, row).await?;
        let sight = sight::Sight::of(&trial);
        let standing = |mark: &str| {
            sight
                .flags
                .iter()
                .filter(|f| f.stands && f.mark == mark)
                .map(|f| f.about.clone())
                .collect()
        };
        all.push(RunningNow {
            line: line(&trial),
            runway: sight.runway.clone(),
            runway_unit: sight.runway_unit,
            late: sight.next.as_ref().is_some_and(|n| n.late),
            next: sight
                .next
                .as_ref()
                .map(|n| (n.label.to_owned(), n.figure.clone())),
            stops: standing("stop"),
            cautions: standing("caution"),
            watch: format!("{}/watch", trial.address()),
            chart: sight.chart,
        });
    }
    Ok(all)
}
