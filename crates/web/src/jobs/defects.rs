//! Writing down a defect, and changing it.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::post;
use records::components::{self, Component};
use records::defects::{self, Defect, NewDefect, Origin};
use records::jobs::{self, Job};
use records::log::{self, Trial};
use records::parts::{self, Part};
use records::pictures::Of;
use records::sittings::{self, Sitting};
use records::{ComponentId, DefectId, Error, JobId, SittingId, Write};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::{BesideForm, FormPage};
use crate::jobs::record_form::{self, RecordForm};
use crate::jobs::settle::SettleForm;
use crate::problem::{Problem, refused, see};

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route(
            "/jobs/{number}/defects",
            record_form::making::<DefectForm>(),
        )
        .route(
            "/jobs/{number}/defects/new",
            record_form::beginning::<DefectForm>(),
        )
        .route("/defects/{id}", record_form::keeping::<DefectForm>())
        .route("/defects/{id}/settle", post(settle))
}

/// What a defect can be on, and be cleared by.
struct Around {
    components: Vec<Component>,
    sittings: Vec<Sitting>,
    parts: Vec<Part>,
    trials: Vec<Trial>,
}

impl Around {
    async fn of(desk: &Desk, job: &Job) -> Result<Self, Problem> {
        Ok(Self {
            components: components::of_plant(desk.store(), job.plant_id).await?,
            sittings: sittings::of_job(desk.store(), job.id).await?,
            parts: parts::of_job(desk.store(), job.id).await?,
            trials: log::of_job(desk.store(), job.id).await?,
        })
    }
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct DefectForm {
    what: String,
    bar: String,
    component: String,
    to_do: String,
    sitting: String,
}

impl DefectForm {
    fn fields(&self, with: &Around, found: bool) -> Vec<Field> {
        let mut where_on = vec![Pick::new("", "the plant as a whole")];
        where_on.extend(
            with.components
                .iter()
                .filter(|c| c.withdrawn_at.is_none())
                .map(|c| Pick::new(c.id, c.name.clone())),
        );
        let mut fields = vec![
            Field::new("long", "what", "What is wrong", &self.what),
            Field::new("pick", "bar", "Until it is cleared", &self.bar)
                .picks(Pick::words(&defects::BARS)),
            Field::new("pick", "component", "On", &self.component).picks(where_on),
            Field::new("text", "to_do", "What to do about it", &self.to_do).hint("may stay empty"),
        ];
        if !found {
            let mut found_in = vec![Pick::new("", "examination")];
            found_in.extend(
                with.sittings
                    .iter()
                    .filter(|s| s.withdrawn_at.is_none())
                    .map(|s| {
                        Pick::new(s.id, format!("sitting {}, {}", s.serial, s.on_day.short()))
                    }),
            );
            fields.push(Field::new("pick", "sitting", "Found by", &self.sitting).picks(found_in));
        }
        fields
    }
}

impl RecordForm for DefectForm {
    type Row = Defect;
    type New = NewDefect;

    const WRITES: &'static [&'static str] = &["component_id", "what", "bar", "to_do"];
    const ANCHOR: &'static str = "defects";
    const PICTURES: Option<Of> = Some(Of::Defect);

    fn fresh() -> Self {
        DefectForm::default()
    }

    fn of(defect: &Defect) -> Self {
        Self {
            what: defect.what.clone(),
            bar: defect.bar.clone(),
            component: defect
                .component_id
                .map_or_else(String::new, |c| c.to_string()),
            to_do: defect.to_do.clone(),
            sitting: String::new(),
        }
    }

    fn read(&self) -> Result<NewDefect, Faults> {
        let mut read = Reader::default();
        let new = NewDefect {
            what: read.needed("what", &self.what, "Say what is wrong."),
            bar: read.one_of("bar", &self.bar, &defects::BARS),
            component_id: read.row("component", &self.component).map(ComponentId::new),
            to_do: read.words("to_do", &self.to_do),
            origin: read
                .row("sitting", &self.sitting)
                .map_or(Origin::Examination, |s| Origin::Sitting(SittingId::new(s))),
        };
        read.done(new)
    }

