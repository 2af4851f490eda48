//! Pictures of the glass that nobody has read off yet: each is a reading that waits, at the time when it was taken.

use records::pictures::{self, Of};

use super::load::Judged;
use crate::desk::Desk;
use crate::problem::Problem;

/// How a phone writes under a picture of the glass when it was taken.
const TAKEN: &str = "the glass at ";

/// A picture that waits to be read off.
pub(super) struct ToReadOff {
    /// Where it is shown whole.
    pub(super) address: String,
    /// Its small form.
    pub(super) small: String,
    pub(super) width: i64,
    pub(super) height: i64,
    /// When it was taken, `10:42:07`.
    pub(super) at: String,
}

/// Those of a trial that has begun, the oldest first.
pub(super) async fn waiting(desk: &Desk, trial: &Judged) -> Result<Vec<ToReadOff>, Problem> {
    let taken = pictures::of(desk.store(), Of::Trial, trial.row.id.get()).await?;
    if taken.is_empty() {
        return Ok(Vec::new());
    }
    let read: Vec<String> = trial
        .log
        .lines()
        .into_iter()
        .filter(|line| !line.level.now.is_empty() && line.level.now != "in-glass")
        .map(|line| line.at)
        .collect();
    let mut all: Vec<ToReadOff> = taken
        .into_iter()
        .filter(|p| p.withdrawn_at.is_none())
        .filter_map(|p| {
            let at = p.caption.strip_prefix(TAKEN)?.to_owned();
            (!read.contains(&at)).then(|| ToReadOff {
                address: crate::pictures::address(&p.page_sha256),
                small: crate::pictures::address(&p.small_sha256),
                width: p.small_width,
                height: p.small_height,
                at,
            })
        })
        .collect();
    all.sort_by(|a, b| a.at.cmp(&b.at));
    Ok(all)
}
