//! The one writer: its own connection, one thing at a time, acknowledged after the commit.
//!
//! A caller that goes away cannot stop what it sent. After a fault of the disk or the file the
//! connection is dropped and *nothing is being saved* stands, until a fresh connection has been
//! opened, checked, and has written and kept a row.

use std::future::Future;
use std::path::PathBuf;
use std::pin::Pin;
use std::sync::{Arc, RwLock};
use std::time::{Duration, Instant};

use sqlx::{Connection, SqliteConnection};
use tokio::sync::{mpsc, oneshot};

use crate::error::Error;
use crate::time::Stamp;
use crate::{connect, log};

/// How many writes may wait.
pub const QUEUE: usize = 256;

const BEGIN: &str = "begin immediate";
const COMMIT: &str = "commit";
const ROLLBACK: &str = "rollback";
const HEARTBEAT: &str =
    "insert into heartbeat (id, at) values (1, ?1) on conflict (id) do update set at = excluded.at";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[("writer::HEARTBEAT", HEARTBEAT)];

/// Work in a transaction: what it borrows lasts as long as the transaction.
pub type Work<'t, T> = Pin<Box<dyn Future<Output = Result<T, Error>> + Send + 't>>;

/// An open transaction of the one writer.
pub struct Write {
    conn: SqliteConnection,
    now: Stamp,
    by: String,
}

impl Write {
    pub(crate) fn conn(&mut self) -> &mut SqliteConnection {
        &mut self.conn
    }

    /// The moment this transaction began: every row of it carries the same.
    #[must_use]
    pub fn now(&self) -> Stamp {
        self.now
    }

    /// Under whose name it is written.
    #[must_use]
    pub fn by(&self) -> &str {
        &self.by
    }

    /// Writes as if it were another moment: the example workshop has a past.
    pub(crate) fn set_now(&mut self, now: Stamp) {
        self.now = now;
    }

    /// Writes under another name.
    pub(crate) fn set_by(&mut self, by: &str) {
        by.clone_into(&mut self.by);
    }
}

/// Whether what is entered is being kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Saving {
    /// Every acknowledged row is on the disk.
    Yes,
    /// Writing failed; nothing is acknowledged until it has been proven good again.
    No {
        /// When it first failed.
        since: Stamp,
        /// In plain words.
        reason: String,
    },
}

#[derive(Debug)]
pub(crate) struct State {
    saving: RwLock<Saving>,
}

impl State {
    pub(crate) fn saving(&self) -> Saving {
        self.saving
            .read()
            .unwrap_or_else(std::sync::PoisonError::into_inner)
            .clone()
    }

    fn set(&self, saving: Saving) {
        *self
            .saving
            .write()
            .unwrap_or_else(std::sync::PoisonError::into_inner) = saving;
    }

    fn latch(&self, fault: &str) {
        tracing::error!(fault, "nothing is being saved");
        if self.saving() == Saving::Yes {
            self.set(Saving::No {
                since: Stamp::now(),
                reason: fault.to_owned(),
            });
        }
    }
}

type Finish = Box<dyn FnOnce(Result<(), Error>) + Send>;
enum Next {
    Keep(Finish),
    Drop { finish: Finish, error: Error },
}
type Run = Box<
    dyn for<'t> FnOnce(&'t mut Write) -> Pin<Box<dyn Future<Output = Next> + Send + 't>> + Send,
>;

enum Message {
    Work { by: String, run: Run },
    Close(oneshot::Sender<()>),
}

/// The way to the writer.
#[derive(Debug)]
pub(crate) struct Writer {
    queue: mpsc::Sender<Message>,
    state: Arc<State>,
}

impl Writer {
    /// Starts the writer on a connection that has been checked.
    pub(crate) fn start(conn: SqliteConnection, file: PathBuf) -> Self {
        let (queue, inbox) = mpsc::channel(QUEUE);
        let state = Arc::new(State {
            saving: RwLock::new(Saving::Yes),
        });
        tokio::spawn(serve(inbox, conn, file, Arc::clone(&state)));
        Self { queue, state }
    }

    pub(crate) fn saving(&self) -> Saving {
        self.state.saving()
    }

    /// Does work in one transaction; answers after the commit.
    pub(crate) async fn write<T, F>(&self, by: &str, work: F) -> Result<T, Error>
    where
        T: Send + 'static,
        F: for<'t> FnOnce(&'t mut Write) -> Work<'t, T> + Send + 'static,
    {
        let (ack, answer) = oneshot::channel::<Result<T, Error>>();
        let run: Run = Box::new(move |write| {
            Box::pin(async move {
                match work(write).await {
                    Ok(value) => Next::Keep(Box::new(move |kept| {
                        let _ = ack.send(kept.map(|()| value));
                    })),
                    Err(error) => Next::Drop {
                        finish: Box::new(move |why| drop(ack.send(why.and(Err(Error::Busy))))),
                        error,
                    },
                }
            })
        });
        self.queue
            .try_send(Message::Work {
                by: by.to_owned(),
                run,
            })
            .map_err(|_| Error::Busy)?;
        match answer.await {
            Ok(answer) => answer,
            Err(_) => Err(self.not_saving()),
        }
    }

    fn not_saving(&self) -> Error {
        match self.saving() {
            Saving::No { reason, .. } => Error::NotSaving(reason),
            Saving::Yes => {
                Error::NotSaving("the writer stopped over this; send it again".to_owned())
            }
        }
    }

    /// Writes what is waiting, then closes the writer's connection.
    pub(crate) async fn close(&self) {
        let (done, closed) = oneshot::channel();
        if self.queue.send(Message::Close(done)).await.is_ok() {
            drop(closed.await);
        }
    }
}

