//! Putting back is held to what was seen, and to what it was to put back; else nothing of it is kept.

use serde_json::{Map, Value};

use super::book::{bare, book};
use super::fresh;
use crate::change::{self, Change, Subject};
use crate::defects::{self, NewDefect, Origin};
use crate::{DefectId, Error, Store};

fn written(what: &str, bar: &str) -> NewDefect {
    NewDefect {
        component_id: None,
        what: what.to_owned(),
        bar: bar.to_owned(),
        to_do: String::new(),
        origin: Origin::Examination,
    }
}

/// A defect whose words were changed, with that change.
async fn changed(store: &Store) -> (DefectId, Change) {
    let job = book(store, bare()).await.unwrap();
    let work = store.write("Ada", move |w| {
        Box::pin(async move {
            let id = defects::make(w, job, &written("It weeps", "no steam")).await?;
            defects::change(w, id, &written("It leaks", "no steam")).await?;
            Ok(id)
        })
    });
    let id = work.await.unwrap();
    let kept = change::of(store, Subject::Defect, id.get(), None, 9).await;
    (id, kept.unwrap().remove(0))
}

/// Puts a change back by writing this, held to what was seen.
async fn put_back(
    store: &Store,
    (id, change): (DefectId, Change),
    seen: Map<String, Value>,
    by: NewDefect,
) -> Result<(), Error> {
    let work = store.write("Ada", move |w| {
        Box::pin(async move {
            let held = change::hold(w, &change, &seen).await?;
            defects::change(w, id, &by).await?;
            held.proven(w, &[]).await
        })
    });
    work.await
}

#[tokio::test]
async fn what_was_put_back_is_kept_and_nothing_else_is() {
    let (_folder, store) = fresh().await;
    let (id, change) = changed(&store).await;
    let seen = change::stands(&store, &change).await.unwrap();
    assert_eq!(seen["what"], "It leaks");
    let stands = || async { defects::find(&store, id).await.unwrap() };
    let with = |by| put_back(&store, (id, change.clone()), seen.clone(), by);
    // Not what it was, and more than what it was.
    for (by, says) in [
        (
            written("It drips", "no steam"),
            "what cannot be put back as it was",
        ),
        (
            written("It weeps", "watch"),
            "this cannot be put back alone: bar would change with it",
        ),
    ] {
        let refused = with(by).await.unwrap_err();
        assert_eq!(refused.to_string(), says);
        assert_eq!(stands().await.what, "It leaks");
        assert_eq!(stands().await.bar, "no steam");
    }
    with(written("It weeps", "no steam")).await.unwrap();
    assert_eq!(stands().await.what, "It weeps");
    // It stands otherwise by now than it was seen.
    let again = with(written("It weeps", "no steam")).await.unwrap_err();
    assert!(again.to_string().contains("changed in between"), "{again}");
}

#[tokio::test]
async fn a_record_is_read_as_it_would_be_with_what_was_there_before() {
    let (_folder, store) = fresh().await;
    let (id, change) = changed(&store).await;
    let now = defects::find(&store, id).await.unwrap();
    let was = change::over(&now, &change).unwrap();
    assert_eq!(
        (was.what.as_str(), now.what.as_str()),
        ("It weeps", "It leaks")
    );
    assert_eq!(
        defects::Defect {
            what: now.what.clone(),
            ..was
        },
        now
    );
    let of_nothing = Change {
        before: Some(r#"{"no_such_column": 1}"#.to_owned()),
        ..change
    };
    assert!(matches!(
        change::over(&now, &of_nothing),
        Err(Error::Refused(_))
    ));
}
