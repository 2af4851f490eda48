//! The data folder: locked, refused when newer, backed up, restored, and loud when it cannot save.

use super::fresh;
use crate::writer::Saving;
use crate::{Error, Store, backup, doctor, file_of, workshop};

async fn set(store: &Store, name: &'static str) -> Result<(), Error> {
    store
        .write("Ada", move |w| {
            Box::pin(async move { workshop::set(w, name, "Ada", false).await })
        })
        .await
}

#[tokio::test]
async fn a_second_opening_is_refused_and_a_closed_folder_opens_again() {
    let (folder, store) = fresh().await;
    set(&store, "Curlew Yard").await.unwrap();
    assert!(matches!(
        Store::open(folder.path()).await,
        Err(Error::Locked(_))
    ));
    store.close().await;
    drop(store);
    assert!(
        !folder.path().join("gaugeglass.sqlite-wal").exists(),
        "nothing is left beside the file"
    );
    let again = Store::open(folder.path()).await.unwrap();
    assert_eq!(
        workshop::find(&again).await.unwrap().unwrap().name,
        "Curlew Yard"
    );
}

#[tokio::test]
async fn newer_data_is_refused_without_writing_a_byte() {
    let (folder, store) = fresh().await;
    store.close().await;
    drop(store);
    let file = file_of(folder.path());
    let mut conn = crate::connect::copier(&file).await.unwrap();
    sqlx::query("insert into _sqlx_migrations (version, description, success, checksum, execution_time) values (9999, 'later', 1, x'00', 0)")
        .execute(&mut conn)
        .await
        .unwrap();
    sqlx::Connection::close(conn).await.unwrap();
    let before = crate::sha256(&std::fs::read(&file).unwrap());
    assert!(matches!(
        Store::open(folder.path()).await,
        Err(Error::Newer { found: 9999, .. })
    ));
    assert_eq!(before, crate::sha256(&std::fs::read(&file).unwrap()));
}

#[tokio::test]
async fn a_backup_is_made_while_open_and_restored_into_a_new_folder() {
    let (folder, store) = fresh().await;
    set(&store, "Curlew Yard").await.unwrap();
    let copy = backup::make(folder.path(), &folder.path().join("backups"))
        .await
        .unwrap();
    assert!(
        copy.path.exists()
            && backup::newest(&folder.path().join("backups")) == Some(copy.path.clone())
    );
    assert!(matches!(
        backup::restore(&copy.path, folder.path()).await,
        Err(Error::Refused(_))
    ));
    let other = tempfile::tempdir().unwrap();
    std::fs::write(other.path().join("gaugeglass.sqlite-wal"), b"stale").unwrap();
    let back = backup::restore(&copy.path, other.path()).await.unwrap();
    assert_eq!(
        (back.jobs, back.trials, back.entries),
        (copy.jobs, copy.trials, copy.entries)
    );
    let restored = Store::open(other.path()).await.unwrap();
    assert_eq!(
        workshop::find(&restored).await.unwrap().unwrap().name,
        "Curlew Yard"
    );
    let checks = doctor::look(folder.path()).await.unwrap();
    assert!(
        checks.iter().filter(|c| c.what != "space").all(|c| c.good),
        "{checks:?}"
    );
}

#[tokio::test]
async fn a_work_that_panics_does_not_end_the_writer() {
    let (_folder, store) = fresh().await;
    let stopped: Result<(), Error> = store
        .write("Ada", |_| Box::pin(async { panic!("a fault in the work") }))
        .await;
    assert!(matches!(stopped, Err(Error::NotSaving(_))));
    set(&store, "Curlew Yard").await.unwrap();
    assert_eq!(store.saving(), Saving::Yes);
}

#[tokio::test]
async fn a_fault_latches_until_a_fresh_connection_has_kept_a_row() {
    let (folder, store) = fresh().await;
    set(&store, "Curlew Yard").await.unwrap();
    let lost: Result<(), Error> = store
        .write("Ada", |_| {
            Box::pin(async { Err(Error::Damaged("a page".into())) })
        })
        .await;
    assert!(matches!(lost, Err(Error::NotSaving(_))), "{lost:?}");
    assert!(matches!(store.saving(), Saving::No { .. }));
    // Reading goes on.
    assert!(workshop::find(&store).await.unwrap().is_some());
    // The file cannot be opened: it stays latched.
    let (file, aside) = (file_of(folder.path()), folder.path().join("aside"));
    std::fs::rename(&file, &aside).unwrap();
    std::fs::create_dir(&file).unwrap();
    tokio::time::sleep(std::time::Duration::from_millis(1100)).await;
    assert!(matches!(
        set(&store, "Elsewhere").await,
        Err(Error::NotSaving(_))
    ));
    std::fs::remove_dir(&file).unwrap();
    std::fs::rename(&aside, &file).unwrap();
    tokio::time::sleep(std::time::Duration::from_millis(1100)).await;
    store.try_saving().await.unwrap();
    assert_eq!(store.saving(), Saving::Yes);
    set(&store, "Elsewhere").await.unwrap();
}