    async fn find(desk: &Desk, id: i64) -> Result<(Defect, JobId), Error> {
        let row = defects::find(desk.store(), DefectId::new(id)).await?;
        let job = row.job_id;
        Ok((row, job))
    }

    async fn page(
        &self,
        desk: &Desk,
        job: &Job,
        known: Option<&Defect>,
    ) -> Result<FormPage, Problem> {
        let (title, action) = match known {
            None => (
                "Write down a defect".to_owned(),
                format!("/jobs/{}/defects", job.number()),
            ),
            Some(s) => (format!("Defect {}", s.serial), format!("/defects/{}", s.id)),
        };
        let layout = super::layout(desk, job, &title).await?;
        let with = Around::of(desk, job).await?;
        let page = FormPage::fresh(
            layout,
            self.fields(&with, known.is_some()),
            action,
            "Save",
            format!("/jobs/{}#defects", job.number()),
        );
        Ok(match known {
            Some(s) => page
                .withdrawable("defect", s.id.get(), s.withdrawn_at.is_some())
                .beside(settle_form(&SettleForm::of(s), s.id, &with)),
            None => page,
        })
    }

    async fn make(w: &mut Write, job: JobId, new: &NewDefect) -> Result<(), Error> {
        defects::make(w, job, new).await.map(drop)
    }

    async fn change(w: &mut Write, id: i64, new: &NewDefect) -> Result<(), Error> {
        defects::change(w, DefectId::new(id), new).await
    }
}

/// Parts that a defect may wait for.
fn waits_for(with: &Around) -> Vec<Pick> {
    let waited = with.parts.iter().filter(|p| {
        p.withdrawn_at.is_none() && ["to make", "to order", "on order"].contains(&p.state.as_str())
    });
    waited
        .map(|p| {
            Pick::new(
                format!("part {}", p.id),
                format!("{} being in hand", p.name),
            )
        })
        .collect()
}

/// How it stands, beside what is written of it.
fn settle_form(form: &SettleForm, id: DefectId, with: &Around) -> BesideForm {
    let sat = with.sittings.iter().filter(|s| s.withdrawn_at.is_none());
    let mut clearers: Vec<Pick> = sat
        .map(|s| {
            Pick::new(
                format!("sitting {}", s.id),
                format!("cleared by sitting {}, {}", s.serial, s.on_day.short()),
            )
        })
        .collect();
    let got = with.parts.iter().filter(|p| p.withdrawn_at.is_none());
    clearers.extend(got.map(|p| {
        Pick::new(
            format!("part {}", p.id),
            format!("cleared by the part {}", p.name),
        )
    }));
    let tried = with
        .trials
        .iter()
        .filter(|t| t.withdrawn_at.is_none() && t.started_at.is_some());
    clearers.extend(tried.map(|t| {
        Pick::new(
            format!("trial {}", t.id),
            format!("cleared by trial {}", t.serial),
        )
    }));
    BesideForm::new(
        "How it stands",
        format!("/defects/{id}/settle"),
        form.fields(clearers, waits_for(with)),
        "Save how it stands",
    )
}

async fn settle(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<SettleForm>,
) -> Result<Response, Problem> {
    let defect = defects::find(desk.store(), DefectId::new(id)).await?;
    let job = jobs::by_id(desk.store(), defect.job_id).await?;
    let settled = match posted.form.read() {
        Ok(settled) => settled,
        Err(faults) => {
            let with = Around::of(&desk, &job).await?;
            let beside = settle_form(&posted.form, defect.id, &with).again(&posted.key);
            let page = DefectForm::of(&defect)
                .page(&desk, &job, Some(&defect))
                .await?;
            let key = page.key.clone();
            return refused(&page.beside(beside).again(faults, &key));
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                defects::settle(w, defect.id, &settled).await?;
                Ok(format!("/jobs/{}#defects", job.number()))
            })
        })
        .await?;
    Ok(see(&to))
}
