//! Procedures: a version never changes, and the next comes after the one that it was made from.

use super::fresh;
use crate::error::Error;
use crate::procedures;
use crate::store::Store;

async fn write(store: &Store, after: i64, text: &'static str) -> Result<i64, Error> {
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                procedures::begin(w, "air", "shipped").await?;
                procedures::write(w, "air", after, text).await
            })
        })
        .await
}

#[tokio::test]
async fn versions_follow_each_other_and_the_shipped_one_is_the_first() {
    let (_folder, store) = fresh().await;
    assert_eq!(procedures::newest(&store, "air").await.unwrap(), None);
    assert_eq!(write(&store, 1, "ours").await.unwrap(), 2);
    assert!(matches!(
        write(&store, 1, "theirs").await,
        Err(Error::Refused(_))
    ));
    let all = procedures::of_kind(&store, "air").await.unwrap();
    let texts: Vec<(i64, &str, &str)> = all
        .iter()
        .map(|p| (p.version, p.text.as_str(), p.by.as_str()))
        .collect();
    assert_eq!(texts, [(2, "ours", "Ada"), (1, "shipped", "Ada")]);
    let own = procedures::by_content(&store, "air", &crate::sha256(b"shipped"))
        .await
        .unwrap();
    assert_eq!(own.as_ref(), all.last());
    assert_eq!(
        procedures::by_content(&store, "steam", &crate::sha256(b"shipped"))
            .await
            .unwrap(),
        None
    );
}

#[tokio::test]
async fn a_version_is_never_altered_deleted_or_replaced() {
    let (_folder, store) = fresh().await;
    write(&store, 1, "ours").await.unwrap();
    for sql in [
        "update procedure set text = 'x' where version = 2",
        "delete from procedure where version = 1",
        "insert or replace into procedure (id, kind, version, text, sha256, by, made_at)
            select id, kind, version, 'x', sha256, by, made_at from procedure where version = 2",
    ] {
        let done = store
            .write("Ada", move |w| {
                Box::pin(async move {
                    sqlx::query(sql).execute(w.conn()).await?;
                    Ok(())
                })
            })
            .await;
        assert!(done.is_err(), "{sql}");
    }
    let newest = procedures::newest(&store, "air").await.unwrap();
    assert_eq!(newest.unwrap().text, "ours");
}
