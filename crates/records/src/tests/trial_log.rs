//! The log: one row a key, append-only, chained, sealed.

use super::fresh;
use crate::customers::NewCustomer;
use crate::jobs::NewJob;
use crate::log::{self, Made, NewTrial, Place, Sealed, Sent, Stored};
use crate::plants::NewPlant;
use crate::{Day, Error, Store, TrialId, customers, jobs, plants};

async fn prepared(store: &Store) -> TrialId {
    store
        .write("Ada", |w| {
            Box::pin(async move {
                let customer_id = customers::make(
                    w,
                    &NewCustomer {
                        name: "T. Penrow".into(),
                        ..Default::default()
                    },
                )
                .await?;
                let plant = NewPlant {
                    name: "Sandmartin".into(),
                    customer_id,
                    boiler_mark: String::new(),
                    note: String::new(),
                };
                let plant = plants::make(w, &plant).await?;
                let job = NewJob {
                    words: String::new(),
                    condition: String::new(),
                    contents: String::new(),
                    came_in_on: Day::read("2026-11-03").unwrap(),
                    promised_on: None,
                    next_time: String::new(),
                    return_of: None,
                    back: jobs::Back::default(),
                    steam_to_bar: String::new(),
                    estimate_pence: None,
                    private_note: String::new(),
                };
                let job_id = jobs::book(w, plant, &job).await?;
                let head = r#"{"format":"gaugeglass-trial/1","kind":"steam"}"#.to_owned();
                log::prepare(
                    w,
                    &NewTrial {
                        job_id,
                        kind: "steam".into(),
                        question: "does it hold?".into(),
                        head,
                    },
                )
                .await
            })
        })
        .await
        .unwrap()
}

async fn send(
    store: &Store,
    trial: TrialId,
    n: usize,
    level: &'static str,
) -> Result<Stored, Error> {
    let sent = Sent {
        trial,
        key: format!("key-{n:012}"),
        content: level.as_bytes().to_vec(),
        written_at: None,
        from: None,
    };
    let make = move |place: &Place| {
        let text = format!(
            r#"{{"t_s":{n},"reading":{{"level_mm":{level}}},"id":"{}","by":"{}"}}"#,
            place.id, place.by
        );
        Ok(Made {
            text,
            t_s: u32::try_from(n).unwrap().into(),
        })
    };
    log::append(store, "Ada", sent, make).await
}

#[tokio::test]
async fn the_same_key_is_one_entry_and_other_content_is_refused() {
    let (_folder, store) = fresh().await;
    let trial = prepared(&store).await;
    let first = send(&store, trial, 1, "31.5").await.unwrap();
    assert_eq!(
        first.text,
        r#"{"t_s":1,"reading":{"level_mm":31.5},"id":"a1","by":"Ada"}"#
    );
    for _ in 0..3 {
        let again = send(&store, trial, 1, "31.5").await.unwrap();
        assert_eq!(
            Stored {
                again: false,
                ..again
            },
            first
        );
    }
    assert!(matches!(
        send(&store, trial, 1, "90").await,
        Err(Error::KeyReused)
    ));
    assert_eq!(log::entries(&store, trial, 0).await.unwrap().len(), 1);
    let found = log::find(&store, trial).await.unwrap();
    assert_eq!(
        (found.state.as_str(), found.label().as_str()),
        ("running", "26-001/1")
    );
    assert_eq!(
        jobs::find(&store, "26-001").await.unwrap().stands(),
        "under trial"
    );
}

#[tokio::test]
async fn many_senders_at_once_keep_one_chain() {
    let (_folder, store) = fresh().await;
    let trial = prepared(&store).await;
    let senders: Vec<_> = (0..60)
        .map(|n| {
            let store = store.clone();
            tokio::spawn(async move { send(&store, trial, n, "30").await })
        })
        .collect();
    // Half of them hang up at once: what they sent is kept or not, but whole.
    for sender in senders.iter().step_by(2) {
        sender.abort();
    }
    let mut acknowledged = 0;
    for sender in senders {
        if let Ok(stored) = sender.await {
            stored.unwrap();
            acknowledged += 1;
        }
    }
    let rows = log::entries(&store, trial, 0).await.unwrap().len();
    assert!(
        acknowledged >= 30 && rows >= acknowledged,
        "{acknowledged} acknowledged, {rows} rows"
    );
    let report = log::verify::verify(&store, None).await.unwrap();
    assert_eq!(
        report.line(),
        format!("verify: 1 trials, {rows} entries, 0 pictures, OK")
    );
}

