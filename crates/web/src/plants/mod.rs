//! Plants: the list, one plant's sheet with its components and jobs.

mod asked;
mod components;
mod papers;
mod particulars;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::{Html, Response};
use axum::routing::get;
use records::change::Subject;
use records::components::{self as kept, Component};
use records::fitted::{self, Fitted};
use records::papers::Paper;
use records::plants::{self, NewPlant, Plant};
use records::{CustomerId, Error, PlantId, Stamp, Write, customers, jobs, log, retests};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::FormPage;
use crate::jobs::line::JobLine;
use crate::layout::Layout;
use crate::paging::{LINES, Paging, asked};
use crate::problem::{Problem, page, refused, see};
use crate::put_back::{Kept, Way};
use crate::retests::DueLine;

/// Every address that is about plants.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/plants", get(list).post(create))
        .route("/plants/new", get(fresh))
        .route("/plants/{id}", get(show).post(update))
        .route("/plants/{id}/change", get(change))
        .merge(components::routes())
        .merge(papers::routes())
}

#[derive(Template)]
#[template(path = "plants/list.html")]
struct PlantList {
    layout: Layout,
    plants: Vec<Plant>,
    paging: Paging,
}

/// Where the list goes on: behind the plant of this row.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Behind {
    behind: Option<i64>,
}

/// A component as one line, its particulars in words.
struct ComponentLine {
    kind: String,
    component: Component,
    inner: bool,
    known: Vec<(String, String)>,
    fitted: Vec<Fitted>,
}

#[derive(Template)]
#[template(path = "plants/show.html")]
struct PlantSheet {
    layout: Layout,
    plant: Plant,
    components: Vec<ComponentLine>,
    kinds: Vec<Pick>,
    papers: Vec<Paper>,
    due: Vec<DueLine>,
    jobs: Vec<JobLine>,
    trials: Vec<log::Trial>,
}

async fn list(
    State(desk): State<Desk>,
    Query(query): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let last = match query.behind {
        Some(id) => Some(plants::find(desk.store(), PlantId::new(id)).await?),
        None => None,
    };
    let after = last.as_ref().map(|p| (p.name.as_str(), p.id));
    let mut plants = plants::list(desk.store(), after, asked(LINES)).await?;
    let on = |p: &Plant| format!("/plants?behind={}", p.id);
    let paging = Paging::cut(&mut plants, LINES, "Further on by name", on).begins(
        last.is_some(),
        "/plants",
        "From the beginning",
    );
    page(&PlantList {
        layout: desk.layout("Plants", "plants").await?,
        plants,
        paging,
    })
}

async fn show(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let plant = plants::find(desk.store(), PlantId::new(id)).await?;
    let (now, mut trials) = (Stamp::now(), Vec::new());
    let visits = jobs::of_plant(desk.store(), plant.id).await?;
    for job in &visits {
        trials.extend(
            log::of_job(desk.store(), job.id)
                .await?
                .into_iter()
                .filter(|t| t.withdrawn_at.is_none()),
        );
    }
    let components = kept::of_plant(desk.store(), plant.id).await?;
    let fitted = fitted::of_plant(desk.store(), plant.id).await?;
    let components = components
        .into_iter()
        .map(|c| ComponentLine {
            kind: particulars::kind_words(&c.kind),
            inner: c.parent_id.is_some(),
            known: known(&c),
            fitted: newest_of_each_kind(&fitted, &c),
            component: c,
        })
        .collect();
    page(&PlantSheet {
        layout: desk.layout(&plant.name, "plants").await?,
        components,
        kinds: kept::KINDS
            .iter()
            .map(|k| Pick::new(k, particulars::kind_words(k)))
            .collect(),
        papers: records::papers::of_plant(desk.store(), plant.id).await?,
        due: due_of(&desk, plant.id).await?,
        jobs: visits.iter().map(|j| JobLine::of(j, now)).collect(),
        trials,
        plant,
    })
}

async fn due_of(desk: &Desk, plant: PlantId) -> Result<Vec<DueLine>, Problem> {
    let rule = retests::rule(desk.store()).await?;
    let (today, due) = (
        Stamp::now().day(),
        retests::of_plant(desk.store(), plant).await?,
    );
    Ok(due
        .into_iter()
        .map(|d| DueLine::of(d, &today, &rule))
        .collect())
}

