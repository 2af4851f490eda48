//! A traction engine that was handed over.

use super::{back, tell};
use crate::defects::{Origin, Settled};
use crate::error::Error;
use crate::parts::{self, NewPart};
use crate::time::{Day, Stamp};
use crate::writer::Write;
use crate::{defects, jobs, publish};

pub(super) async fn furnish(w: &mut Write, today: Stamp) -> Result<(), Error> {
    w.set_now(back(today, 70, 9));
    let plant = tell::plant(
        w,
        "Old Bracken, traction engine",
        "Miss Verrow",
        "telephone 0555 0166\ne-mail: verrow@workshop.example",
        "OB 2",
    )
    .await?;
    tell::component(
        w,
        plant,
        "boiler",
        "locomotive-type boiler",
        r#"{"working_pressure_bar":6.0,"shell_material":"copper","volume_ml":3900}"#,
    )
    .await?;
    tell::component(
        w,
        plant,
        "feed-pump",
        "axle pump",
        r#"{"feed_pump":{"drive":"axle","bore_mm":8,"stroke_mm":14,"acting":"single"}}"#,
    )
    .await?;
    let club = "the inspector of the Sedge Quay club";
    let water = ["water test", "SQ 118", "9.0", club];
    tell::paper(w, plant, water, today.plus_days(-1430).day()).await?;
    let steam = ["steam test", "SQ 176", "6.0", club];
    tell::paper(w, plant, steam, today.plus_days(-372).day()).await?;
    let arrival = tell::Arrival {
        words: "The regulator blows and the pump knocks. She has to be ready for the autumn run.",
        condition: "Clean, oiled, papers with it.",
        contents: "Engine, tender, firing irons, the club's papers.",
        estimate_pence: Some(21_200),
        paid_pence: 21_200,
        promised: Day::read(today.plus_days(-20).day().iso()),
        next_time: "Regulator out first.",
    };
    let job = tell::job(w, plant, arrival).await?;
    for (days, place) in [(66, "opened up"), (60, "on the bench"), (30, "ready")] {
        w.set_now(back(today, days, 10));
        jobs::stand(w, job, place).await?;
    }
    w.set_now(back(today, 58, 10));
    let sitting = tell::sitting(
        w,
        job,
        240,
        "Regulator face scraped in. Pump valves lapped, new packing.",
        "",
    )
    .await?;
    let packing = ["packing", "graphite yarn, 3 mm, three rings", "", ""];
    tell::fitted(w, plant, sitting, "feed-pump", packing).await?;
    let blows = tell::defect(
        w,
        job,
        "no handover",
        "Regulator blows when shut",
        "",
        Origin::Sitting(sitting),
    )
    .await?;
    let packing = NewPart {
        name: "Graphite yarn, 3 mm".into(),
        state: "fitted".into(),
        price_pence: Some(320),
        ..Default::default()
    };
    parts::make(w, job, &packing).await?;
    defects::settle(w, blows, &Settled::BySitting(sitting)).await?;
    publish::say(
        w,
        job,
        "She is ready: the regulator shuts and the pump is quiet.",
    )
    .await?;
    w.set_now(back(today, 21, 16));
    jobs::wait(w, job, false, false).await?;
    jobs::stand(w, job, "gone home").await
}
