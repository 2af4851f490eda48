//! Closing a trial seals its log.

use crate::error::Error;
use crate::ids::TrialId;
use crate::log::trial::find_in;
use crate::writer::Write;

const HEAD: &str = "select count(*), (select hash from entry where trial_id = ?1 order by seq desc limit 1) from entry where trial_id = ?1";
const SEAL: &str = "update trial set state = 'closed', closed_at = ?2, number = ?3, verdict = ?4, because = ?5, answer = ?6,
    sealed_entries = ?7, sealed_hash = ?8 where id = ?1 and state = 'running'";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] =
    &[("log::seal::HEAD", HEAD), ("log::seal::SEAL", SEAL)];

/// What a trial is closed with.
#[derive(Clone, Debug)]
pub struct Sealed {
    /// `pass`, `fail`, `not-proven`.
    pub verdict: String,
    /// Every reason, worst first.
    pub because: Vec<String>,
    /// The workshop's answer to the question, if one was given: `yes`, `no`, `not-settled`.
    pub answer: Option<String>,
}

/// Seals a running trial and gives the record's number. Its signature and answer are entries, appended before.
///
/// # Errors
/// [`Error::Refused`] when it is not running.
pub async fn seal(w: &mut Write, id: TrialId, sealed: &Sealed) -> Result<String, Error> {
    let now = w.now();
    let trial = find_in(w, id).await?;
    if trial.state != "running" {
        let why = if trial.state == "closed" {
            "this record is sealed already"
        } else {
            "this trial has not begun"
        };
        return Err(Error::Refused(why.to_owned()));
    }
    let (count, hash): (i64, Option<String>) =
        sqlx::query_as(HEAD).bind(id).fetch_one(w.conn()).await?;
    let number = trial.label();
    sqlx::query(SEAL)
        .bind(id)
        .bind(now)
        .bind(&number)
        .bind(&sealed.verdict)
        .bind(sealed.because.join("\n"))
        .bind(&sealed.answer)
        .bind(count)
        .bind(hash.unwrap_or(trial.head_hash))
        .execute(w.conn())
        .await?;
    Ok(number)
}
