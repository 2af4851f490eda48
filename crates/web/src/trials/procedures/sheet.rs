//! The sheets of the procedures: each kind's newest version, its text to be edited, the older ones and what changed.

use askama::Template;
use axum::Router;
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::routing::get;
use records::procedures::{self, Procedure};
use records::{Store, fresh_key};
use serde::Deserialize;

use super::changed::{self, Line};
use super::{List, Observed, shipped, text};
use crate::desk::Desk;
use crate::form::{Faults, Posted};
use crate::layout::Layout;
use crate::problem::{Problem, page, refused, see};

/// Every address of the procedures.
pub(in crate::trials) fn routes() -> Router<Desk> {
    Router::new()
        .route("/workshop/procedures", get(list))
        .route("/workshop/procedures/{kind}", get(show).post(write))
        .route("/workshop/procedures/{kind}/{version}", get(version))
}

/// The longest text of a procedure, in characters.
const LONGEST: usize = 20_000;

/// A version in a few words.
struct Version {
    n: i64,
    by: String,
    at: String,
    sha256: String,
    /// Written down, or shipped with the program and not needed yet.
    is_written: bool,
}

struct KindLine {
    kind: &'static str,
    words: String,
    lists: Vec<String>,
    newest: Version,
}

#[derive(Template)]
#[template(path = "workshop/procedures.html")]
struct Kinds {
    layout: Layout,
    kinds: Vec<KindLine>,
}

#[derive(Template)]
#[template(path = "workshop/procedure.html")]
struct Sheet {
    layout: Layout,
    kind: &'static str,
    words: String,
    lists: Vec<List>,
    versions: Vec<Version>,
    newest: i64,
    text: String,
    rows: usize,
    faults: Faults,
    key: String,
}

#[derive(Template)]
#[template(path = "workshop/procedure_version.html")]
struct Older {
    layout: Layout,
    kind: &'static str,
    words: String,
    version: Version,
    newest: i64,
    lines: Vec<Line>,
    lists: Vec<List>,
}

impl List {
    /// How it is gone through, and for which fuel.
    fn how(&self) -> String {
        let way = if self.in_order {
            "read and do, one item at a time"
        } else {
            "do, then confirm"
        };
        self.burns
            .map_or_else(|| way.to_owned(), |b| format!("{way}; {}", b.word()))
    }
}

impl Observed {
    /// What is observed, in words.
    fn words(&self) -> String {
        match self {
            Self::Choice(answers) => answers.join(" / "),
            Self::Figure(unit) => format!("a figure in {unit}"),
        }
    }
}

fn kind_of(word: &str) -> Result<&'static str, Problem> {
    let known = triallog::schema::KINDS.iter().copied();
    known
        .into_iter()
        .find(|k| *k == word)
        .ok_or(Problem::Missing("procedure"))
}

/// Every version of a kind, the newest first; before the first was needed, the shipped one.
async fn versions(store: &Store, kind: &str) -> Result<Vec<Procedure>, Problem> {
    let all = procedures::of_kind(store, kind).await?;
    if !all.is_empty() {
        return Ok(all);
    }
    let text = shipped(kind);
    Ok(vec![Procedure {
        kind: kind.to_owned(),
        version: 1,
        sha256: records::sha256(text.as_bytes()),
        text,
        by: String::new(),
        made_at: records::Stamp::from_millis(0),
    }])
}

fn in_words(p: &Procedure) -> Version {
    Version {
        n: p.version,
        by: p.by.clone(),
        at: p.made_at.full(),
        sha256: p.sha256.get(..12).unwrap_or("").to_owned(),
        is_written: !p.by.is_empty(),
    }
}

async fn list(State(desk): State<Desk>) -> Result<Html<String>, Problem> {
    let mut kinds = Vec::new();
    for kind in triallog::schema::KINDS.iter().copied() {
        let all = versions(desk.store(), kind).await?;
        let Some(newest) = all.first() else { continue };
        let lists = text::read(&newest.text).unwrap_or_default();
        kinds.push(KindLine {
            kind,
            words: kind.replace('-', " "),
            lists: lists.into_iter().map(|l| l.title).collect(),
            newest: in_words(newest),
        });
    }
    page(&Kinds {
        layout: desk.layout("Procedures", "none").await?,
        kinds,
    })
}

