//! What of a job, and of what belongs to it, can be put back as it was; where a press changes it, the press.

use records::change::Subject;
use records::defects::{self, Defect, Settled};
use records::estimates::{self, Estimate, NewEstimate};
use records::jobs::{self, Job, NewJob};
use records::publish::{self, News};
use records::states::{self, Piece, TemporaryState};
use records::{DefectId, Error, EstimateId, JobId, NewsId, PieceId, SittingId, StateId, Write};
use serde::{Deserialize, Serialize};

use super::defects::DefectForm;
use super::estimate::EstimateForm;
use super::examination::FindingForm;
use super::form::JobForm;
use super::parts::PartForm;
use super::payments::PaymentForm;
use super::pieces::PieceForm;
use super::settle::SettleForm;
use super::sittings::SittingForm;
use super::states::StateForm;
use super::variations::VariationForm;
use crate::desk::Desk;
use crate::form::Faults;
use crate::put_back::{Kept, Way};

/// Every way in which a job, or what belongs to it, is changed and can be put back.
pub(crate) const WAYS: &[Way] = &[
    Way::by::<JobForm>(Subject::Job),
    Way::by::<Stands>(Subject::Job),
    Way::by::<Waits>(Subject::Job),
    Way::by::<DefectForm>(Subject::Defect),
    Way::by::<SettleForm>(Subject::Defect),
    Way::by::<FindingForm>(Subject::Examination),
    Way::by::<PartForm>(Subject::Part),
    Way::by::<SittingForm>(Subject::Sitting),
    Way::by::<StateForm>(Subject::State),
    Way::by::<Ended>(Subject::State),
    Way::by::<PieceForm>(Subject::Piece),
    Way::by::<BackOn>(Subject::Piece),
    Way::by::<Shown>(Subject::News),
    Way::by::<VariationForm>(Subject::Variation),
    Way::by::<EstimateForm>(Subject::Estimate),
    Way::by::<PaymentForm>(Subject::Payment),
];

impl Kept for JobForm {
    type Row = Job;
    type New = NewJob;

    const WRITES: &'static [&'static str] = &[
        "words",
        "condition",
        "contents",
        "came_in_on",
        "promised_on",
        "next_time",
        "return_of",
        "came_back",
        "back_through",
        "back_charged",
        "steam_to_bar",
        "estimate_pence",
        "private_note",
    ];

    async fn find(desk: &Desk, id: i64) -> Result<Job, Error> {
        jobs::by_id(desk.store(), JobId::new(id)).await
    }

    fn written(row: &Job) -> Result<NewJob, Faults> {
        Self::of(row).read()
    }

    async fn change(w: &mut Write, id: i64, new: &NewJob) -> Result<(), Error> {
        jobs::change(w, JobId::new(id), new).await
    }
}

/// Where a job was put.
struct Stands;

impl Kept for Stands {
    type Row = Job;
    type New = String;

    const WRITES: &'static [&'static str] = &["stands"];
    const FOLLOWS: &'static [&'static str] = &["stands_since"];

    async fn find(desk: &Desk, id: i64) -> Result<Job, Error> {
        jobs::by_id(desk.store(), JobId::new(id)).await
    }

    fn written(row: &Job) -> Result<String, Faults> {
        Ok(row.put.clone())
    }

    async fn change(w: &mut Write, id: i64, place: &String) -> Result<(), Error> {
        jobs::stand(w, JobId::new(id), place).await
    }
}

/// Whether a job waits for me, and for the inspector; since when begins anew.
struct Waits;

impl Kept for Waits {
    type Row = Job;
    type New = (bool, bool);

    const WRITES: &'static [&'static str] = &[];
    const FOLLOWS: &'static [&'static str] = &["me_since", "inspector_since"];

    async fn find(desk: &Desk, id: i64) -> Result<Job, Error> {
        jobs::by_id(desk.store(), JobId::new(id)).await
    }

    fn written(row: &Job) -> Result<(bool, bool), Faults> {
        Ok((row.me_since.is_some(), row.inspector_since.is_some()))
    }

    async fn change(w: &mut Write, id: i64, (me, inspector): &(bool, bool)) -> Result<(), Error> {
        jobs::wait(w, JobId::new(id), *me, *inspector).await
    }
}

