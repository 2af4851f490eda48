//! Readings that were scribbled on paper, entered afterwards with the times as they were written: marked *from paper*,
//! judged as late entries.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use records::log;
use records::{Error, Stamp, TrialId, fresh_key};

use super::entries::place_in;
use super::entry_form;
use super::events::{self, Key};
use super::load::Judged;
use super::off_picture::{self, ToReadOff};
use super::own_entry;
use super::run::{Head, layout};
use super::typed::Typed;
use super::when::{When, moment};
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::layout::Layout;
use crate::problem::{Problem, page, see};

/// Lines on the sheet.
const LINES: usize = 8;
/// The boxes of a line: what is typed, its head, its width in letters.
const BOXES: [(&str, &str); 4] = [
    ("time", "time"),
    ("pressure_bar", "bar"),
    ("level", "water, mm"),
    ("co_ppm", "CO, ppm"),
];

struct Cell {
    name: String,
    head: &'static str,
    value: String,
    fault: bool,
}

struct LineShown {
    n: usize,
    cells: Vec<Cell>,
    event_name: String,
    event: String,
    note_name: String,
    note: String,
}

#[derive(Template)]
#[template(path = "trials/paper.html")]
struct Sheet {
    layout: Layout,
    head: Head,
    lines: Vec<LineShown>,
    events: Vec<Key>,
    pictures: Vec<ToReadOff>,
    faults: Faults,
    key: String,
}

/// The time that the first line begins with.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct At {
    at: String,
}

/// The empty sheet.
pub(super) async fn ask(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    Query(asked): Query<At>,
) -> Result<Response, Problem> {
    let trial = Judged::load(desk.store(), TrialId::new(id)).await?;
    if trial.row.state == "closed" {
        return Ok(see(&format!("{}/record", trial.address())));
    }
    let begun = Typed::new(vec![("time-1".to_owned(), asked.at)]);
    sheet(&desk, &trial, &begun, Faults::default()).await
}

async fn sheet(
    desk: &Desk,
    trial: &Judged,
    form: &Typed,
    faults: Faults,
) -> Result<Response, Problem> {
    let mut events: Vec<Key> = vec![
        ("fire-lit", "Fire lit"),
        ("fire-out", "Fire out"),
        ("feed-on", "Feed on"),
        ("feed-off", "Feed off"),
        ("engine-running", "Engine running"),
        ("engine-stopped", "Engine stopped"),
        ("safety-valve-lifted", "Valve lifted"),
    ];
    for key in events::more(&trial.row.kind) {
        if !events.iter().any(|e| e.0 == key.0) {
            events.push(key);
        }
    }
    let status = if faults.list().is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    let shown = Sheet {
        layout: layout(desk, trial, None).await?,
        head: Head::of(desk, trial).await?,
        pictures: off_picture::waiting(desk, trial).await?,
        lines: (1..=LINES).map(|n| line(form, &faults, n)).collect(),
        events,
        faults,
        key: fresh_key(),
    };
    Ok((status, page(&shown)?).into_response())
}

fn line(form: &Typed, faults: &Faults, n: usize) -> LineShown {
    let cells = BOXES
        .iter()
        .map(|(box_name, head)| {
            let name = format!("{box_name}-{n}");
            Cell {
                value: form.get(&name).to_owned(),
                fault: !faults.of(&name).is_empty(),
                name,
                head,
            }
        })
        .collect();
    let (event_name, note_name) = (format!("event-{n}"), format!("note-{n}"));
    LineShown {
        n,
        cells,
        event: form.get(&event_name).to_owned(),
        note: form.get(&note_name).to_owned(),
        event_name,
        note_name,
    }
}

/// One entry of the sheet: its fields, and when it was.
#[derive(Debug, PartialEq, Eq)]
struct Written {
    fields: String,
    at: Stamp,
    unsure_s: u8,
}

/// Keeps every line of the sheet, or none where one is at fault.
pub(super) async fn keep(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let id = TrialId::new(id);
    let trial = Judged::load(desk.store(), id).await?;
    let begun = trial.row.started_at.unwrap_or_else(Stamp::now);
    let written = match read(&posted.form, begun, Stamp::now()) {
        Ok(written) => written,
        Err(faults) => return sheet(&desk, &trial, &posted.form, faults).await,
    };
    let (key, to) = (posted.key.clone(), trial.address());
    let kept = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                for (n, one) in written.into_iter().enumerate() {
                    append(
                        w,
                        id,
                        &format!("{}-{n}", key.get(..32).unwrap_or(&key)),
                        one,
                    )
                    .await?;
                }
                Ok(to)
            })
        })
        .await;
    match kept {
        Ok(to) => {
            desk.tell(id);
            Ok(see(&to))
        }
        Err(Problem::Store(Error::Unusable(says))) => {
            let mut faults = Faults::default();
            for one in says {
                faults.add("time-1", one);
            }
            sheet(&desk, &trial, &posted.form, faults).await
        }
        Err(other) => Err(other),
    }
}

async fn append(
    w: &mut records::Write,
    trial: TrialId,
    key: &str,
    one: Written,
) -> Result<(), Error> {
    let (at, unsure_s) = (one.at, one.unsure_s);
    let when = When::Paper { at, unsure_s };
    let (sent, coming) = own_entry::of_before(trial, key, one.fields, at, when);
    log::append_in(w, &sent, move |place| place_in(place, coming)).await?;
    Ok(())
}

