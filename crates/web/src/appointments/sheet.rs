//! The sheet for an appointment: each boiler, what is to be tested and to what pressure, and what is to be at hand.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Html;
use calc::hydraulic::water_test_target;
use calc::show::{fixed, span};
use calc::trial::Limits;
use records::appointments::{self, Appointment};
use records::jobs::{self, Job};
use records::{AppointmentId, Stamp, components, defects, instruments, retests, states};

use crate::desk::Desk;
use crate::layout::Layout;
use crate::problem::{Problem, page};
use crate::trials::tree::Tree;

/// One boiler on the sheet.
struct Boiler {
    number: String,
    plant: String,
    mark: String,
    customer: String,
    what: String,
    working: String,
    test: Vec<String>,
    gauges: Vec<String>,
    bars: Vec<String>,
    tested: Vec<String>,
}

#[derive(Template)]
#[template(path = "appointments/sheet.html")]
struct Sheet {
    layout: Layout,
    owner: String,
    appointment: Appointment,
    when: String,
    boilers: Vec<Boiler>,
}

pub(super) async fn show(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
) -> Result<Html<String>, Problem> {
    let appointment = appointments::find(desk.store(), AppointmentId::new(id)).await?;
    let mut boilers = Vec::new();
    for (job, what) in appointments::jobs(desk.store(), appointment.id).await? {
        let job = jobs::by_id(desk.store(), job).await?;
        boilers.push(boiler(&desk, &job, what).await?);
    }
    page(&Sheet {
        layout: desk.layout("Appointment", "jobs").await?,
        owner: desk.owner().await?,
        when: appointment.when(),
        appointment,
        boilers,
    })
}

async fn boiler(desk: &Desk, job: &Job, what: String) -> Result<Boiler, Problem> {
    let store = desk.store();
    let parts = components::of_plant(store, job.plant_id).await?;
    let particulars = components::together(&parts, &job.plant)?;
    let known = Tree::read(&particulars).unwrap_or_else(|_| Tree::empty());
    let working = known.typed_at("working_pressure_bar");
    let water = what.starts_with("water test");
    let target = working
        .parse::<f64>()
        .ok()
        .filter(|_| water)
        .and_then(|bar| {
            water_test_target(&Limits::default(), bar, what.ends_with("the first")).ok()
        });
    let test = match (&target, water) {
        (Some(t), _) => vec![
            format!("Raise to {} bar", fixed(t.to_bar, 2)),
            format!("not above {} bar", fixed(t.most_bar, 2)),
            format!("hold {}", span(t.hold_s)),
        ],
        (None, true) => {
            vec![
                "To what pressure is not known: its working pressure is not written down."
                    .to_owned(),
            ]
        }
        (None, false) => Vec::new(),
    };
    let at_hand = instruments::at_hand(store, job.plant_id).await?;
    let today = Stamp::now().day();
    let fits = |i: &instruments::Instrument| {
        let scale = i.full_scale.parse::<f64>().ok();
        let range = target.map(|t| (t.scale_from_bar, t.scale_to_bar));
        i.kind == "pressure gauge"
            && i.plant_id.is_none()
            && !i.is_overdue(&today)
            && scale
                .zip(range)
                .is_some_and(|(scale, (from, to))| (from..=to).contains(&scale))
    };
    Ok(Boiler {
        gauges: at_hand.iter().filter(|i| fits(i)).map(gauge).collect(),
        bars: bars(desk, job).await?,
        tested: retests::of_plant(store, job.plant_id)
            .await?
            .into_iter()
            .map(|d| format!("{} due {}: {}", d.what, d.on.full(), d.because))
            .collect(),
        number: job.number(),
        plant: job.plant.clone(),
        mark: job.boiler_mark.clone(),
        customer: job.customer.clone(),
        working,
        what,
        test,
    })
}

fn gauge(of: &instruments::Instrument) -> String {
    let due = of.due_on.as_ref().map_or_else(
        || "no day known when it is due".to_owned(),
        |d| format!("in date until {}", d.full()),
    );
    format!("{}: {}; {due}", of.mark, crate::instruments::known(of))
}

/// What stands against steam on the job.
async fn bars(desk: &Desk, job: &Job) -> Result<Vec<String>, Problem> {
    let mut bars: Vec<String> = defects::of_job(desk.store(), job.id)
        .await?
        .into_iter()
        .filter(|d| d.withdrawn_at.is_none() && d.state != "cleared" && d.bar == "no steam")
        .map(|d| format!("defect {}: {}", d.serial, d.what))
        .collect();
    let for_now = states::of_job(desk.store(), job.id).await?;
    bars.extend(
        for_now
            .into_iter()
            .filter(|s| s.withdrawn_at.is_none() && s.ended_at.is_none() && s.bar == "no steam")
            .map(|s| format!("for now: {}, {}", s.what, s.how)),
    );
    Ok(bars)
}
