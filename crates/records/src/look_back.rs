//! Looking back: one search over everything that was typed.
//!
//! The index is kept by triggers, so whoever writes a row need not think of it. Every word typed must be there, each as
//! the beginning of a word; accents and capitals do not matter. The newest comes first: that can be had without weighing
//! every match, so a word that stands everywhere costs no more than a rare one.

use crate::error::Error;
use crate::ids::PlantId;
use crate::store::Store;
use crate::time::Stamp;

/// How many lines one answer holds.
pub const MOST: usize = 100;
/// Before and after a word that was asked for, in what the database answers: nobody types these.
const MARK: (char, char) = ('\u{2}', '\u{3}');

const BY_WORDS: &str = "select t.subject, t.subject_id, highlight(word_index, 0, char(2), char(3)) as title,
    snippet(word_index, 1, char(2), char(3), ' … ', 24) as piece, t.at, t.withdrawn_at,
    j.year, j.serial, p.name as plant, e.trial_id, e.seq, f.component_id
    from word_index join typed t on t.id = word_index.rowid
    left join job j on j.id = t.job_id left join plant p on p.id = t.plant_id
    left join entry e on t.subject = 'entry' and e.id = t.subject_id
    left join fitted f on t.subject = 'fitted' and f.id = t.subject_id
    where word_index match ?1 and (?2 is null or t.plant_id = ?2) and (?3 = '' or t.component_kind = ?3)
    order by word_index.rowid desc limit ?4";
const BY_PLANT: &str =
    "select t.subject, t.subject_id, t.title, t.body as piece, t.at, t.withdrawn_at,
    j.year, j.serial, p.name as plant, e.trial_id, e.seq, f.component_id
    from typed t left join job j on j.id = t.job_id left join plant p on p.id = t.plant_id
    left join entry e on t.subject = 'entry' and e.id = t.subject_id
    left join fitted f on t.subject = 'fitted' and f.id = t.subject_id
    where t.plant_id = ?1 and (?2 = '' or t.component_kind = ?2)
    order by t.at desc, t.id desc limit ?3";
const BY_KIND: &str =
    "select t.subject, t.subject_id, t.title, t.body as piece, t.at, t.withdrawn_at,
    j.year, j.serial, p.name as plant, e.trial_id, e.seq, f.component_id
    from typed t left join job j on j.id = t.job_id left join plant p on p.id = t.plant_id
    left join entry e on t.subject = 'entry' and e.id = t.subject_id
    left join fitted f on t.subject = 'fitted' and f.id = t.subject_id
    where t.component_kind = ?1 and t.component_kind <> '' order by t.at desc, t.id desc limit ?2";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("look_back::BY_WORDS", BY_WORDS),
    ("look_back::BY_PLANT", BY_PLANT),
    ("look_back::BY_KIND", BY_KIND),
];

/// What is looked for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    /// Words, as typed.
    pub words: String,
    /// Of this plant only.
    pub plant: Option<PlantId>,
    /// Of this kind of component only; empty for all.
    pub component_kind: String,
}

/// One line of the answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// What kind of thing it is: `job`, `defect`, `sitting` …
    pub subject: String,
    /// Its row.
    pub subject_id: i64,
    /// Its title, in pieces; those that were asked for are marked.
    pub title: Vec<Piece>,
    /// Words of it, in pieces.
    pub piece: Vec<Piece>,
    /// When it was written down.
    pub at: Stamp,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
    /// Number of its job; empty where there is none.
    pub job: String,
    /// Name of its plant; empty where there is none.
    pub plant: String,
    /// For a note in a log: the trial, and which entry.
    pub entry: Option<(i64, i64)>,
    /// For something fitted: the component.
    pub component: Option<i64>,
}

/// Some words, and whether they were asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// The words.
    pub words: String,
    /// Whether they were asked for.
    pub asked: bool,
}

#[derive(sqlx::FromRow)]
struct Row {
    subject: String,
    subject_id: i64,
    title: String,
    piece: String,
    at: Stamp,
    withdrawn_at: Option<Stamp>,
    year: Option<i64>,
    serial: Option<i64>,
    plant: Option<String>,
    trial_id: Option<i64>,
    seq: Option<i64>,
    component_id: Option<i64>,
}

/// Looks back, the newest first; without words, what belongs to plant and kind.
/// At most [`MOST`] lines, and one more when there are more.
///
/// # Errors
/// Only the database's.
pub async fn look(store: &Store, asked: &Asked) -> Result<Vec<Found>, Error> {
    let most = i64::try_from(MOST + 1).unwrap_or(i64::MAX);
    let words = as_match(&asked.words);
    let readers = store.readers();
    let rows: Vec<Row> = match asked.plant {
        _ if !words.is_empty() => {
            sqlx::query_as(BY_WORDS)
                .bind(words)
                .bind(asked.plant)
                .bind(&asked.component_kind)
                .bind(most)
                .fetch_all(readers)
                .await?
        }
        Some(plant) => {
            sqlx::query_as(BY_PLANT)
                .bind(plant)
                .bind(&asked.component_kind)
                .bind(most)
                .fetch_all(readers)
                .await?
        }
        None if asked.component_kind.is_empty() => Vec::new(),
        None => {
            sqlx::query_as(BY_KIND)
                .bind(&asked.component_kind)
                .bind(most)
                .fetch_all(readers)
                .await?
        }
    };
    Ok(rows.into_iter().map(found).collect())
}

/// What was typed as the index wants it: each word in quotes, so that none of them is an order, and as a beginning.
fn as_match(typed: &str) -> String {
    typed
        .split_whitespace()
        .filter(|word| word.chars().any(char::is_alphanumeric))
        .take(12)
        .map(|word| format!("\"{}\"*", word.replace('"', " ")))
        .collect::<Vec<_>>()
        .join(" ")
}

fn found(row: Row) -> Found {
    Found {
        title: pieces(&row.title),
        piece: pieces(&row.piece),
        at: row.at,
        withdrawn: row.withdrawn_at.is_some(),
        job: crate::jobs::number_of(row.year, row.serial),
        plant: row.plant.unwrap_or_default(),
        entry: row.trial_id.zip(row.seq),
        component: row.component_id,
        subject: row.subject,
        subject_id: row.subject_id,
    }
}

fn pieces(text: &str) -> Vec<Piece> {
    let mut all = Vec::new();
    let mut add = |words: &str, asked| {
        if !words.is_empty() {
            let words = words.to_owned();
            all.push(Piece { words, asked });
        }
    };
    for (n, part) in text.split(MARK.0).enumerate() {
        match part.split_once(MARK.1) {
            Some((asked, after)) if n > 0 => {
                add(asked, true);
                add(after, false);
            }
            _ => add(part, false),
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_is_words_and_never_an_order() {
        assert_eq!(as_match("graphite 3 mm"), "\"graphite\"* \"3\"* \"mm\"*");
        assert_eq!(
            as_match("a OR b* NOT \"c"),
            "\"a\"* \"OR\"* \"b*\"* \"NOT\"* \" c\"*"
        );
        assert_eq!(as_match(" ± — \" "), "");
    }

    #[test]
    fn the_words_asked_for_are_told_apart() {
        let words: Vec<(String, bool)> = pieces("a \u{2}ball\u{3}, \u{2}4 mm\u{3}")
            .into_iter()
            .map(|p| (p.words, p.asked))
            .collect();
        let expected = [("a ", false), ("ball", true), (", ", false), ("4 mm", true)];
        assert_eq!(words, expected.map(|(w, a)| (w.to_owned(), a)));
        assert!(pieces("").is_empty());
    }
}