async fn sheet(desk: &Desk, kind: &'static str) -> Result<Sheet, Problem> {
    let all = versions(desk.store(), kind).await?;
    let words = kind.replace('-', " ");
    let newest = all.first().ok_or(Problem::Missing("procedure"))?;
    Ok(Sheet {
        layout: desk
            .layout(&format!("Procedure of a {words} trial"), "none")
            .await?,
        kind,
        words,
        lists: text::read(&newest.text).unwrap_or_default(),
        newest: newest.version,
        text: newest.text.clone(),
        rows: newest.text.lines().count() + 4,
        versions: all.iter().map(in_words).collect(),
        faults: Faults::default(),
        key: fresh_key(),
    })
}

async fn show(State(desk): State<Desk>, Path(kind): Path<String>) -> Result<Html<String>, Problem> {
    page(&sheet(&desk, kind_of(&kind)?).await?)
}

/// A text as it was typed, and the version that it was made from.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct TextForm {
    text: String,
    from: i64,
}

/// Writes the next version; trials that were prepared keep theirs.
async fn write(
    State(desk): State<Desk>,
    Path(kind): Path<String>,
    posted: Posted<TextForm>,
) -> Result<Response, Problem> {
    let kind = kind_of(&kind)?;
    let fresh = sheet(&desk, kind).await?;
    let written = if desk.store().knows_key(&posted.key).await? {
        Ok(String::new())
    } else {
        read(&posted.form, &fresh)
    };
    let text = match written {
        Ok(text) => text,
        Err(faults) => {
            let (typed, key) = (posted.form.text, posted.key);
            let rows = typed.lines().count() + 4;
            return refused(&Sheet {
                text: typed,
                rows,
                faults,
                key,
                ..fresh
            });
        }
    };
    let after = posted.form.from;
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                procedures::begin(w, kind, &shipped(kind)).await?;
                procedures::write(w, kind, after, &text).await?;
                Ok(format!("/workshop/procedures/{kind}"))
            })
        })
        .await?;
    Ok(see(&to))
}

fn read(form: &TextForm, fresh: &Sheet) -> Result<String, Faults> {
    let mut faults = Faults::default();
    if form.from != fresh.newest {
        faults.add(
            "text",
            format!("Version {} was written meanwhile, from another page: what you typed is still here; compare it with that one below, then open the page afresh.", fresh.newest),
        );
    }
    if form.text.chars().count() > LONGEST {
        faults.add("text", format!("Too long: at most {LONGEST} characters."));
        return Err(faults);
    }
    match text::read(&form.text) {
        Ok(lists) => {
            let text = text::write(&lists);
            if text == fresh.text {
                faults.add(
                    "text",
                    "Nothing was changed: it is the newest version as it stands.",
                );
            }
            if faults.list().is_empty() {
                return Ok(text);
            }
        }
        Err(wrong) => {
            for (n, says) in wrong {
                faults.add("text", format!("Line {n}: {says}."));
            }
        }
    }
    Err(faults)
}

async fn version(
    State(desk): State<Desk>,
    Path((kind, n)): Path<(String, i64)>,
) -> Result<Html<String>, Problem> {
    let kind = kind_of(&kind)?;
    let all = versions(desk.store(), kind).await?;
    let own = all
        .iter()
        .find(|p| p.version == n)
        .ok_or(Problem::Missing("version"))?;
    let before = all.iter().find(|p| p.version == n - 1);
    let words = kind.replace('-', " ");
    page(&Older {
        layout: desk
            .layout(
                &format!("Procedure of a {words} trial, version {n}"),
                "none",
            )
            .await?,
        kind,
        words,
        version: in_words(own),
        newest: all.first().map_or(n, |p| p.version),
        lines: before.map_or_else(Vec::new, |b| changed::lines(&b.text, &own.text)),
        lists: text::read(&own.text).unwrap_or_default(),
    })
}
