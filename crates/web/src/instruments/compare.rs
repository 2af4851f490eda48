//! Two gauges side by side: what they showed, up and down, and so how wrong one of them is.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::{Html, Response};
use calc::show::{fixed, significant};
use calc::side_by_side::{Compared, Point, SideBySide, side_by_side};
use calc::uncertainty::PressureGauge;
use records::change::Subject;
use records::instruments::{self, Comparison, Gauges, Instrument, NewComparison, ReadAt};
use records::{ComparisonId, InstrumentId, Stamp};
use serde::Deserialize;

use crate::changes::Changes;
use crate::desk::Desk;
use crate::form::{Faults, Posted, Reader};
use crate::layout::Layout;
use crate::problem::{Problem, page, refused, see};
use crate::trials::decimal;
use crate::trials::typed::Typed;

/// How many rows the form has.
const ROWS: usize = 10;

/// The test gauge that was chosen.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct Against {
    against: String,
}

#[derive(Template)]
#[template(path = "instruments/compare.html")]
struct CompareForm {
    layout: Layout,
    gauge: Instrument,
    test: Instrument,
    known: String,
    test_known: String,
    rows: Vec<[(String, String); 3]>,
    on_day: String,
    note: String,
    faults: Faults,
    key: String,
}

async fn both(desk: &Desk, id: i64, against: &str) -> Result<(Instrument, Instrument), Problem> {
    let gauge = instruments::find(desk.store(), InstrumentId::new(id)).await?;
    let test: i64 = against.trim().parse().map_err(|_| {
        Problem::Unreadable("choose the test gauge that it is held against".to_owned())
    })?;
    let test = instruments::find(desk.store(), InstrumentId::new(test)).await?;
    let gauges = gauge.kind == "pressure gauge" && test.kind == "pressure gauge";
    if !gauges || gauge.id == test.id {
        return Err(Problem::Unreadable(
            "two different pressure gauges are held side by side".to_owned(),
        ));
    }
    Ok((gauge, test))
}

async fn form_page(
    desk: &Desk,
    (gauge, test): (Instrument, Instrument),
    form: &Typed,
) -> Result<CompareForm, Problem> {
    let rows = (1..=ROWS).map(|n| {
        ["test", "up", "down"].map(|word| {
            let name = format!("{word}-{n}");
            let typed = form.get(&name).to_owned();
            (name, typed)
        })
    });
    Ok(CompareForm {
        layout: desk
            .layout(&format!("{} beside {}", gauge.mark, test.mark), "trials")
            .await?,
        known: super::known(&gauge),
        test_known: super::known(&test),
        rows: rows.collect(),
        on_day: form.get("on_day").to_owned(),
        note: form.get("note").to_owned(),
        faults: Faults::default(),
        key: records::fresh_key(),
        gauge,
        test,
    })
}

pub(super) async fn ask(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    Query(query): Query<Against>,
) -> Result<Html<String>, Problem> {
    let gauges = both(&desk, id, &query.against).await?;
    page(&form_page(&desk, gauges, &Typed::default()).await?)
}

/// Every row that has something in it, each figure canonical, every fault beside its box.
fn read(form: &Typed) -> Result<NewComparison, Faults> {
    let mut reader = Reader::default();
    let on_day = reader.day("on_day", form.get("on_day"));
    let note = reader.words("note", form.get("note"));
    let mut points = Vec::new();
    for n in 1..=ROWS {
        let [test, up, down] = ["test", "up", "down"].map(|word| {
            let name = format!("{word}-{n}");
            let typed = form.get(&name);
            if typed.is_empty() {
                return String::new();
            }
            decimal::read_positive(typed).unwrap_or_else(|says| {
                reader.fault(&name, says);
                String::new()
            })
        });
        match (test.is_empty(), up.is_empty()) {
            (false, false) => points.push(ReadAt { test, up, down }),
            (true, true) if down.is_empty() => {}
            (true, _) if form.get(&format!("test-{n}")).is_empty() => {
                reader.fault(&format!("test-{n}"), "Say what the test gauge showed.");
            }
            (false, true) if form.get(&format!("up-{n}")).is_empty() => {
                reader.fault(&format!("up-{n}"), "Say what the gauge showed, going up.");
            }
            _ => {}
        }
    }
    reader.done(NewComparison {
        on_day: on_day.unwrap_or_else(|| Stamp::now().day()),
        points,
        note,
    })
}

pub(super) async fn keep(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    Query(query): Query<Against>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let gauges = both(&desk, id, &query.against).await?;
    let then = Gauges::of(&gauges.0, &gauges.1);
    let read = read(&posted.form).and_then(|new| {
        reckon(&then, &new.points).map_err(|(field, says)| {
            let mut faults = Faults::default();
            faults.add(field, says);
            faults
        })?;
        Ok(new)
    });
    let new = match read {
        Ok(new) => new,
        Err(faults) => {
            let mut again = form_page(&desk, gauges, &posted.form).await?;
            (again.faults, again.key) = (faults, posted.key);
            return refused(&again);
        }
    };
    let ids = (gauges.0.id, gauges.1.id);
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                let id = instruments::compare(w, ids, &then, &new).await?;
                Ok(format!("/comparisons/{id}"))
            })
        })
        .await?;
    Ok(see(&to))
}

