//! Appointments: the list, the form, and the sheet for the day with what is to be tested and to what pressure.

mod sheet;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::{Html, Response};
use axum::routing::get;
use records::appointments::{self, Appointment, NewAppointment, WHAT};
use records::change::Subject;
use records::jobs::{self, Job};
use records::{AppointmentId, Day, Error, JobId, Stamp, Write};
use serde::{Deserialize, Serialize};

use crate::changes::Changes;
use crate::desk::Desk;
use crate::form::{Faults, Posted, Reader};
use crate::layout::Layout;
use crate::paging::{LINES, Paging, asked};
use crate::problem::{Problem, page, refused, see};
use crate::put_back::{Kept, Way};
use crate::trials::typed::Typed;

/// Every address that is about appointments.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/appointments", get(list).post(create))
        .route("/appointments/new", get(fresh))
        .route("/appointments/{id}", get(sheet::show).post(update))
        .route("/appointments/{id}/change", get(change))
}

/// Those from today on, for the bench.
pub(crate) async fn coming(desk: &Desk) -> Result<Vec<Appointment>, Problem> {
    Ok(appointments::from(desk.store(), &Stamp::now().day()).await?)
}

#[derive(Template)]
#[template(path = "appointments/list.html")]
struct List {
    layout: Layout,
    coming: Vec<Appointment>,
    past: Vec<Appointment>,
    paging: Paging,
}

/// Where the list goes on: behind the appointment of this day and row.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Behind {
    day: String,
    id: Option<i64>,
}

async fn list(
    State(desk): State<Desk>,
    Query(behind): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let (store, today) = (desk.store(), Stamp::now().day());
    let day = Day::read(&behind.day);
    let later = day.as_ref().zip(behind.id.map(AppointmentId::new));
    let mut past = appointments::before(store, later, asked(LINES)).await?;
    let on = |a: &Appointment| format!("/appointments?day={}&id={}", a.on_day.iso(), a.id);
    let paging = Paging::cut(&mut past, LINES, "Earlier ones", on).begins(
        later.is_some(),
        "/appointments",
        "The latest",
    );
    past.retain(|a| a.on_day < today || a.withdrawn_at.is_some());
    let coming = match later {
        None => coming(&desk).await?,
        Some(_) => Vec::new(),
    };
    page(&List {
        layout: desk.layout("Appointments", "jobs").await?,
        coming,
        past,
        paging,
    })
}

/// A job that an appointment can be about.
struct JobChoice {
    number: String,
    plant: String,
    name: String,
    what: String,
}

