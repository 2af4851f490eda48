//! A launch plant: two steam trials, before and after its valve gear was reset and its boiler lagged.

use super::{back, instruments, launch_trials, tell};
use crate::appointments::{self, NewAppointment};
use crate::components::{self, NewComponent};
use crate::defects::{Origin, Settled, Until};
use crate::error::Error;
use crate::estimates::{self, NewEstimate};
use crate::examinations::Outcome;
use crate::looks::{self, NewLine};
use crate::parts::{self, NewPart};
use crate::publish::{self, Choices};
use crate::states::{self, NewState};
use crate::time::{Day, Stamp};
use crate::variations::{self, NewVariation};
use crate::writer::Write;
use crate::{ComponentId, JobId, defects, jobs};

const BOILER: &str = r#""working_pressure_bar":4.0,"shell_material":"copper","volume_ml":2140,"charge_ml":1450,"metal_kg":3.9,"shell":{"bore_mm":127,"wall_mm":2.5,"length_mm":200},"water_seen_by":"glass","water_space":{"vertical":{"bore_mm":127,"height_mm":200,"tubes":[{"od_mm":12,"count":13}],"firebox":{"od_mm":110,"crown_mm":60}}}"#;

pub(super) async fn furnish(w: &mut Write, today: Stamp) -> Result<(), Error> {
    w.set_now(back(today, 21, 9));
    let plant = tell::plant(
        w,
        "Marigold, launch plant",
        "Mr Tolland",
        "telephone 0555 0101\npost: The Old Chandlery, Sedge Quay",
        "FT 31",
    )
    .await?;
    let boiler = parts_of_the_plant(w, plant).await?;
    instruments::furnish(w, plant, today).await?;
    w.set_now(back(today, 21, 9));
    let arrival = tell::Arrival {
        words: "It used to run for half an hour on one filling and now it dies as soon as the engine takes load, and one side hardly helps. Please make it safe, my daughter wants to run it herself.",
        condition: "Boiler half full of brown water. Glass cloudy. Gas tank empty. Safety valve wired down; the wire was cut off and kept.",
        contents: "Plant on its board\ngas tank and filler\ntwo spanners\noil can\ntin of packing\nfunnel, tray, letter",
        estimate_pence: Some(31_000),
        paid_pence: 10_000,
        promised: Day::read(today.plus_days(18).day().iso()),
        next_time: "Strip it.",
    };
    let job = tell::job(w, plant, arrival).await?;
    estimates::keep(w, job, &estimate()).await?;
    w.set_now(back(today, 19, 10));
    jobs::stand(w, job, "opened up").await?;
    for (kind, finding) in [
        (
            "boiler",
            "Tubes full of soot like felt; brushed, and every seam dry and bright after it.",
        ),
        ("burner", "Ceramic whole, jet clear, no bubble at a joint."),
        (
            "lubricator",
            "Cap and drain tight, the hole into the steam pipe open.",
        ),
    ] {
        tell::examined(w, (plant, job), kind, finding, Outcome::Sound).await?;
    }
    let first = tell::sitting(
        w,
        job,
        100,
        "Opened up and stripped. Stop valve did not shut off: lapped. Boiler flushed twice.",
        "water test with the tank warm-soaked",
    )
    .await?;
    let shut_off = tell::defect(
        w,
        job,
        "no steam",
        "Stop valve does not shut off",
        "lap it",
        Origin::Sitting(first),
    )
    .await?;
    let hydraulic = tell::trial(
        w,
        job,
        plant,
        back(today, 18, 10),
        &launch_trials::hydraulic(),
    )
    .await?;
    defects::settle(w, shut_off, &Settled::ByTrial(hydraulic.id)).await?;
    w.set_now(back(today, 18, 14));
    passed(w, boiler, today).await?;
    w.set_now(back(today, 12, 14));
    jobs::stand(w, job, "on the bench").await?;
    let second = tell::sitting(
        w,
        job,
        120,
        "Safety valve cleaned and tried by hand. Glass and cocks cleaned, new rings.",
        "steam it as it came",
    )
    .await?;
    let rings = ["gasket", "silicone rings 8 × 2 mm in both cocks", "", ""];
    tell::fitted(w, plant, second, "glass", rings).await?;
    let cock = Outcome::Defect {
        what: "Gauge glass lower cock stiff".into(),
        bar: "watch".into(),
    };
    let found = "Both cocks cleaned; the upper turns by two fingers, the lower wants pliers.";
    let stiff = tell::examined(w, (plant, job), "glass", found, cock)
        .await?
        .ok_or(Error::Missing("defect"))?;
    let until = today.plus_days(14).day();
    defects::settle(
        w,
        stiff,
        &Settled::Deferred {
            until: Until::Day,
            to: until,
            why: "the new cock is on order".into(),
        },
    )
    .await?;
    cock_looked_at(w, job, back(today, 11, 18)).await?;
    tell::trial(
        w,
        job,
        plant,
        back(today, 6, 10),
        &launch_trials::as_it_came(),
    )
    .await?;
    w.set_now(back(today, 4, 13));
    let third = tell::sitting(w, job, 200, "Valve gear reset: the left was 0.3 mm late, now both alike. Boiler lagged: 3 mm paper, strips, two bands. Workshop gauge in place of its own.", "steam again, engine on, watch the feed").await?;
    let gear = [
        "adjustment",
        "left valve against the right",
        "0.3 mm late",
        "alike",
    ];
    tell::fitted(w, plant, third, "engine", gear).await?;
    gauge_for_now(w, job, third).await?;
    let after = tell::trial(
        w,
        job,
        plant,
        back(today, 2, 10),
        &launch_trials::after_the_reset(),
    )
    .await?;
    w.set_now(back(today, 2, 15));
    let from = after.origin("feed-not-gaining");
    let passes = tell::defect(
        w,
        job,
        "no steam",
        "Check valve passes back: the feed is on and the water still falls",
        "new ball, recut the seat",
        from,
    )
    .await?;
    tell::sitting(
        w,
        job,
        20,
        "Feed pipe found hot at the pump after the trial: the check valve passes back.",
        "check valve out: new ball, recut the seat",
    )
    .await?;
    parts_and_variation(w, job, passes, today).await
}

