//! A log kept as a table (CSV): a row a moment, a column a key.

use crate::check::object as check_object;
use crate::fault::Faults;
use crate::json::{self, Json};
use crate::schema::{FILE, READING};
use crate::trial::TrialFile;

use crate::tree::quoted;

/// Columns that are not readings.
const OTHERS: [&str; 4] = ["t_s", "time", "event", "note"];

/// Reads a table of readings and events and judges it with the plant of `plant`, a trial file
/// without entries; `kind`, where given, is what is tried.
///
/// # Shape
/// A header row with `t_s` (seconds) or `time` (HH:MM or HH:MM:SS, the first row being 0), then any
/// key of a reading, `event`, `note`; an empty cell was not read.
///
/// # Errors
/// Every fault, each with its row and column.
///
/// ```
/// let file = triallog::read_table(
///     "time,level_mm,event\n10:20,31,\n10:21,,fire-lit\n",
///     r#"{"format": "gaugeglass-trial/1", "kind": "steam"}"#,
///     None,
/// )?;
/// assert_eq!(file.trial().entries[1].t_s, 60.0);
/// # Ok::<(), triallog::Faults>(())
/// ```
pub fn read_table(text: &str, plant: &str, kind: Option<&str>) -> Result<TrialFile, Faults> {
    let mut faults = Faults::default();
    let rows = rows(text, &mut faults);
    let head = head(plant, kind, &mut faults);
    let entries = entries(&rows, &mut faults);
    faults.or(())?;
    let open = head
        .trim_end()
        .strip_suffix('}')
        .unwrap_or(&head)
        .trim_end();
    let comma = if open.ends_with('{') { "" } else { ", " };
    TrialFile::read(&format!(
        "{open}{comma}\"entries\": [{}]}}",
        entries.join(", ")
    ))
}

/// The plant's file, its `kind` replaced where another is asked for.
fn head(plant: &str, kind: Option<&str>, faults: &mut Faults) -> String {
    let opened = json::whole(plant).and_then(json::open);
    let pairs = match opened {
        Ok(Json::Object(pairs)) => pairs,
        Ok(other) => {
            faults.add(
                "plant",
                format!("this is {}, an object is needed", other.kind()),
            );
            return String::new();
        }
        Err(says) => {
            faults.add("plant", says);
            return String::new();
        }
    };
    let mut parts: Vec<String> = Vec::new();
    for (key, raw) in &pairs {
        match key.as_str() {
            "kind" if kind.is_some() => {}
            "entries" if raw.get().trim() == "[]" => {}
            "entries" => faults.add("plant.entries", "the plant's file has entries of its own"),
            _ => parts.push(format!("{}: {}", quoted(key), raw.get())),
        }
    }
    if let Some(kind) = kind {
        parts.push(format!("\"kind\": {}", quoted(kind)));
    }
    let text = format!("{{{}}}", parts.join(", "));
    if let Ok(Json::Object(pairs)) = json::whole(&text).and_then(json::open) {
        check_object(&pairs, FILE, "plant", faults);
    }
    text
}

struct Row {
    number: usize,
    cells: Vec<(String, String)>,
}

fn rows(text: &str, faults: &mut Faults) -> Vec<Row> {
    let text = text.trim_start_matches('\u{feff}');
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let header: Vec<String> = match reader.headers() {
        Ok(header) => header.iter().map(str::to_owned).collect(),
        Err(e) => {
            faults.add("header", e.to_string());
            return Vec::new();
        }
    };
    for name in &header {
        let known = OTHERS.contains(&name.as_str()) || READING.iter().any(|k| k.name == name);
        if !known {
            faults.add("header", format!("{name:?} is no column; it takes t_s or time, the keys of a reading, event, note"));
        }
    }
    if !header.iter().any(|n| n == "t_s" || n == "time") {
        faults.add("header", "a column t_s or time is needed");
    }
    let mut rows = Vec::new();
    for (n, record) in reader.records().enumerate() {
        let number = n + 2;
        match record {
            Ok(record) if record.len() > header.len() => {
                faults.add(format!("row {number}"), "there are more cells than columns");
            }
            Ok(record) => {
                let cells = header.iter().cloned().zip(record.iter().map(str::to_owned));
                rows.push(Row {
                    number,
                    cells: cells.filter(|c| !c.1.is_empty()).collect(),
                });
            }
            Err(e) => faults.add(format!("row {number}"), e.to_string()),
        }
    }
    rows
}