async fn serve(
    mut inbox: mpsc::Receiver<Message>,
    conn: SqliteConnection,
    file: PathBuf,
    state: Arc<State>,
) {
    let mut open = Some(conn);
    let mut last_try: Option<Instant> = None;
    while let Some(message) = inbox.recv().await {
        let (by, run) = match message {
            Message::Work { by, run } => (by, run),
            Message::Close(done) => {
                if let Some(conn) = open.take() {
                    drop(conn.close().await);
                }
                let _ = done.send(());
                return;
            }
        };
        if open.is_none() && last_try.is_none_or(|t| t.elapsed() > Duration::from_secs(1)) {
            last_try = Some(Instant::now());
            match reopen(&file).await {
                Ok(conn) => {
                    open = Some(conn);
                    state.set(Saving::Yes);
                }
                Err(error) => state.latch(&error.to_string()),
            }
        }
        // Dropping `run` unanswered tells the caller that nothing is being saved.
        let Some(conn) = open.take() else { continue };
        // A task of its own: a panic in the work must not end the writer.
        match tokio::spawn(one(
            Write {
                conn,
                now: Stamp::now(),
                by,
            },
            run,
        ))
        .await
        {
            Ok((write, None)) => open = Some(write.conn),
            Ok((write, Some(fault))) => {
                state.latch(&fault);
                drop(write);
                last_try = Some(Instant::now());
            }
            Err(stopped) => {
                tracing::error!(%stopped, "work in the writer stopped; a fresh connection is opened")
            }
        }
    }
}

/// One transaction. Says what failed if the connection cannot be trusted any more.
async fn one(mut write: Write, run: Run) -> (Write, Option<String>) {
    if let Err(error) = sqlx::query(BEGIN).execute(&mut write.conn).await {
        // `run` is dropped unanswered.
        return (write, Some(plain(&error.into())));
    }
    match run(&mut write).await {
        Next::Keep(finish) => match end(&mut write).await {
            Ok(()) => {
                finish(Ok(()));
                (write, None)
            }
            Err(error) => {
                let reason = plain(&error);
                finish(Err(Error::NotSaving(reason.clone())));
                (write, Some(reason))
            }
        },
        Next::Drop { finish, error } => {
            let fault = error.is_fault().then(|| plain(&error));
            let rolled_back = sqlx::query(ROLLBACK).execute(&mut write.conn).await;
            let fault = fault.or_else(|| rolled_back.err().map(|e| plain(&e.into())));
            finish(Err(match &fault {
                Some(reason) => Error::NotSaving(reason.clone()),
                None => error,
            }));
            (write, fault)
        }
    }
}

/// What follows from what was written is reckoned anew, and all of it is kept.
async fn end(write: &mut Write) -> Result<(), Error> {
    // What cannot be reckoned now is asked again by the next that writes: it holds up nothing that was entered.
    if let Err(error) = crate::retests::kept::renew(write).await {
        tracing::error!(%error, "re-tests were not reckoned anew");
    }
    sqlx::query(COMMIT).execute(&mut write.conn).await?;
    Ok(())
}

/// A fresh connection that has been checked, and has kept a row.
async fn reopen(file: &std::path::Path) -> Result<SqliteConnection, Error> {
    let mut conn = connect::writer(file).await?;
    connect::quick_check(&mut conn).await?;
    let report = log::verify::every_chain(&mut conn, None).await?;
    if let Some(first) = report.faults.first() {
        return Err(Error::Damaged(first.clone()));
    }
    sqlx::query(BEGIN).execute(&mut conn).await?;
    sqlx::query(HEARTBEAT)
        .bind(Stamp::now())
        .execute(&mut conn)
        .await?;
    sqlx::query(COMMIT).execute(&mut conn).await?;
    Ok(conn)
}

fn plain(error: &Error) -> String {
    if let Error::Database(sqlx::Error::Database(inner)) = error {
        let code = inner
            .code()
            .and_then(|c| c.parse::<i64>().ok())
            .unwrap_or(0)
            & 0xff;
        match code {
            13 => return "the disk is full".to_owned(),
            8 => return "the file may not be written".to_owned(),
            10 => return "the disk gave an input or output error".to_owned(),
            11 | 26 => return "the file is damaged".to_owned(),
            _ => {}
        }
    }
    error.to_string()
}