async fn parts_of_the_plant(w: &mut Write, plant: crate::PlantId) -> Result<ComponentId, Error> {
    let boiler = tell::component(
        w,
        plant,
        "boiler",
        "vertical fire-tube boiler",
        &format!("{{{BOILER}}}"),
    )
    .await?;
    tell::component(
        w,
        plant,
        "glass",
        "water glass",
        r#"{"glass":{"bottom_mm":85,"visible_mm":60,"low_mark_mm":12,"high_mark_mm":50}}"#,
    )
    .await?;
    tell::component(
        w,
        plant,
        "safety-valve",
        "safety valve",
        r#"{"safety_valve":{"set_bar":4.0,"bore_mm":5.0,"lift_mm":0.8,"count":1}}"#,
    )
    .await?;
    tell::component(
        w,
        plant,
        "burner",
        "ceramic gas burner",
        r#"{"burner":{"fuel":"butane","jet_mm":0.25,"rated_kw":1.6}}"#,
    )
    .await?;
    tell::component(w, plant, "engine", "vee-twin engine", r#"{"engine":{"cylinders":[{"bore_mm":20,"stroke_mm":22,"rod_mm":4,"acting":"double"},{"bore_mm":20,"stroke_mm":22,"rod_mm":4,"acting":"double"}],"cutoff_pct":75}}"#).await?;
    tell::component(
        w,
        plant,
        "feed-pump",
        "crosshead feed pump",
        r#"{"feed_pump":{"drive":"crosshead","bore_mm":6,"stroke_mm":22,"acting":"single"}}"#,
    )
    .await?;
    tell::component(
        w,
        plant,
        "lubricator",
        "displacement lubricator",
        r#"{"lubricator":{"volume_ml":6}}"#,
    )
    .await?;
    tell::component(
        w,
        plant,
        "tank",
        "feed tank",
        r#"{"feed_tank":{"volume_ml":900}}"#,
    )
    .await?;
    Ok(boiler)
}

/// The water test is written down with the boiler, so that the trials after it know of it.
async fn passed(w: &mut Write, boiler: ComponentId, today: Stamp) -> Result<(), Error> {
    let (on, until) = (back(today, 18, 10).day(), back(today, -712, 10).day());
    let particulars = format!(
        r#"{{{BOILER},"hydraulic_pass":{{"on":"{}","pressure_bar":8.0,"valid_until":"{}","since_structural_work":true}}}}"#,
        on.iso(),
        until.iso()
    );
    let known = NewComponent {
        parent_id: None,
        kind: "boiler".into(),
        name: "vertical fire-tube boiler".into(),
        particulars,
        note: String::new(),
        joints: "silver solder".into(),
    };
    components::change(w, boiler, &known).await
}

async fn gauge_for_now(
    w: &mut Write,
    job: crate::JobId,
    sitting: crate::SittingId,
) -> Result<(), Error> {
    let gauge = NewState {
        what: "Workshop gauge G2 in place of its own".into(),
        place: "on the boiler".into(),
        how: "swapped".into(),
        bar: "no handover".into(),
        sitting_id: Some(sitting),
        ends_it: "own gauge compared, up and down".into(),
    };
    states::make(w, job, &gauge).await?;
    states::lay(w, job, "own pressure gauge, 0 to 6 bar", "tin 14, shelf B").await?;
    states::lay(w, job, "old rings of the glass cocks", "tin 14, shelf B")
        .await
        .map(drop)
}

async fn parts_and_variation(
    w: &mut Write,
    job: crate::JobId,
    passes: crate::DefectId,
    today: Stamp,
) -> Result<(), Error> {
    let ball = NewPart {
        name: "Ball, 4 mm, stainless".into(),
        state: "in hand".into(),
        defect_id: Some(passes),
        price_pence: Some(90),
        ..Default::default()
    };
    parts::make(w, job, &ball).await?;
    let lagging = NewPart {
        name: "Lagging paper, strips, bands".into(),
        state: "fitted".into(),
        price_pence: Some(1_460),
        ..Default::default()
    };
    parts::make(w, job, &lagging).await?;
    let glass = NewVariation {
        what: "A second water glass".into(),
        reason: "It has one glass, and the lower cock of that one is stiff. With two, one can block and you still see the water. The boiler was made with a place for it.".into(),
        if_not: "It goes home with one glass and a new lower cock. Blow it through before every run. No water to be seen: fire out, and do not feed.".into(),
        price_pence: 7_400,
        asked: true,
    };
    let second_glass = variations::make(w, job, &glass).await?;
    let news = publish::say(w, job, "It steams well now. With the engine's valves set right and a jacket round the boiler it holds 3 bar with the engine pulling, which it could not do when it came. Left to do: the valve that lets the feed back.").await?;
    let choices = Choices {
        steam_words: "A valve in the feed lets water back, so the boiler can run low. If you fetch it early, do not light it.".into(),
        shows_promised: true,
        shows_money: true,
        news: vec![news],
        defects: vec![(passes, "The valve that keeps the water in the boiler lets it back to the pump.".into())],
        variations: vec![second_glass],
        pictures: Vec::new(),
    };
    publish::choose(w, job, &choices).await?;
    w.set_now(back(today, 1, 16));
    let visit = NewAppointment {
        on_day: today.plus_days(9).day(),
        at_time: "14:30".into(),
        who: "Mr Quillan, the club's inspector".into(),
        place: "here, at the test bench".into(),
        at_hand: "test pump and blanks\ngauge G9 with its paper\nthe record of the water test"
            .into(),
        note: String::new(),
        jobs: vec![(job, "water test, a repeat".into())],
    };
    appointments::make(w, &visit).await.map(drop)
}

fn estimate() -> NewEstimate {
    NewEstimate {
        least_minutes: 450,
        most_minutes: 600,
        hourly_pence: 3_000,
        least_parts_pence: 2_500,
        most_parts_pence: 6_000,
        assumes: "The shell passes its water test, and the cylinders need no boring.".into(),
        named_pence: Some(31_000),
    }
}

/// A look at the glass's lower cock in the evening: no fire, no list.
async fn cock_looked_at(w: &mut Write, job: JobId, at: Stamp) -> Result<(), Error> {
    w.set_now(at);
    let look = looks::begin(w, job, "Does the upper cock turn freely with oil?").await?;
    for (minutes, words, reading) in [
        (
            2,
            "turns by two fingers, a drop of steam oil on the plug",
            None,
        ),
        (9, "pressure on the gauge 0.3 bar, air", Some("0.3")),
        (11, "no bubble at the cock", None),
    ] {
        w.set_now(at.plus_seconds(60 * minutes));
        let line = NewLine {
            words: words.into(),
            reading: reading.map(|bar| ("pressure_bar".into(), bar.into())),
            pressed_with: reading.map_or("", |_| "air").into(),
            ..NewLine::default()
        };
        looks::add(w, look, &line).await?;
    }
    looks::end(
        w,
        look,
        "it turns; it is the lower cock that is stiff, not this one",
    )
    .await
}
