//! Writing down a component of a plant, and changing it.

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::components::{self, Component, KINDS, NewComponent};
use records::pictures::Of;
use records::plants::{self, Plant};
use records::{ComponentId, Error, PlantId, Write};
use serde::Deserialize;

use super::particulars;
use crate::desk::Desk;
use crate::fitted::FittedList;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::FormPage;
use crate::pictures::Strip;
use crate::problem::{Problem, page, refused, see};
use crate::put_back::Kept;
use crate::trials::typed::Typed;

pub(super) fn routes() -> Router<Desk> {
    Router::new()
        .route("/plants/{id}/components", post(create))
        .route("/plants/{id}/components/new", get(fresh))
        .route("/components/{id}", get(change).post(update))
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct OfKind {
    kind: String,
}

fn read(kind: &str, form: &Typed) -> Result<NewComponent, Faults> {
    let mut reader = Reader::default();
    let name = reader.needed("name", form.get("name"), "Name the component.");
    let kind = reader.one_of("kind", kind, &KINDS);
    let parent_id = reader
        .row("parent", form.get("parent"))
        .map(ComponentId::new);
    let note = reader.words("note", form.get("note"));
    let joints = if kind == "boiler" {
        reader.one_of("joints", form.get("joints"), &components::JOINTS)
    } else {
        String::new()
    };
    let mut faults = reader.done(()).err().unwrap_or_default();
    let particulars = particulars::read(&kind, form, &mut faults);
    if faults.list().is_empty() {
        Ok(NewComponent {
            parent_id,
            kind,
            name,
            particulars,
            note,
            joints,
        })
    } else {
        Err(faults)
    }
}

/// What is kept of a component, as it would be typed.
fn typed_of(known: &Component) -> Typed {
    let mut pairs = particulars::typed_of(known);
    pairs.push(("name".to_owned(), known.name.clone()));
    pairs.push(("note".to_owned(), known.note.clone()));
    pairs.push(("joints".to_owned(), known.joints.clone()));
    pairs.push((
        "parent".to_owned(),
        known.parent_id.map_or_else(String::new, |p| p.to_string()),
    ));
    Typed::new(pairs)
}

/// What is written of a component.
pub(super) struct Written;

impl Kept for Written {
    type Row = Component;
    type New = NewComponent;

    const WRITES: &'static [&'static str] = &["parent_id", "name", "particulars", "note", "joints"];

    async fn find(desk: &Desk, id: i64) -> Result<Component, Error> {
        components::find(desk.store(), ComponentId::new(id)).await
    }

    fn written(row: &Component) -> Result<Self::New, Faults> {
        read(&row.kind, &typed_of(row))
    }

    async fn change(w: &mut Write, id: i64, new: &Self::New) -> Result<(), Error> {
        components::change(w, ComponentId::new(id), new).await
    }
}

async fn form_page(
    desk: &Desk,
    plant: &Plant,
    kind: &str,
    known: Option<&Component>,
    form: &Typed,
) -> Result<FormPage, Problem> {
    let others = components::of_plant(desk.store(), plant.id).await?;
    let mut belongs = vec![Pick::new("", "the plant itself")];
    let possible = others.iter().filter(|c| {
        c.withdrawn_at.is_none() && c.parent_id.is_none() && known.is_none_or(|k| k.id != c.id)
    });
    belongs.extend(possible.map(|c| Pick::new(c.id, c.name.clone())));
    let mut fields = vec![
        Field::new("text", "name", "Name", form.get("name")),
        Field::new("pick", "parent", "Belongs to", form.get("parent")).picks(belongs),
    ];
    let asked = particulars::fields(kind, form);
    if !asked.is_empty() {
        fields.push(Field::new("head", "particulars", "Particulars", "").hint(
            "what is not known stays empty: it makes the answers less sure, and is never guessed",
        ));
    }
    if kind == "boiler" {
        let joints =
            components::JOINTS.map(|j| Pick::new(j, if j.is_empty() { "not known" } else { j }));
        let pick = Field::new(
            "pick",
            "joints",
            "Joints: what holds the seams",
            form.get("joints"),
        );
        fields.push(pick.picks(joints.to_vec()).hint(
            "a soft-soldered seam melts near 180 °C: at 9 bar, or at any pressure with low water",
        ));
    }
    fields.extend(asked);
    fields.push(Field::new("long", "note", "Note", form.get("note")));
    let words = particulars::kind_words(kind);
    let (title, action) = match known {
        None => (
            format!("{}: a new {words}", plant.name),
            format!("/plants/{}/components?kind={kind}", plant.id),
        ),
        Some(c) => (
            format!("{}: {words}", plant.name),
            format!("/components/{}", c.id),
        ),
    };
    let page = FormPage::fresh(
        desk.layout(&title, "plants").await?,
        fields,
        action,
        "Save",
        format!("/plants/{}", plant.id),
    );
    Ok(match known {
        Some(c) => page
            .withdrawable("component", c.id.get(), c.withdrawn_at.is_some())
            .with_changes(desk)
            .await?
            .fitted(FittedList::of_component(desk, c.id).await?)
            .pictured(Strip::of(desk, Of::Component, c.id.get()).await?),
        None => page,
    })
}

async fn fresh(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    Query(query): Query<OfKind>,
) -> Result<Html<String>, Problem> {
    let plant = plants::find(desk.store(), PlantId::new(id)).await?;
    let kind = a_kind(&query.kind)?;
    let named = if kind == "fitting" {
        String::new()
    } else {
        particulars::kind_words(kind)
    };
    let form = Typed::new(vec![("name".to_owned(), named)]);
    page(&form_page(&desk, &plant, kind, None, &form).await?)
}

async fn create(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    Query(query): Query<OfKind>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let plant = plants::find(desk.store(), PlantId::new(id)).await?;
    let kind = a_kind(&query.kind)?;
    let new = match read(kind, &posted.form) {
        Ok(new) => new,
        Err(faults) => {
            return refused(
                &form_page(&desk, &plant, kind, None, &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                components::make(w, plant.id, &new).await?;
                Ok(format!("/plants/{}", plant.id))
            })
        })
        .await?;
    Ok(see(&to))
}

fn a_kind(asked: &str) -> Result<&'static str, Problem> {
    KINDS
        .into_iter()
        .find(|k| *k == asked)
        .ok_or_else(|| Problem::Unreadable(format!("a component is one of: {}", KINDS.join(", "))))
}

async fn change(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let known = components::find(desk.store(), ComponentId::new(id)).await?;
    let plant = plants::find(desk.store(), known.plant_id).await?;
    page(&form_page(&desk, &plant, &known.kind, Some(&known), &typed_of(&known)).await?)
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let known = components::find(desk.store(), ComponentId::new(id)).await?;
    let plant = plants::find(desk.store(), known.plant_id).await?;
    let new = match read(&known.kind, &posted.form) {
        Ok(new) => new,
        Err(faults) => {
            return refused(
                &form_page(&desk, &plant, &known.kind, Some(&known), &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                components::change(w, known.id, &new).await?;
                Ok(format!("/plants/{}", plant.id))
            })
        })
        .await?;
    Ok(see(&to))
}
