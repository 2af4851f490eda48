//! What a sealed record shows in a list is judged once: nothing of it can change any more.

use std::collections::HashMap;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

use papers::Svg;
use records::Store;
use records::log::Trial;

use super::load::Judged;
use super::sight;
use crate::problem::Problem;

/// So many are held at most; then it begins anew.
const MOST: usize = 2_000;

/// What lists show of a trial.
#[derive(Debug)]
pub(super) struct Seen {
    /// Its strip.
    pub(super) strip: Svg,
    /// Stops that stand at its end: what each says, and what is to be done.
    pub(super) stops: Vec<(String, String)>,
}

/// The last link of its chain, and when it began and was sealed: all that its judgement hangs on.
type Record = (String, Option<i64>, Option<i64>);

static SEEN: LazyLock<Mutex<HashMap<Record, Arc<Seen>>>> = LazyLock::new(Mutex::default);

impl Seen {
    pub(super) fn of(trial: &Judged) -> Self {
        let flags = sight::Sight::of(trial).flags.into_iter();
        Self {
            strip: papers::strip::trial(&sight::plot(trial)),
            stops: flags
                .filter(|f| f.stands && f.mark == "stop")
                .map(|f| (f.says, f.todo))
                .collect(),
        }
    }
}

/// What lists show of a sealed record.
pub(super) async fn sealed(store: &Store, row: &Trial) -> Result<Arc<Seen>, Problem> {
    let record: Record = (
        row.sealed_hash.clone().unwrap_or_default(),
        row.started_at.map(records::Stamp::millis),
        row.closed_at.map(records::Stamp::millis),
    );
    let known = held(|seen| seen.get(&record).cloned());
    if let Some(known) = known {
        return Ok(known);
    }
    let fresh = Arc::new(Seen::of(&Judged::of(store, row.clone()).await?));
    held(|seen| {
        if seen.len() >= MOST {
            seen.clear();
        }
        seen.insert(record, Arc::clone(&fresh));
    });
    Ok(fresh)
}

fn held<T>(look: impl FnOnce(&mut HashMap<Record, Arc<Seen>>) -> T) -> T {
    look(&mut SEEN.lock().unwrap_or_else(PoisonError::into_inner))
}