/// What is fitted to a component as far as is written down: of each kind the newest.
fn newest_of_each_kind(all: &[Fitted], component: &Component) -> Vec<Fitted> {
    let mut newest: Vec<Fitted> = Vec::new();
    for fitted in all.iter().filter(|f| f.component_id == component.id) {
        if !newest.iter().any(|n| n.kind == fitted.kind) {
            newest.push(fitted.clone());
        }
    }
    newest
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct PlantForm {
    name: String,
    customer: String,
    boiler_mark: String,
    note: String,
}

impl PlantForm {
    fn of(known: &Plant) -> Self {
        Self {
            name: known.name.clone(),
            customer: known.customer_id.to_string(),
            boiler_mark: known.boiler_mark.clone(),
            note: known.note.clone(),
        }
    }

    fn read(&self) -> Result<NewPlant, Faults> {
        let mut read = Reader::default();
        let name = read.needed("name", &self.name, "Give the plant's name.");
        let customer = read.row("customer", &self.customer);
        if self.customer.trim().is_empty() {
            read.fault(
                "customer",
                "Choose whose it is; a new customer is written down first.",
            );
        }
        let boiler_mark = read.words("boiler_mark", &self.boiler_mark);
        let note = read.words("note", &self.note);
        let customer_id = CustomerId::new(customer.unwrap_or_default());
        read.done(NewPlant {
            name,
            customer_id,
            boiler_mark,
            note,
        })
    }
}

/// What of a plant, its components and its papers can be put back as it was.
pub(crate) const WAYS: &[Way] = &[
    Way::by::<PlantForm>(Subject::Plant),
    Way::by::<components::Written>(Subject::Component),
    Way::by::<papers::PaperForm>(Subject::Paper),
];

impl Kept for PlantForm {
    type Row = Plant;
    type New = NewPlant;

    const WRITES: &'static [&'static str] = &["name", "customer_id", "boiler_mark", "note"];

    async fn find(desk: &Desk, id: i64) -> Result<Plant, Error> {
        plants::find(desk.store(), PlantId::new(id)).await
    }

    fn written(row: &Plant) -> Result<Self::New, Faults> {
        Self::of(row).read()
    }

    async fn change(w: &mut Write, id: i64, new: &Self::New) -> Result<(), Error> {
        plants::change(w, PlantId::new(id), new).await
    }
}

async fn form_page(
    desk: &Desk,
    known: Option<&Plant>,
    form: &PlantForm,
) -> Result<FormPage, Problem> {
    let mut whose = vec![Pick::new("", "choose")];
    whose.extend(
        customers::choices(
            desk.store(),
            form.customer.trim().parse().ok().map(CustomerId::new),
        )
        .await?
        .into_iter()
        .map(|c| Pick::new(c.id, c.name)),
    );
    let fields = vec![
        Field::new("text", "name", "Name", &form.name),
        Field::new("pick", "customer", "Customer", &form.customer).picks(whose),
        Field::new(
            "text",
            "boiler_mark",
            "Mark on its boiler",
            &form.boiler_mark,
        )
        .hint("as it is stamped; may stay empty"),
        Field::new("long", "note", "Private note", &form.note),
    ];
    let (title, action) = match known {
        None => ("A new plant", "/plants".to_owned()),
        Some(p) => ("Change the plant", format!("/plants/{}", p.id)),
    };
    let back = action.clone();
    let page = FormPage::fresh(
        desk.layout(title, "plants").await?,
        fields,
        action,
        "Save",
        back,
    );
    Ok(match known {
        Some(p) => {
            page.withdrawable("plant", p.id.get(), p.withdrawn_at.is_some())
                .with_changes(desk)
                .await?
        }
        None => page,
    })
}

async fn fresh(State(desk): State<Desk>) -> Result<Html<String>, Problem> {
    page(&form_page(&desk, None, &PlantForm::default()).await?)
}

async fn create(State(desk): State<Desk>, posted: Posted<PlantForm>) -> Result<Response, Problem> {
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            return refused(
                &form_page(&desk, None, &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move { Ok(format!("/plants/{}", plants::make(w, &new).await?)) })
        })
        .await?;
    Ok(see(&to))
}

async fn change(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let known = plants::find(desk.store(), PlantId::new(id)).await?;
    page(&form_page(&desk, Some(&known), &PlantForm::of(&known)).await?)
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<PlantForm>,
) -> Result<Response, Problem> {
    let known = plants::find(desk.store(), PlantId::new(id)).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            return refused(
                &form_page(&desk, Some(&known), &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                plants::change(w, known.id, &new).await?;
                Ok(format!("/plants/{}", known.id))
            })
        })
        .await?;
    Ok(see(&to))
}

/// What is known of a component, in words.
fn known(component: &kept::Component) -> Vec<(String, String)> {
    let mut known = particulars::in_words(component);
    if !component.joints.is_empty() {
        known.insert(0, ("Joints".to_owned(), component.joints.clone()));
    }
    known
}
