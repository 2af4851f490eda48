//! A judgement written down: as JSON, and as a report for people.

use calc::show;
use calc::trial::{Assessment, Figure, Flag, Kind};
use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};

#[derive(Serialize)]
struct Written<'a> {
    format: &'static str,
    kind: &'static str,
    flags: Vec<WrittenFlag<'a>>,
    figures: Vec<WrittenFigure<'a>>,
    verdict: WrittenVerdict<'a>,
}

#[derive(Serialize)]
struct WrittenFlag<'a> {
    rule: &'static str,
    severity: &'static str,
    raised_at_s: f64,
    cleared_at_s: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cleared_by: Option<&'static str>,
    says: &'a str,
    r#do: &'a str,
    evidence: Evidence<'a>,
    basis: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    acknowledged: Option<Seen<'a>>,
}

#[derive(Serialize)]
struct Seen<'a> {
    by: &'a str,
    at_s: f64,
}

struct Evidence<'a>(&'a [(&'static str, f64)]);

impl Serialize for Evidence<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for (name, value) in self.0 {
            map.serialize_entry(name, value)?;
        }
        map.end()
    }
}

#[derive(Serialize)]
struct WrittenFigure<'a> {
    name: &'a str,
    value: f64,
    plus_minus: Option<f64>,
    unit: &'a str,
    from_s: f64,
    to_s: f64,
}

#[derive(Serialize)]
struct WrittenVerdict<'a> {
    outcome: &'static str,
    because: &'a [String],
}

/// The judgement as JSON, one object.
///
/// ```
/// let judged = calc::trial::assess(&calc::trial::Trial::default(), None);
/// let text = triallog::assessment_json(calc::trial::Kind::Steam, &judged);
/// assert!(text.contains("\"outcome\": \"not-proven\""));
/// ```
pub fn assessment_json(kind: Kind, judged: &Assessment) -> String {
    let written = Written {
        format: "gaugeglass-assessment/1",
        kind: kind.word(),
        flags: judged.flags.iter().map(flag).collect(),
        figures: judged.figures.iter().map(figure).collect(),
        verdict: WrittenVerdict {
            outcome: judged.verdict.outcome.word(),
            because: &judged.verdict.because,
        },
    };
    serde_json::to_string_pretty(&written).unwrap_or_else(|e| format!("{{\"error\": \"{e}\"}}"))
}

fn flag(f: &Flag) -> WrittenFlag<'_> {
    WrittenFlag {
        rule: f.rule.name(),
        severity: f.severity.word(),
        raised_at_s: f.raised_at_s,
        cleared_at_s: f.cleared_at_s,
        cleared_by: f.cleared_by_correction.then_some("correction"),
        says: &f.says,
        r#do: &f.todo,
        evidence: Evidence(&f.evidence),
        basis: f.basis,
        acknowledged: f
            .acknowledged
            .as_ref()
            .map(|(by, at_s)| Seen { by, at_s: *at_s }),
    }
}

fn figure(f: &Figure) -> WrittenFigure<'_> {
    let (name, unit) = (f.name, f.unit);
    let (from_s, to_s) = (f.from_s, f.to_s);
    WrittenFigure {
        name,
        value: f.value,
        plus_minus: f.plus_minus,
        unit,
        from_s,
        to_s,
    }
}

/// Time since the trial began, as minutes and seconds.
fn clock(seconds: f64) -> String {
    let whole = seconds.max(0.0).round();
    let minutes = (whole / 60.0).floor();
    format!("{minutes:>3.0}:{:02.0}", whole - minutes * 60.0)
}

/// What to look at next: in full what the log speaks for, by name what it says nothing of.
fn look_next(judged: &Assessment, lines: &mut Vec<String>) {
    if judged.look_next.is_empty() {
        return;
    }
    lines.push(String::new());
    lines.push("What to look at next (it replaces no stop)".to_owned());
    let mut untold = Vec::new();
    for next in &judged.look_next {
        let row = next.trouble;
        let Some(shows) = &next.shows else {
            untold.push(row.is);
            continue;
        };
        lines.push(format!("  {}: {}. {shows}", row.sign.words(), row.is));
        lines.push(format!("      Check: {}", row.check));
        lines.push(format!("      Tells it apart: {}", row.tells));
        lines.push(format!("      Mend: {} ({})", row.remedy, row.source));
    }
    if !untold.is_empty() {
        lines.push(format!(
            "  The log says nothing yet of: {}.",
            untold.join("; ")
        ));
    }
}

/// The judgement as a report that can be read in a terminal.
pub fn assessment_report(kind: Kind, judged: &Assessment) -> String {
    let mut lines = vec![format!(
        "{} trial: {}",
        kind.word(),
        judged
            .verdict
            .outcome
            .word()
            .replace('-', " ")
            .to_uppercase()
    )];
    lines.extend(judged.verdict.because.iter().map(|b| format!("  {b}")));
    lines.push(String::new());
    lines.push(
        if judged.flags.is_empty() {
            "No flags."
        } else {
            "Flags"
        }
        .to_owned(),
    );
    for f in &judged.flags {
        let cleared = match f.cleared_at_s {
            Some(t) if f.cleared_by_correction => format!("  (corrected {})", clock(t).trim()),
            Some(t) => format!("  (cleared {})", clock(t).trim()),
            None => "  (stands)".to_owned(),
        };
        let severity = f.severity.word().to_uppercase();
        lines.push(format!(
            "{}  {severity:<7} {}: {}{cleared}",
            clock(f.raised_at_s),
            f.rule.name(),
            f.says
        ));
        lines.push(format!("                Do: {}", f.todo));
    }
    if !judged.figures.is_empty() {
        lines.push(String::new());
        lines.push("Figures (± is k = 2)".to_owned());
    }
    for f in &judged.figures {
        let places = if f.value.abs() < 10.0 { 2 } else { 0 };
        let u = f
            .plus_minus
            .map(|u| format!(" ±{}", show::fixed(u, places)))
            .unwrap_or_default();
        lines.push(format!(
            "  {:<20} {}{u} {}",
            f.name,
            show::fixed(f.value, places),
            f.unit
        ));
    }
    look_next(judged, &mut lines);
    lines.push(String::new());
    lines.push(
        "A record, not a certificate: the law, your code, the club's inspector, a competent person \
         and the insurer decide."
            .to_owned(),
    );
    lines.join("\n")
}