#[tokio::test]
async fn a_sealed_record_takes_no_more_and_cannot_be_altered() {
    let (folder, store) = fresh().await;
    let trial = prepared(&store).await;
    for n in 1..=3 {
        send(&store, trial, n, "30").await.unwrap();
    }
    let sealed = Sealed {
        verdict: "not-proven".into(),
        because: vec!["no lift".into()],
        answer: Some("yes".into()),
    };
    let number = store
        .write("Ada", move |w| {
            Box::pin(async move { log::seal(w, trial, &sealed).await })
        })
        .await
        .unwrap();
    assert_eq!(number, "26-001/1");
    assert!(matches!(
        send(&store, trial, 4, "30").await,
        Err(Error::Refused(_))
    ));
    assert!(
        !send(&store, trial, 3, "30").await.unwrap().hash.is_empty(),
        "an answer to a resend is still given"
    );
    assert_eq!(
        log::verify::verify(&store, Some("26-001/1"))
            .await
            .unwrap()
            .line(),
        "verify: 1 trials, 3 entries, 0 pictures, OK"
    );
    assert!(matches!(
        log::verify::verify(&store, Some("26-001/9")).await,
        Err(Error::Missing(_))
    ));
    store.close().await;
    let mut conn = crate::connect::copier(&crate::file_of(folder.path()))
        .await
        .unwrap();
    for sql in [
        "update entry set t_s = 9",
        "delete from entry",
        "update trial set verdict = 'pass'",
        "delete from trial",
        "delete from change",
    ] {
        let error = sqlx::query(sql).execute(&mut conn).await.expect_err(sql);
        assert!(error.to_string().contains("never"), "{sql}: {error}");
    }
}

#[tokio::test]
async fn an_entry_of_an_open_trial_cannot_be_replaced() {
    let (folder, store) = fresh().await;
    let trial = prepared(&store).await;
    send(&store, trial, 1, "30").await.unwrap();
    store.close().await;
    let mut conn = crate::connect::copier(&crate::file_of(folder.path()))
        .await
        .unwrap();
    let sql = "insert or replace into entry select id, trial_id, seq, key, sent_sha256, '{}', t_s, \
               received_at, prev_hash, hash from entry";
    let error = sqlx::query(sql).execute(&mut conn).await.expect_err(sql);
    assert!(error.to_string().contains("never replaced"), "{error}");
}

#[tokio::test]
async fn every_altered_byte_is_found_and_the_untouched_copy_is_not_accused() {
    let (folder, store) = fresh().await;
    let trial = prepared(&store).await;
    for n in 1..=5 {
        send(&store, trial, n, "30").await.unwrap();
    }
    store.close().await;
    let report = log::verify::verify_folder(folder.path(), None)
        .await
        .unwrap();
    assert_eq!(report.line(), "verify: 1 trials, 5 entries, 0 pictures, OK");
    // What a hand outside the program could do, its guards taken off.
    let sqls = [
        (
            "update entry set text = replace(text, '30', '90') where seq = 4",
            "entry 4: its text",
        ),
        (
            "update entry set t_s = 77 where seq = 2",
            "entry 2: its stored time",
        ),
        (
            "update entry set hash = replace(hash, substr(hash, 1, 1), 'g') where seq = 5",
            "entry 5: its text",
        ),
        (
            "update entry set seq = 9 where seq = 3",
            "entry 3: an entry is missing",
        ),
        ("update trial set head = head || ' '", "prepared with"),
    ];
    for (sql, finds) in sqls {
        let copy = tempfile::tempdir().unwrap();
        std::fs::copy(crate::file_of(folder.path()), crate::file_of(copy.path())).unwrap();
        let mut conn = crate::connect::copier(&crate::file_of(copy.path()))
            .await
            .unwrap();
        for guard in [
            "drop trigger entry_is_never_altered",
            "drop trigger trial_head_is_never_altered",
        ] {
            sqlx::query(guard).execute(&mut conn).await.unwrap();
        }
        sqlx::query(sql).execute(&mut conn).await.unwrap();
        sqlx::Connection::close(conn).await.unwrap();
        let line = log::verify::verify_folder(copy.path(), None)
            .await
            .unwrap()
            .line();
        assert!(
            line.contains("WRONG") && line.contains(finds),
            "{sql}: {line}"
        );
    }
}

#[tokio::test]
async fn a_clock_that_stands_before_the_log_is_said_and_nothing_is_dated_anew() {
    let (_folder, store) = fresh().await;
    let trial = prepared(&store).await;
    let start = crate::Stamp::now();
    let mut told = Vec::new();
    for (n, seconds) in [0, 600, 599, 60, 700].into_iter().enumerate() {
        let behind = store
            .write("Ada", move |w| {
                Box::pin(async move {
                    w.set_now(start.plus_seconds(seconds));
                    let sent = Sent {
                        trial,
                        key: format!("key-{n:012}"),
                        content: vec![b'x'],
                        written_at: None,
                        from: None,
                    };
                    let mut behind = false;
                    let stored = log::append_in(w, &sent, |place: &Place| {
                        behind = place.clock_is_behind;
                        Ok(Made {
                            text: format!("{{\"t_s\":{}}}", place.received_at_s),
                            t_s: 0.0,
                        })
                    })
                    .await?;
                    assert_eq!(stored.received_at, start.plus_seconds(seconds));
                    Ok(behind)
                })
            })
            .await
            .unwrap();
        told.push(behind);
    }
    // A second is nothing; nine minutes are, and afterwards it is well again.
    assert_eq!(told, [false, false, false, true, false]);
}
