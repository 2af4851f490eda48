//! A mill-engine plant on spirit, whose boiler failed its water test at a stay.

use super::back;
use super::tell::{self, Told};
use crate::defects::Origin;
use crate::error::Error;
use crate::examinations::Outcome;
use crate::parts::{self, NewPart};
use crate::states::{self, NewState};
use crate::time::Stamp;
use crate::writer::Write;
use crate::{jobs, publish};

pub(super) async fn furnish(w: &mut Write, today: Stamp) -> Result<(), Error> {
    w.set_now(back(today, 26, 11));
    let plant = tell::plant(
        w,
        "Quern, mill-engine plant",
        "Mrs Abery",
        "post: 3 Causey Row, Nether Sallin",
        "none found",
    )
    .await?;
    let boiler = r#"{"working_pressure_bar":2.5,"shell_material":"brass","volume_ml":980,"charge_ml":640,"metal_kg":2.1,"shell":{"bore_mm":90,"wall_mm":1.6,"length_mm":165}}"#;
    tell::component(w, plant, "boiler", "horizontal boiler", boiler).await?;
    tell::component(
        w,
        plant,
        "burner",
        "three-wick spirit burner",
        r#"{"burner":{"fuel":"spirit"},"fuel_charge_ml":120}"#,
    )
    .await?;
    tell::component(
        w,
        plant,
        "engine",
        "mill engine",
        r#"{"engine":{"cylinders":[{"bore_mm":18,"stroke_mm":30,"rod_mm":4,"acting":"double"}]}}"#,
    )
    .await?;
    let arrival = tell::Arrival {
        words: "My late husband ran it at Christmas. It hisses underneath and I should like to know whether it is safe.",
        condition: "Green run-marks under the left end. No mark on the boiler. Soft solder on one bush.",
        contents: "Plant, burner, measure, a box of wicks.",
        estimate_pence: None,
        paid_pence: 0,
        promised: None,
        next_time: "Measure the shell.",
    };
    let job = tell::job(w, plant, arrival).await?;
    w.set_now(back(today, 22, 10));
    jobs::stand(w, job, "opened up").await?;
    let here = (plant, job);
    for (kind, finding) in [
        (
            "burner",
            "Three wicks, charred at the ends; the tank is tight.",
        ),
        (
            "engine",
            "Turns freely by hand, both glands dry, nothing loose.",
        ),
    ] {
        tell::examined(w, here, kind, finding, Outcome::Sound).await?;
    }
    let first = tell::sitting(w, job, 90, "Measured the shell at nine places, 1.55 mm at the least. Safety valve off, bush plugged for the water test.", "water test by stages").await?;
    let plug = NewState {
        what: "Safety valve off, plug in its bush".into(),
        place: "top of the boiler".into(),
        how: "left off".into(),
        bar: "no steam".into(),
        sitting_id: Some(first),
        ends_it: "valve back and tried".into(),
    };
    states::make(w, job, &plug).await?;
    let tried = tell::trial(w, job, plant, back(today, 20, 10), &water_test()).await?;
    w.set_now(back(today, 20, 14));
    let from = Origin::Trial {
        trial: tried.id,
        rule: "leak-seen".into(),
        raised_at_s: 560.0,
    };
    let stay = tell::defect(
        w,
        job,
        "no steam",
        "Weeps at the middle stay at 3.0 bar, and the pressure falls",
        "new stay, or refuse to steam it",
        from,
    )
    .await?;
    let new_stay = NewPart {
        name: "Stay, 4 mm, bronze".into(),
        state: "to make".into(),
        defect_id: Some(stay),
        ..Default::default()
    };
    parts::make(w, job, &new_stay).await?;
    tell::sitting(
        w,
        job,
        25,
        "Water test failed at the middle stay. Wrote to Mrs Abery.",
        "draw the stay, and reckon whether a new one can be silver-soldered here",
    )
    .await?;
    publish::say(w, job, "The boiler let water past one of its stays at 3 bar. It must not be steamed. I am finding out what a repair would take.").await.map(drop)
}

fn water_test() -> Told {
    Told {
        kind: "hydraulic",
        question: "Is the shell sound at 5.0 bar?",
        head: r#""place":"indoors","instruments":{"pressure":{"id":"G7","full_scale_bar":16,"accuracy_class":1.0,"resolution_bar":0.1,"calibrated_on":"2026-03-02","calibration_due":"2030-03-02"}},"limits":{"test":"first"},"hold_points":["valve-and-glass-off","vented"],"procedure":{"name":"hydraulic","version":1}"#.to_owned(),
        log: &[
            (0, r#""check":"valve-and-glass-off","done":true,"value":"off, bush plugged""#),
            (90, r#""check":"vented","done":true,"value":"no bubble""#),
            (200, r#""reading":{"pressure_bar":0.0,"pumped_ml":0}"#),
            (320, r#""reading":{"pressure_bar":1.0,"pumped_ml":0.3}"#),
            (430, r#""reading":{"pressure_bar":2.0,"pumped_ml":0.6}"#),
            (540, r#""reading":{"pressure_bar":3.0,"pumped_ml":0.9}"#),
            (560, r#""event":"leak-seen","where":"shell","note":"a bead at the middle stay, growing""#),
            (570, r#""event":"hold-started""#),
            (600, r#""reading":{"pressure_bar":2.6}"#),
            (660, r#""reading":{"pressure_bar":2.3}"#),
            (700, r#""event":"pressure-released""#),
            (800, r#""event":"leak-stopped","where":"shell","note":"dry with the pressure gone""#),
        ],
        answer: ("no", "it weeps at the middle stay"),
    }
}
