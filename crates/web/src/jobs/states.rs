//! Noting something done for now, changing it, and ending it.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::post;
use records::jobs::{self, Job};
use records::pictures::Of;
use records::sittings::{self, Sitting};
use records::states::{self, NewState, TemporaryState};
use records::{Error, JobId, SittingId, StateId, Write, defects};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::{BesideForm, FormPage};
use crate::jobs::record_form::{self, RecordForm};
use crate::problem::{Problem, see};

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/jobs/{number}/states", record_form::making::<StateForm>())
        .route(
            "/jobs/{number}/states/new",
            record_form::beginning::<StateForm>(),
        )
        .route("/states/{id}", record_form::keeping::<StateForm>())
        .route("/states/{id}/end", post(end))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct StateForm {
    what: String,
    how: String,
    place: String,
    bar: String,
    sitting: String,
    ends_it: String,
}

impl StateForm {
    fn fields(&self, sittings: &[Sitting]) -> Vec<Field> {
        vec![
            Field::new("text", "what", "What", &self.what).hint("the piece, as you would say it"),
            Field::new("pick", "how", "It was", &self.how).picks(Pick::words(&states::WAYS)),
            Field::new("text", "place", "Where on the plant", &self.place).hint("may stay empty"),
            Field::new("pick", "bar", "Until it ends", &self.bar)
                .hint("valve off, glass off, a plug in a bushing: no steam")
                .picks(Pick::words(&defects::BARS)),
            Field::new("pick", "sitting", "Done in sitting", &self.sitting)
                .picks(sitting_picks(sittings)),
            Field::new("text", "ends_it", "What ends it", &self.ends_it)
                .hint("valve back and tried by hand …"),
        ]
    }
}

impl RecordForm for StateForm {
    type Row = TemporaryState;
    type New = NewState;

    const WRITES: &'static [&'static str] =
        &["what", "place", "how", "bar", "sitting_id", "ends_it"];
    const ANCHOR: &'static str = "for-now";
    const PICTURES: Option<Of> = None;

    fn fresh() -> Self {
        StateForm::default()
    }

    fn of(state: &TemporaryState) -> Self {
        Self {
            what: state.what.clone(),
            how: state.how.clone(),
            place: state.place.clone(),
            bar: state.bar.clone(),
            sitting: state.sitting_id.map_or_else(String::new, |s| s.to_string()),
            ends_it: state.ends_it.clone(),
        }
    }

    fn read(&self) -> Result<NewState, Faults> {
        let mut read = Reader::default();
        let new = NewState {
            what: read.needed("what", &self.what, "Say what was done for now."),
            place: read.words("place", &self.place),
            how: read.one_of("how", &self.how, &states::WAYS),
            bar: read.one_of("bar", &self.bar, &defects::BARS),
            sitting_id: read.row("sitting", &self.sitting).map(SittingId::new),
            ends_it: read.needed("ends_it", &self.ends_it, "Say what ends it."),
        };
        read.done(new)
    }

    async fn find(desk: &Desk, id: i64) -> Result<(TemporaryState, JobId), Error> {
        let row = states::find(desk.store(), StateId::new(id)).await?;
        let job = row.job_id;
        Ok((row, job))
    }

    async fn page(
        &self,
        desk: &Desk,
        job: &Job,
        known: Option<&TemporaryState>,
    ) -> Result<FormPage, Problem> {
        let (title, action) = match known {
            None => (
                "Note something done for now".to_owned(),
                format!("/jobs/{}/states", job.number()),
            ),
            Some(s) => (format!("For now: {}", s.what), format!("/states/{}", s.id)),
        };
        let layout = super::layout(desk, job, &title).await?;
        let sat = sittings::of_job(desk.store(), job.id).await?;
        let page = FormPage::fresh(
            layout,
            self.fields(&sat),
            action,
            "Save",
            format!("/jobs/{}#for-now", job.number()),
        );
        Ok(match known {
            Some(s) => page
                .withdrawable("temporary-state", s.id.get(), s.withdrawn_at.is_some())
                .beside(end_form(s, &sat)),
            None => page,
        })
    }

    async fn make(w: &mut Write, job: JobId, new: &NewState) -> Result<(), Error> {
        states::make(w, job, new).await.map(drop)
    }

    async fn change(w: &mut Write, id: i64, new: &NewState) -> Result<(), Error> {
        states::change(w, StateId::new(id), new).await
    }
}

/// The sittings of a job, to choose one.
pub(super) fn sitting_picks(sittings: &[Sitting]) -> Vec<Pick> {
    let mut picks = vec![Pick::new("", "none named")];
    picks.extend(
        sittings
            .iter()
            .filter(|s| s.withdrawn_at.is_none())
            .map(|s| Pick::new(s.id, format!("{}, {}", s.serial, s.on_day.short()))),
    );
    picks
}

/// Ending it, beside what is written of it.
fn end_form(known: &TemporaryState, sittings: &[Sitting]) -> BesideForm {
    let action = format!("/states/{}/end", known.id);
    if known.ended_at.is_some() {
        return BesideForm::new("It has ended", action, vec![], "It stands again")
            .hidden("ended", "no");
    }
    let fields =
        vec![Field::new("pick", "ended_by", "Ended by sitting", "").picks(sitting_picks(sittings))];
    BesideForm::new("End it", action, fields, "It is ended").hidden("ended", "yes")
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct EndForm {
    ended: String,
    ended_by: String,
}

async fn end(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<EndForm>,
) -> Result<Response, Problem> {
    let state = states::find(desk.store(), StateId::new(id)).await?;
    let job = jobs::by_id(desk.store(), state.job_id).await?;
    let ended = posted.form.ended == "yes";
    let mut read = Reader::default();
    let sitting = read
        .row("ended_by", &posted.form.ended_by)
        .map(SittingId::new);
    if let Err(faults) = read.done(()) {
        return Err(Problem::Unreadable(faults.of("ended_by").to_owned()));
    }
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                states::end(w, state.id, ended, sitting).await?;
                Ok(format!("/jobs/{}#for-now", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}