/// Reads the sheet in the order of its times, all faults at once.
fn read(form: &Typed, begun: Stamp, now: Stamp) -> Result<Vec<Written>, Faults> {
    let (mut faults, mut all) = (Faults::default(), Vec::new());
    for n in 1..=LINES {
        let typed = |name: &str| form.get(&format!("{name}-{n}")).to_owned();
        let empty = ["time", "pressure_bar", "level", "co_ppm", "event", "note"]
            .iter()
            .all(|name| typed(name).is_empty());
        if empty {
            continue;
        }
        let (at, unsure_s) = match moment(&typed("time"), begun, now) {
            Ok(read) => read,
            Err(says) => {
                faults.add(&format!("time-{n}"), format!("line {n}: {says}"));
                continue;
            }
        };
        match fields(&typed) {
            Ok(found) if found.is_empty() => {
                faults.add(
                    &format!("time-{n}"),
                    format!("line {n}: a time with nothing beside it"),
                );
            }
            Ok(found) => all.extend(found.into_iter().map(|fields| Written {
                fields,
                at,
                unsure_s,
            })),
            Err((name, says)) => faults.add(&format!("{name}-{n}"), format!("line {n}: {says}")),
        }
    }
    if all.is_empty() && faults.list().is_empty() {
        faults.add(
            "time-1",
            "nothing was written: type a time, and what was read or done then",
        );
    }
    all.sort_by_key(|w| w.at);
    if faults.list().is_empty() {
        Ok(all)
    } else {
        Err(faults)
    }
}

/// What a line enters: a reading, an event, or both; a note goes with the first.
fn fields(typed: &impl Fn(&str) -> String) -> Result<Vec<String>, (&'static str, String)> {
    let mut pairs = vec![("what".to_owned(), "reading".to_owned())];
    for key in ["pressure_bar", "co_ppm"] {
        pairs.push((key.to_owned(), typed(key)));
    }
    let level = typed("level").to_lowercase();
    let seen = ["below", "above"].contains(&level.as_str());
    pairs.push((
        if seen { "level_seen" } else { "level_mm" }.to_owned(),
        level,
    ));
    let (event, note) = (typed("event"), typed("note"));
    let reads = pairs.iter().skip(1).any(|(_, v)| !v.is_empty());
    let mut found = Vec::new();
    if reads {
        pairs.push(("note".to_owned(), note.clone()));
        let draft = entry_form::read(&Typed::new(pairs)).map_err(|faults| {
            let first = &faults.list()[0];
            let name = match first.field.as_str() {
                "level_mm" => "level",
                "co_ppm" => "co_ppm",
                _ => "pressure_bar",
            };
            (name, first.says.clone())
        })?;
        found.push(draft.fields);
    }
    if !event.is_empty() || (!reads && !note.is_empty()) {
        let event = if event.is_empty() {
            "note".to_owned()
        } else {
            event
        };
        let note = if reads { String::new() } else { note };
        let pairs = [
            ("what", "event".to_owned()),
            ("event", event),
            ("note", note),
        ];
        let pairs = pairs.into_iter().map(|(n, v)| (n.to_owned(), v)).collect();
        let draft = entry_form::read(&Typed::new(pairs))
            .map_err(|faults| ("event", faults.list()[0].says.clone()))?;
        found.push(draft.fields);
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 24 Nov 2026, 10:40 in the workshop's own zone.
    fn begun() -> Stamp {
        let noon = Stamp::from_millis(1_795_521_600_000);
        Stamp::from_millis(noon.millis() - noon.zone_ms() - 80 * 60_000)
    }

    fn form(pairs: &[(&str, &str)]) -> Typed {
        Typed::new(
            pairs
                .iter()
                .map(|(n, v)| ((*n).to_owned(), (*v).to_owned()))
                .collect(),
        )
    }

    #[test]
    fn lines_come_in_the_order_of_their_times() {
        let sheet = form(&[
            ("time-1", "10:52"),
            ("level-1", "31"),
            ("time-2", "10:45:30"),
            ("event-2", "feed-on"),
            ("level-2", "below"),
        ]);
        let all = read(&sheet, begun(), begun().plus_seconds(3600)).unwrap();
        assert_eq!(all.len(), 3);
        assert!(all[0].fields.contains("below") && all[1].fields.contains("feed-on"));
        assert_eq!(all[2].at.millis() - begun().millis(), 12 * 60_000);
        assert_eq!((all[2].unsure_s, all[0].unsure_s), (30, 2));
    }

    #[test]
    fn every_bad_line_is_named_and_none_is_kept() {
        let sheet = form(&[
            ("time-1", "10:52"),
            ("level-1", "3l"),
            ("time-2", "late"),
            ("level-2", "20"),
            ("time-3", "10:50"),
        ]);
        let faults = read(&sheet, begun(), begun().plus_seconds(3600)).unwrap_err();
        let names: Vec<&str> = faults.list().iter().map(|f| f.field.as_str()).collect();
        assert_eq!(names, ["level-1", "time-2", "time-3"]);
    }
}