#[derive(Template)]
#[template(path = "appointments/form.html")]
struct AppointmentForm {
    layout: Layout,
    action: String,
    back: String,
    form: Typed,
    jobs: Vec<JobChoice>,
    what: [&'static str; 4],
    faults: Faults,
    key: String,
    withdrawal: Option<(i64, bool, String)>,
    changes: Changes,
}

impl AppointmentForm {
    fn typed(&self, name: &str) -> &str {
        self.form.get(name)
    }
}

async fn form_page(
    desk: &Desk,
    known: Option<&Appointment>,
    form: Typed,
) -> Result<AppointmentForm, Problem> {
    let chosen = |job: &Job| form.get(&format!("job-{}", job.id)).to_owned();
    // A job that has gone home since stays on the appointment that was about it.
    let mut shown = jobs::open(desk.store()).await?;
    for (id, what) in form.numbered("job-") {
        if !what.is_empty() && !shown.iter().any(|j| j.id.get() == id) {
            shown.extend(
                jobs::by_id(desk.store(), records::JobId::new(id))
                    .await
                    .ok(),
            );
        }
    }
    let jobs = shown
        .into_iter()
        .map(|j| JobChoice {
            what: chosen(&j),
            number: j.number(),
            name: format!("job-{}", j.id),
            plant: j.plant,
        })
        .collect();
    let (title, action) = match known {
        None => ("A new appointment", "/appointments".to_owned()),
        Some(a) => ("Change the appointment", format!("/appointments/{}", a.id)),
    };
    Ok(AppointmentForm {
        layout: desk.layout(title, "jobs").await?,
        back: action.clone(),
        action,
        jobs,
        form,
        what: WHAT,
        faults: Faults::default(),
        key: records::fresh_key(),
        changes: match known {
            Some(a) => {
                let at = format!("/appointments/{}/change", a.id);
                crate::changes::of(desk, Subject::Appointment, a.id.get(), at).await?
            }
            None => Changes::default(),
        },
        withdrawal: known.map(|a| {
            let withdrawn = a.withdrawn_at.is_some();
            (a.id.get(), withdrawn, records::fresh_key())
        }),
    })
}

fn read(form: &Typed) -> Result<NewAppointment, Faults> {
    let mut read = Reader::default();
    let on_day = read.needed_day("on_day", form.get("on_day"));
    let at_time = form.get("at_time").to_owned();
    let clock = |t: &str| {
        let (hour, minute) = t.split_once(':')?;
        let two = |n: &str| (n.len() == 2).then(|| n.parse::<u8>().ok()).flatten();
        Some(two(hour)? < 24 && two(minute)? < 60)
    };
    if !at_time.is_empty() && clock(&at_time) != Some(true) {
        read.fault(
            "at_time",
            format!("“{at_time}” is no time; write it like 14:30."),
        );
    }
    let who = read.needed("who", form.get("who"), "Say who comes.");
    let (place, at_hand, note) = (
        read.words("place", form.get("place")),
        read.words("at_hand", form.get("at_hand")),
        read.words("note", form.get("note")),
    );
    let mut about = Vec::new();
    for (id, what) in form.numbered("job-") {
        if WHAT.contains(&what) {
            about.push((records::JobId::new(id), what.to_owned()));
        } else if !what.is_empty() {
            read.fault(
                &format!("job-{id}"),
                format!("Choose one: {}.", WHAT.join(", ")),
            );
        }
    }
    let new = on_day.map(|on_day| NewAppointment {
        on_day,
        at_time,
        who,
        place,
        at_hand,
        note,
        jobs: about,
    });
    read.done(new)
        .and_then(|new| new.ok_or_else(Faults::default))
}

/// What is kept of an appointment and of the jobs that it is about, as it would be typed.
fn typed_of(known: &Appointment, about: &[(JobId, String)]) -> Typed {
    let mut pairs = vec![
        ("on_day".to_owned(), known.on_day.iso().to_owned()),
        ("at_time".to_owned(), known.at_time.clone()),
        ("who".to_owned(), known.who.clone()),
        ("place".to_owned(), known.place.clone()),
        ("at_hand".to_owned(), known.at_hand.clone()),
        ("note".to_owned(), known.note.clone()),
    ];
    let jobs = about.iter();
    pairs.extend(jobs.map(|(job, what)| (format!("job-{job}"), what.clone())));
    Typed::new(pairs)
}

/// What of an appointment can be put back as it was; the jobs that it is about stay.
pub(crate) const WAYS: &[Way] = &[Way::by::<Written>(Subject::Appointment)];

/// What is written of an appointment.
struct Written;

/// An appointment with the jobs that it is about.
#[derive(Serialize, Deserialize)]
struct WithJobs {
    #[serde(flatten)]
    appointment: Appointment,
    about: Vec<(JobId, String)>,
}

impl Kept for Written {
    type Row = WithJobs;
    type New = NewAppointment;

    const WRITES: &'static [&'static str] =
        &["on_day", "at_time", "who", "place", "at_hand", "note"];
    const FOLLOWS: &'static [&'static str] = &["changes"];

    async fn find(desk: &Desk, id: i64) -> Result<WithJobs, Error> {
        let id = AppointmentId::new(id);
        Ok(WithJobs {
            appointment: appointments::find(desk.store(), id).await?,
            about: appointments::jobs(desk.store(), id).await?,
        })
    }

    fn written(row: &WithJobs) -> Result<NewAppointment, Faults> {
        read(&typed_of(&row.appointment, &row.about))
    }

    async fn change(w: &mut Write, id: i64, new: &NewAppointment) -> Result<(), Error> {
        appointments::change(w, AppointmentId::new(id), new).await
    }
}

/// The job that an appointment is made for.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct ForJob {
    job: String,
}

async fn fresh(
    State(desk): State<Desk>,
    Query(query): Query<ForJob>,
) -> Result<Html<String>, Problem> {
    let mut form = Typed::default();
    if !query.job.is_empty() {
        let job = jobs::find(desk.store(), &query.job).await?;
        form.set(&format!("job-{}", job.id), "to be looked at".to_owned());
    }
    page(&form_page(&desk, None, form).await?)
}

async fn create(State(desk): State<Desk>, posted: Posted<Typed>) -> Result<Response, Problem> {
    let new = match read(&posted.form) {
        Ok(new) => new,
        Err(faults) => {
            let mut again = form_page(&desk, None, posted.form).await?;
            (again.faults, again.key) = (faults, posted.key);
            return refused(&again);
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                Ok(format!(
                    "/appointments/{}",
                    appointments::make(w, &new).await?
                ))
            })
        })
        .await?;
    Ok(see(&to))
}

async fn change(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let known = appointments::find(desk.store(), AppointmentId::new(id)).await?;
    let about = appointments::jobs(desk.store(), known.id).await?;
    page(&form_page(&desk, Some(&known), typed_of(&known, &about)).await?)
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let known = appointments::find(desk.store(), AppointmentId::new(id)).await?;
    let new = match read(&posted.form) {
        Ok(new) => new,
        Err(faults) => {
            let mut again = form_page(&desk, Some(&known), posted.form).await?;
            (again.faults, again.key) = (faults, posted.key);
            return refused(&again);
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                appointments::change(w, known.id, &new).await?;
                Ok(format!("/appointments/{}", known.id))
            })
        })
        .await?;
    Ok(see(&to))
}
