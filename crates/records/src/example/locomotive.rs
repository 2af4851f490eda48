//! A small gas-fired locomotive that waits for parts.

use super::{back, tell};
use crate::defects::Origin;
use crate::error::Error;
use crate::jobs;
use crate::parts::{self, NewPart};
use crate::time::{Day, Stamp};
use crate::writer::Write;

pub(super) async fn furnish(w: &mut Write, today: Stamp) -> Result<(), Error> {
    w.set_now(back(today, 16, 15));
    let plant = tell::plant(
        w,
        "Tansy, gas-fired locomotive",
        "J. Quillan",
        "telephone 0555 0140",
        "T 7",
    )
    .await?;
    tell::component(
        w,
        plant,
        "boiler",
        "locomotive boiler",
        r#"{"working_pressure_bar":4.5,"shell_material":"copper","volume_ml":310}"#,
    )
    .await?;
    tell::component(
        w,
        plant,
        "burner",
        "gas burner",
        r#"{"burner":{"fuel":"butane-propane-70-30"}}"#,
    )
    .await?;
    tell::component(
        w,
        plant,
        "tank",
        "gas tank",
        r#"{"gas_tank":{"volume_ml":60}}"#,
    )
    .await?;
    let arrival = tell::Arrival {
        words: "The gas goes down overnight and it smells in the cupboard.",
        condition: "Paint good. Filler valve does not shut.",
        contents: "Locomotive, syringe, oil.",
        estimate_pence: Some(8_500),
        paid_pence: 0,
        promised: Day::read(today.plus_days(25).day().iso()),
        next_time: "Soap every gas joint.",
    };
    let job = tell::job(w, plant, arrival).await?;
    w.set_now(back(today, 11, 10));
    jobs::stand(w, job, "on the bench").await?;
    let sitting = tell::sitting(
        w,
        job,
        55,
        "Soaped every gas joint: only the filler valve bubbles. Tank emptied out of doors.",
        "new filler valve when it comes; soap test before lighting",
    )
    .await?;
    let filler = tell::defect(
        w,
        job,
        "no steam",
        "Gas filler valve does not shut",
        "new valve",
        Origin::Sitting(sitting),
    )
    .await?;
    let valve = NewPart {
        name: "Gas filler valve".into(),
        state: "on order".into(),
        defect_id: Some(filler),
        supplier: "the gas fittings list".into(),
        price_pence: Some(1_850),
        promised_on: Day::read(today.plus_days(5).day().iso()),
        ..Default::default()
    };
    parts::make(w, job, &valve).await?;
    jobs::wait(w, job, false, false).await
}
