//! The figures of trials side by side, how far apart they are, and what else was not alike.

use calc::compare::{Measured, difference};
use calc::show;
use calc::trial::Figure;

use super::letter;
use crate::trials::fields;
use crate::trials::figures::{places, words};
use crate::trials::load::{Judged, address};
use crate::trials::record::shown_value;
use crate::trials::tree::Tree;

/// Figures of the last moment, which say nothing of how the whole went.
const MOMENTS: [&str; 4] = [
    "runway",
    "runway-without-feed",
    "water-mass",
    "glass-correction",
];

/// One of the trials that are laid.
pub(super) struct Item {
    pub(super) letter: &'static str,
    pub(super) address: String,
    pub(super) label: String,
    pub(super) kind: String,
    pub(super) when: String,
    pub(super) question: String,
    pub(super) change: String,
    pub(super) answer: String,
    pub(super) outcome: String,
}

/// A later trial against the oldest.
pub(super) struct Against {
    pub(super) earlier: &'static str,
    pub(super) later: &'static str,
    pub(super) rows: Vec<Row>,
}

/// One figure of both.
pub(super) struct Row {
    pub(super) name: String,
    pub(super) before: String,
    pub(super) after: String,
    pub(super) by: String,
    /// `proven`, `not proven`, or why it cannot be said.
    pub(super) proven: &'static str,
}

/// A particular of plant or instruments that is not the same in all.
pub(super) struct Unlike {
    pub(super) name: String,
    pub(super) values: Vec<(&'static str, String)>,
}

pub(super) fn items(trials: &[Judged]) -> Vec<Item> {
    let item = |(place, trial): (usize, &Judged)| {
        let row = &trial.row;
        let head = Tree::read(&row.head).unwrap_or_else(|_| Tree::empty());
        Item {
            letter: letter(place),
            address: address(row.id),
            label: row.label(),
            kind: row.kind.replace('-', " "),
            when: trial.started().full(),
            question: row.question.clone(),
            change: head.typed_at("change"),
            answer: row.answer.as_deref().unwrap_or("").replace('-', " "),
            outcome: row.verdict.clone().unwrap_or_else(|| row.state.clone()),
        }
    };
    trials.iter().enumerate().map(item).collect()
}

/// Each later trial against the oldest.
pub(super) fn against(trials: &[Judged]) -> Vec<Against> {
    let Some((first, later)) = trials.split_first() else {
        return Vec::new();
    };
    let of = |(place, trial): (usize, &Judged)| Against {
        earlier: letter(0),
        later: letter(place + 1),
        rows: rows(first, trial),
    };
    later.iter().enumerate().map(of).collect()
}

fn rows(before: &Judged, after: &Judged) -> Vec<Row> {
    let mut names: Vec<(&'static str, &'static str)> = Vec::new();
    for f in before.judged.figures.iter().chain(&after.judged.figures) {
        if !MOMENTS.contains(&f.name) && !names.iter().any(|n| n.0 == f.name) {
            names.push((f.name, f.unit));
        }
    }
    let last = |trial: &Judged, name: &str| {
        let found = trial.judged.figures.iter().rev().find(|f| f.name == name);
        found.cloned()
    };
    names
        .into_iter()
        .map(|(name, unit)| row(name, unit, last(before, name), last(after, name)))
        .collect()
}

fn row(
    name: &'static str,
    unit: &'static str,
    before: Option<Figure>,
    after: Option<Figure>,
) -> Row {
    let places = places(name, unit);
    let written = |value: f64, u: Option<f64>| {
        let u = u.map_or_else(String::new, |u| format!(" ±{}", show::fixed(u, places)));
        format!("{}{u} {unit}", show::fixed(value, places))
    };
    let shown = |f: &Option<Figure>| {
        f.as_ref()
            .map_or_else(|| "–".to_owned(), |f| written(f.value, f.plus_minus))
    };
    let (by, proven) = match (&before, &after) {
        (Some(a), Some(b)) => {
            let measured = |f: &Figure| Measured {
                value: f.value,
                expanded: f.plus_minus,
            };
            let found = difference(measured(a), measured(b));
            let as_shown = show::fixed(found.by.abs(), places);
            let more = match (
                as_shown.chars().any(|c| ('1'..='9').contains(&c)),
                found.by < 0.0,
            ) {
                (false, _) => "apart by",
                (true, true) => "less by",
                (true, false) => "more by",
            };
            let by = format!("{more} {}", written(found.by.abs(), found.expanded));
            let word = match (found.proven, found.expanded) {
                (true, _) => "proven",
                (false, Some(_)) => "not proven",
                (false, None) => "not proven, ± not known",
            };
            (by, word)
        }
        _ => (String::new(), "in one of them only"),
    };
    Row {
        name: words(name),
        before: shown(&before),
        after: shown(&after),
        by,
        proven,
    }
}

/// What was copied into the trials when they were prepared and is not the same in all of them.
pub(super) fn unlike(trials: &[Judged]) -> Vec<Unlike> {
    let heads: Vec<Tree> = trials
        .iter()
        .map(|t| Tree::read(&t.row.head).unwrap_or_else(|_| Tree::empty()))
        .collect();
    let wanted = |path: &str| {
        ["plant.", "instruments.", "limits."]
            .iter()
            .any(|p| path.starts_with(p))
            || ["place", "supply", "barometer_hpa"].contains(&path)
    };
    let mut paths: Vec<String> = Vec::new();
    for (path, _) in heads.iter().flat_map(|h| h.leaves("")) {
        if wanted(&path) && !paths.contains(&path) {
            paths.push(path);
        }
    }
    paths
        .into_iter()
        .filter_map(|path| {
            let typed: Vec<String> = heads.iter().map(|h| h.typed_at(&path)).collect();
            let same = typed.windows(2).all(|w| w[0] == w[1]);
            (!same).then(|| named(&path, trials, &typed))
        })
        .collect()
}

/// A particular in the words it was asked by, where it was asked.
fn named(path: &str, trials: &[Judged], typed: &[String]) -> Unlike {
    let asked = trials
        .iter()
        .flat_map(|t| fields::groups(&t.row.kind))
        .find_map(|(group, all)| {
            let field = all.into_iter().find(|f| f.path == path)?;
            Some((group, field))
        });
    let each = |value: &dyn Fn(&String) -> String| {
        let all = typed.iter().enumerate();
        all.map(|(place, v)| (letter(place), value(v))).collect()
    };
    match asked {
        Some((group, field)) => Unlike {
            name: match path {
                p if p.starts_with("plant.") => format!("{group}: {}", field.label),
                p if p.starts_with("instruments.pressure.") => {
                    format!("Pressure gauge: {}", field.label)
                }
                _ => field.label.to_owned(),
            },
            values: each(&|v| match v.as_str() {
                "" => plain(v),
                v => format!("{} {}", shown_value(field, v), field.unit),
            }),
        },
        None => Unlike {
            name: path.replace(['.', '_'], " "),
            values: each(&|v| plain(v)),
        },
    }
}

/// A value without the marks of its file; nothing where it was not known.
fn plain(typed: &str) -> String {
    let text = typed.replace(['[', ']', '{', '}', '"'], "");
    if text.is_empty() {
        "not said".to_owned()
    } else {
        text.replace(['_', ':'], " ").replace(',', ", ")
    }
}