fn entries(rows: &[Row], faults: &mut Faults) -> Vec<String> {
    let mut entries = Vec::new();
    let mut clock = Clock::default();
    for row in rows.iter().filter(|r| !r.cells.is_empty()) {
        let get = |name: &str| row.cells.iter().find(|c| c.0 == name).map(|c| c.1.as_str());
        let place = |name: &str| format!("row {}, {name}", row.number);
        let t = match (get("t_s"), get("time")) {
            (Some(t), _) if is_number(t) => t.to_owned(),
            (Some(t), _) => {
                faults.add(place("t_s"), format!("{t:?} is not a number"));
                continue;
            }
            (None, Some(time)) => match clock.seconds(time) {
                Some(t) => t.to_string(),
                None => {
                    faults.add(
                        place("time"),
                        format!("{time:?} is not a time like 10:21 or 10:21:30"),
                    );
                    continue;
                }
            },
            (None, None) => {
                faults.add(format!("row {}", row.number), "this row has no time");
                continue;
            }
        };
        let note = get("note")
            .map(|n| format!(", \"note\": {}", quoted(n)))
            .unwrap_or_default();
        let read = reading(row, faults);
        let event = get("event").map(|e| format!("\"event\": {}", quoted(e)));
        match (read.is_empty(), event) {
            (true, None) if note.is_empty() => {}
            (true, None) => entries.push(format!("{{\"t_s\": {t}, \"event\": \"note\"{note}}}")),
            (true, Some(event)) => entries.push(format!("{{\"t_s\": {t}, {event}{note}}}")),
            (false, event) => {
                entries.push(format!("{{\"t_s\": {t}, \"reading\": {{{read}}}{note}}}"));
                entries.extend(event.map(|event| format!("{{\"t_s\": {t}, {event}}}")));
            }
        }
    }
    entries
}

fn reading(row: &Row, faults: &mut Faults) -> String {
    let mut parts = Vec::new();
    for (name, cell) in &row.cells {
        let Some(key) = READING.iter().find(|k| k.name == name) else {
            continue;
        };
        let mut own = Faults::default();
        let text = if is_number(cell) {
            cell.clone()
        } else {
            quoted(cell)
        };
        if let Ok(raw) = json::whole(&text) {
            crate::check::value(
                raw,
                &key.shape,
                &format!("row {}, {name}", row.number),
                &mut own,
            );
        }
        for fault in own.iter() {
            faults.add(fault.place.clone(), fault.says.clone());
        }
        parts.push(format!("\"{name}\": {text}"));
    }
    parts.join(", ")
}

fn is_number(cell: &str) -> bool {
    json::whole(cell).is_ok_and(|raw| matches!(json::open(raw), Ok(Json::Number(_))))
}

/// Times of day turned into seconds since the first row; midnight may pass between two rows.
#[derive(Default)]
struct Clock {
    first: Option<u32>,
    last: u32,
    days: u32,
}

impl Clock {
    fn seconds(&mut self, time: &str) -> Option<u32> {
        let parts: Vec<&str> = time.split(':').collect();
        if !(2..=3).contains(&parts.len()) || parts.iter().any(|p| p.is_empty() || p.len() > 2) {
            return None;
        }
        let mut numbers = [0_u32; 3];
        for (to, part) in numbers.iter_mut().zip(&parts) {
            *to = part.parse().ok()?;
        }
        let [h, m, s] = numbers;
        if h > 23 || m > 59 || s > 59 {
            return None;
        }
        let of_day = h * 3600 + m * 60 + s;
        let first = *self.first.get_or_insert(of_day);
        if of_day + 43_200 < self.last {
            self.days += 1;
        }
        self.last = of_day;
        (of_day + self.days * 86_400).checked_sub(first)
    }
}