#[tokio::test]
async fn a_full_disk_loses_nothing_acknowledged_and_says_so() {
    let (_folder, store) = fresh().await;
    set(&store, "Curlew Yard").await.unwrap();
    // The connection may take no more pages: what SQLite then says is what a full disk makes it say.
    store
        .write("Ada", |w| {
            Box::pin(async move {
                let pages: i64 = sqlx::query_scalar("pragma page_count")
                    .fetch_one(w.conn())
                    .await?;
                assert!(pages < 200, "{pages}");
                sqlx::query("pragma max_page_count = 200")
                    .execute(w.conn())
                    .await?;
                Ok(())
            })
        })
        .await
        .unwrap();
    let mut acknowledged = 0;
    let refused = loop {
        let new = crate::customers::NewCustomer {
            name: "T. Penrow".into(),
            note: "x".repeat(3000),
            ..Default::default()
        };
        match store
            .write("Ada", move |w| {
                Box::pin(async move { crate::customers::make(w, &new).await })
            })
            .await
        {
            Ok(_) => acknowledged += 1,
            Err(error) => break error,
        }
        assert!(acknowledged < 1000, "it never filled up");
    };
    assert!(
        matches!(&refused, Error::NotSaving(why) if why == "the disk is full"),
        "{refused:?}"
    );
    assert!(matches!(store.saving(), Saving::No { .. }));
    assert_eq!(
        crate::customers::list(&store, None, 100)
            .await
            .unwrap()
            .len(),
        acknowledged
    );
    tokio::time::sleep(std::time::Duration::from_millis(1100)).await;
    store.try_saving().await.unwrap();
    set(&store, "Elsewhere").await.unwrap();
    assert_eq!(
        crate::customers::list(&store, None, 100)
            .await
            .unwrap()
            .len(),
        acknowledged
    );
}

#[tokio::test]
async fn older_data_is_backed_up_before_it_is_brought_up_to_date() {
    let folder = tempfile::tempdir().unwrap();
    let file = file_of(folder.path());
    let all: Vec<_> = crate::store::MIGRATOR.iter().cloned().collect();
    let older = sqlx::migrate::Migrator {
        migrations: all[..1].to_vec().into(),
        ..sqlx::migrate::Migrator::DEFAULT
    };
    let mut conn = crate::connect::writer(&file).await.unwrap();
    older.run(&mut conn).await.unwrap();
    sqlx::query("insert into workshop (id, name, owner, made_at) values (1, 'Before', 'Ada', 0)")
        .execute(&mut conn)
        .await
        .unwrap();
    sqlx::Connection::close(conn).await.unwrap();
    let store = Store::open(folder.path()).await.unwrap();
    assert_eq!(
        workshop::find(&store).await.unwrap().unwrap().name,
        "Before"
    );
    let kept = backup::newest(&folder.path().join("backups")).expect("a backup of the older data");
    let mut conn = crate::connect::looker(&kept).await.unwrap();
    let name: String = sqlx::query_scalar("select name from workshop")
        .fetch_one(&mut conn)
        .await
        .unwrap();
    let newest: i64 = sqlx::query_scalar("select max(version) from _sqlx_migrations")
        .fetch_one(&mut conn)
        .await
        .unwrap();
    assert_eq!((name.as_str(), newest), ("Before", 1));
}

#[tokio::test]
async fn a_change_under_a_lower_number_is_backed_up_for_too() {
    let folder = tempfile::tempdir().unwrap();
    let mut migrations: Vec<_> = crate::store::MIGRATOR.iter().cloned().collect();
    migrations.retain(|m| m.version != 32);
    let without = sqlx::migrate::Migrator {
        migrations: migrations.into(),
        ..sqlx::migrate::Migrator::DEFAULT
    };
    let mut conn = crate::connect::writer(&file_of(folder.path()))
        .await
        .unwrap();
    without.run(&mut conn).await.unwrap();
    sqlx::Connection::close(conn).await.unwrap();
    let backups = folder.path().join("backups");
    let store = Store::open(folder.path()).await.unwrap();
    assert!(backup::newest(&backups).is_some());
    store.close().await;
    drop(store);
    // Brought up to date, it is not copied again.
    std::fs::remove_dir_all(&backups).unwrap();
    Store::open(folder.path()).await.unwrap();
    assert!(backup::newest(&backups).is_none());
}
