//! Two more jobs: one that is ready and waits for the inspector, one that has just come in.

use super::{back, tell};
use crate::error::Error;
use crate::jobs;
use crate::time::{Day, Stamp};
use crate::writer::Write;

pub(super) async fn furnish(w: &mut Write, today: Stamp) -> Result<(), Error> {
    w.set_now(back(today, 34, 9));
    let plant = tell::plant(
        w,
        "Comfrey, workshop engine",
        "P. Haske",
        "telephone 0555 0188",
        "C 11",
    )
    .await?;
    tell::component(
        w,
        plant,
        "boiler",
        "coal-fired boiler",
        r#"{"working_pressure_bar":5.0,"shell_material":"copper","volume_ml":2600}"#,
    )
    .await?;
    let arrival = tell::Arrival {
        words: "New glass and a going-over, then the inspector wants to see it.",
        condition: "Sound. One glass cracked.",
        contents: "Plant, shovel, tin of tallow.",
        estimate_pence: Some(9_600),
        paid_pence: 0,
        promised: Day::read(today.plus_days(4).day().iso()),
        next_time: "Fit the glass.",
    };
    let job = tell::job(w, plant, arrival).await?;
    for (days, place) in [(30, "opened up"), (28, "on the bench"), (8, "ready")] {
        w.set_now(back(today, days, 11));
        jobs::stand(w, job, place).await?;
    }
    tell::sitting(
        w,
        job,
        140,
        "New glass, both cocks blown through. Fusible plug looked at.",
        "water test before the inspector's eyes; have the club's pump to hand",
    )
    .await?;
    jobs::wait(w, job, false, true).await?;
    w.set_now(back(today, 1, 10));
    let plant = tell::plant(
        w,
        "Sorrel, stationary plant",
        "L. Emberley",
        "telephone 0555 0203",
        "",
    )
    .await?;
    let arrival = tell::Arrival {
        words: "Found in a loft. Does it go?",
        condition: "Not looked at yet.",
        contents: "A crate, still nailed.",
        estimate_pence: None,
        paid_pence: 0,
        promised: None,
        next_time: "Write down the contents before lifting anything out.",
    };
    tell::job(w, plant, arrival).await.map(drop)
}
