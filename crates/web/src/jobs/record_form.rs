//! The ways to a record of a job (a defect, a part, a sitting …): a fresh form, making it, seeing it,
//! changing it. What differs from one kind of record to the next is its [`RecordForm`].

use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::routing::{MethodRouter, get, post};
use records::jobs::{self, Job};
use records::pictures::Of;
use records::{Error, JobId, Write};
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::desk::Desk;
use crate::fitted::FittedList;
use crate::form::{Faults, Posted};
use crate::form_page::FormPage;
use crate::pictures::Strip;
use crate::problem::{Problem, page, refused, see};
use crate::put_back::Kept;

/// The form of one kind of record, as typed.
pub(crate) trait RecordForm: DeserializeOwned + Send + Sync + 'static {
    /// The record as it is kept.
    type Row: Serialize + DeserializeOwned + Send + Sync + 'static;
    /// What the form says, once it is read.
    type New: Send + Sync + 'static;

    /// The columns that the form writes.
    const WRITES: &'static [&'static str];
    /// The times that go with those by themselves.
    const FOLLOWS: &'static [&'static str] = &[];
    /// Where the job's page shows such records.
    const ANCHOR: &'static str;
    /// What its pictures are of, where it can have some.
    const PICTURES: Option<Of>;

    /// The form before anything is typed.
    fn fresh() -> Self;

    /// The form of what is kept.
    fn of(row: &Self::Row) -> Self;

    /// Every fault at once, each with its field.
    fn read(&self) -> Result<Self::New, Faults>;

    /// A record and the job that it belongs to.
    fn find(desk: &Desk, id: i64)
    -> impl Future<Output = Result<(Self::Row, JobId), Error>> + Send;

    /// The page that shows the form; of a known record with all that belongs beside it.
    fn page(
        &self,
        desk: &Desk,
        job: &Job,
        known: Option<&Self::Row>,
    ) -> impl Future<Output = Result<FormPage, Problem>> + Send;

    /// Writes a new record.
    fn make(
        w: &mut Write,
        job: JobId,
        new: &Self::New,
    ) -> impl Future<Output = Result<(), Error>> + Send;

    /// Writes what has changed of a record.
    fn change(
        w: &mut Write,
        id: i64,
        new: &Self::New,
    ) -> impl Future<Output = Result<(), Error>> + Send;
}

impl<F: RecordForm> Kept for F {
    type Row = F::Row;
    type New = F::New;

    const WRITES: &'static [&'static str] = F::WRITES;
    const FOLLOWS: &'static [&'static str] = F::FOLLOWS;

    async fn find(desk: &Desk, id: i64) -> Result<F::Row, Error> {
        Ok(<F as RecordForm>::find(desk, id).await?.0)
    }

    fn written(row: &F::Row) -> Result<F::New, Faults> {
        F::of(row).read()
    }

    async fn change(w: &mut Write, id: i64, new: &F::New) -> Result<(), Error> {
        <F as RecordForm>::change(w, id, new).await
    }
}

/// Makes a record of a job: `/jobs/{number}/…`.
pub(super) fn making<F: RecordForm>() -> MethodRouter<Desk> {
    post(create::<F>)
}

/// The fresh form: `/jobs/{number}/…/new`.
pub(super) fn beginning<F: RecordForm>() -> MethodRouter<Desk> {
    get(fresh::<F>)
}

/// Shows and changes a record: `/…/{id}`.
pub(super) fn keeping<F: RecordForm>() -> MethodRouter<Desk> {
    get(show::<F>).post(update::<F>)
}

fn back<F: RecordForm>(job: &Job) -> String {
    format!("/jobs/{}#{}", job.number(), F::ANCHOR)
}

/// The page of a known record, with what is fitted and its pictures.
async fn known_page<F: RecordForm>(
    form: &F,
    desk: &Desk,
    job: &Job,
    (id, row): (i64, &F::Row),
) -> Result<FormPage, Problem> {
    let page = form.page(desk, job, Some(row)).await?;
    let page = page.with_changes(desk).await?;
    let page = match F::PICTURES {
        Some(Of::Sitting) => page.fitted(FittedList::of_sitting(desk, id).await?),
        Some(Of::Part) => page.fitted(FittedList::of_part(desk, id).await?),
        _ => page,
    };
    Ok(match F::PICTURES {
        Some(of) => page.pictured(Strip::of(desk, of, id).await?),
        None => page,
    })
}

async fn fresh<F: RecordForm>(
    State(desk): State<Desk>,
    Path(number): Path<String>,
) -> Result<Html<String>, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    page(&F::fresh().page(&desk, &job, None).await?)
}

async fn create<F: RecordForm>(
    State(desk): State<Desk>,
    Path(number): Path<String>,
    posted: Posted<F>,
) -> Result<Response, Problem> {
    let job = jobs::find(desk.store(), &number).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            let again = posted.form.page(&desk, &job, None).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                F::make(w, job.id, &new).await?;
                Ok(back::<F>(&job))
            })
        })
        .await?;
    Ok(see(&to))
}

async fn show<F: RecordForm>(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Html<String>, Problem> {
    let (row, job) = <F as RecordForm>::find(&desk, id).await?;
    let job = jobs::by_id(desk.store(), job).await?;
    page(&known_page(&F::of(&row), &desk, &job, (id, &row)).await?)
}

async fn update<F: RecordForm>(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<F>,
) -> Result<Response, Problem> {
    let (row, job) = <F as RecordForm>::find(&desk, id).await?;
    let job = jobs::by_id(desk.store(), job).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            let again = known_page(&posted.form, &desk, &job, (id, &row)).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                <F as RecordForm>::change(w, id, &new).await?;
                Ok(back::<F>(&job))
            })
        })
        .await?;
    Ok(see(&to))
}