/// What the readings say, or the box to look at and what is wrong.
fn reckon(gauges: &Gauges, points: &[ReadAt]) -> Result<Compared, (&'static str, String)> {
    let figure = |text: &str, what: &str| {
        text.parse::<f64>().map_err(|_| {
            (
                "test-1",
                format!("{what} is not known: write it down with the gauge first."),
            )
        })
    };
    let asked = SideBySide {
        test: PressureGauge {
            class_pct: figure(&gauges.test_class, "The test gauge's class")?,
            span_bar: figure(&gauges.test_span, "The test gauge's full scale")?,
            resolution_bar: figure(&gauges.test_step, "The test gauge's smallest step")?,
        },
        span_bar: figure(&gauges.span, "The gauge's full scale")?,
        resolution_bar: figure(&gauges.step, "The gauge's smallest step")?,
        class_pct: gauges.class.parse().ok(),
        points: points
            .iter()
            .map(|p| {
                Ok(Point {
                    test_bar: figure(&p.test, "A reading")?,
                    up_bar: figure(&p.up, "A reading")?,
                    down_bar: p.down.parse().ok(),
                })
            })
            .collect::<Result<_, _>>()?,
    };
    side_by_side(&asked).map_err(|e| ("test-1", format!("{e}.")))
}

/// Error and uncertainty of the worst pressure: `+0.04 ± 0.09 bar at 3.00 bar`.
fn worst_in_words(compared: &Compared) -> String {
    let (error, plus_minus) = rounded(compared.worst.error_bar, compared.worst.plus_minus_bar);
    format!(
        "{error} ± {plus_minus} bar at {} bar",
        fixed(compared.worst.test_bar, 2)
    )
}

/// An error with its sign, rounded to the place of its uncertainty, which keeps two figures.
fn rounded(error: f64, plus_minus: f64) -> (String, String) {
    let shown = significant(plus_minus, 2);
    let places = shown.split_once('.').map_or(0, |(_, part)| part.len());
    let size = fixed(error.abs(), places);
    let nothing = size.chars().all(|c| matches!(c, '0' | '.'));
    let sign = match error {
        _ if nothing => "",
        e if e < 0.0 => "−",
        _ => "+",
    };
    (format!("{sign}{size}"), shown)
}

/// What a comparison came to, in one line.
pub(super) fn in_words(comparison: &Comparison) -> String {
    match reckon(&comparison.as_they_were(), &comparison.read_at()) {
        Ok(compared) => format!(
            "{}, {}",
            worst_in_words(&compared),
            compared.finding.word().replace('_', " ")
        ),
        Err((_, says)) => says,
    }
}

/// What is known of a gauge's error from its newest comparison, for whoever is about to use it.
pub(crate) async fn error_in_words(desk: &Desk, gauge: InstrumentId) -> Result<String, Problem> {
    let newest = instruments::newest_comparison(desk.store(), gauge).await?;
    Ok(newest.map_or_else(String::new, |c| {
        format!(
            "beside {} {}: {}",
            c.as_they_were().test_mark,
            c.on_day.full(),
            in_words(&c)
        )
    }))
}

/// One pressure as it is shown.
struct Row {
    read: ReadAt,
    error: String,
    plus_minus: String,
    hysteresis: String,
    outcome: String,
}

#[derive(Template)]
#[template(path = "instruments/comparison.html")]
struct Shown {
    layout: Layout,
    gauge: Instrument,
    comparison: Comparison,
    then: Gauges,
    rows: Vec<Row>,
    worst: String,
    allowed: String,
    outcome: String,
    says: Vec<String>,
    withdraw_key: String,
    changes: Changes,
}

fn rows(read: Vec<ReadAt>, compared: &Compared) -> Vec<Row> {
    let each = read.into_iter().zip(&compared.points);
    each.map(|(read, point)| {
        let (error, plus_minus) = rounded(point.error_bar, point.plus_minus_bar);
        Row {
            error,
            plus_minus,
            hysteresis: point
                .hysteresis_bar
                .map_or_else(|| "not read".to_owned(), |h| fixed(h, 3)),
            outcome: point.finding.word().replace('_', "-"),
            read,
        }
    })
    .collect()
}

pub(super) async fn show(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Html<String>, Problem> {
    let comparison = instruments::comparison(desk.store(), ComparisonId::new(id)).await?;
    let gauge = instruments::find(desk.store(), comparison.instrument_id).await?;
    let (then, read) = (comparison.as_they_were(), comparison.read_at());
    let at = format!("/comparisons/{id}");
    let compared = reckon(&then, &read).map_err(|(_, says)| Problem::Unreadable(says))?;
    let mut says: Vec<String> = compared.says.iter().map(|s| (*s).to_owned()).collect();
    if !then.test_due.is_empty() && then.test_due.as_str() < comparison.on_day.iso() {
        says.push(format!(
            "The test gauge itself was due on {}.",
            then.test_due
        ));
    }
    page(&Shown {
        layout: desk
            .layout(
                &format!("{} beside {}", gauge.mark, then.test_mark),
                "trials",
            )
            .await?,
        rows: rows(read, &compared),
        changes: crate::changes::of(&desk, Subject::Comparison, id, at).await?,
        worst: worst_in_words(&compared),
        allowed: compared
            .allowed_bar
            .map_or_else(String::new, |a| fixed(a, 3)),
        outcome: compared.finding.word().replace('_', "-"),
        says,
        withdraw_key: records::fresh_key(),
        gauge,
        then,
        comparison,
    })
}