impl Kept for SettleForm {
    type Row = Defect;
    type New = Settled;

    const WRITES: &'static [&'static str] = &[
        "state",
        "deferred_until",
        "deferred_to",
        "deferred_why",
        "deferred_part_id",
        "cleared_by_sitting",
        "cleared_by_part",
        "cleared_by_trial",
    ];
    const FOLLOWS: &'static [&'static str] = &["cleared_at", "deferred_since"];

    async fn find(desk: &Desk, id: i64) -> Result<Defect, Error> {
        defects::find(desk.store(), DefectId::new(id)).await
    }

    fn written(row: &Defect) -> Result<Settled, Faults> {
        Self::of(row).read()
    }

    async fn change(w: &mut Write, id: i64, settled: &Settled) -> Result<(), Error> {
        defects::settle(w, DefectId::new(id), settled).await
    }
}

/// Whether what is for now has ended, and by which sitting.
struct Ended;

impl Kept for Ended {
    type Row = TemporaryState;
    type New = (bool, Option<SittingId>);

    const WRITES: &'static [&'static str] = &["ended_by_sitting"];
    const FOLLOWS: &'static [&'static str] = &["ended_at"];

    async fn find(desk: &Desk, id: i64) -> Result<TemporaryState, Error> {
        states::find(desk.store(), StateId::new(id)).await
    }

    fn written(row: &TemporaryState) -> Result<Self::New, Faults> {
        Ok((row.ended_at.is_some(), row.ended_by_sitting))
    }

    async fn change(w: &mut Write, id: i64, (ended, by): &Self::New) -> Result<(), Error> {
        states::end(w, StateId::new(id), *ended, *by).await
    }
}

/// Whether a piece is back on the plant.
struct BackOn;

impl Kept for BackOn {
    type Row = Piece;
    type New = bool;

    const WRITES: &'static [&'static str] = &[];
    const FOLLOWS: &'static [&'static str] = &["back_at"];

    async fn find(desk: &Desk, id: i64) -> Result<Piece, Error> {
        states::find_piece(desk.store(), PieceId::new(id)).await
    }

    fn written(row: &Piece) -> Result<bool, Faults> {
        Ok(row.back_at.is_some())
    }

    async fn change(w: &mut Write, id: i64, back: &bool) -> Result<(), Error> {
        states::back(w, PieceId::new(id), *back).await
    }
}

/// Whether a line of news is shown to the customer.
struct Shown;

impl Kept for Shown {
    type Row = News;
    type New = bool;

    const WRITES: &'static [&'static str] = &["shown"];

    async fn find(desk: &Desk, id: i64) -> Result<News, Error> {
        publish::one_news(desk.store(), NewsId::new(id)).await
    }

    fn written(row: &News) -> Result<bool, Faults> {
        Ok(row.shown)
    }

    async fn change(w: &mut Write, id: i64, shown: &bool) -> Result<(), Error> {
        publish::show(w, NewsId::new(id), *shown).await
    }
}

/// An estimate with its job, which keeps the one sum that was named.
#[derive(Serialize, Deserialize)]
pub(crate) struct Estimated {
    #[serde(flatten)]
    estimate: Estimate,
    on: Job,
}

impl Kept for EstimateForm {
    type Row = Estimated;
    type New = (JobId, NewEstimate);

    const WRITES: &'static [&'static str] = &[
        "least_minutes",
        "most_minutes",
        "hourly_pence",
        "least_parts_pence",
        "most_parts_pence",
        "assumes",
    ];

    async fn find(desk: &Desk, id: i64) -> Result<Estimated, Error> {
        let estimate = estimates::find(desk.store(), EstimateId::new(id)).await?;
        let on = jobs::by_id(desk.store(), estimate.job_id).await?;
        Ok(Estimated { estimate, on })
    }

    fn written(row: &Estimated) -> Result<Self::New, Faults> {
        let form = Self::of(&row.on, Some(&row.estimate), None);
        Ok((row.on.id, form.read()?))
    }

    async fn change(w: &mut Write, _id: i64, (job, new): &Self::New) -> Result<(), Error> {
        estimates::keep(w, *job, new).await
    }
}
