//! Trials of one plant laid over each other: their pens by time from something they share, their
//! figures side by side, and whether each difference is proven.

mod laid;
mod table;

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use papers::Svg;
use records::log::{self, Trial};
use records::plants::{self, Plant};
use records::{PlantId, Stamp, jobs, workshop};

use super::load::Judged;
use super::tree::Tree;
use crate::desk::Desk;
use crate::form::Pick;
use crate::layout::Layout;
use crate::problem::{Problem, page};
use table::{Against, Item, Unlike};

/// So many pens can be told apart.
const MOST: usize = 4;
/// What time runs from where nothing else is chosen.
pub(super) const FIRE_LIT: &str = "fire-lit";
/// Time may also run from where each trial's own clock begins.
pub(super) const BEGINNING: &str = "beginning";

/// A trial that can be chosen.
struct Choice {
    id: i64,
    label: String,
    kind: String,
    when: String,
    question: String,
    chosen: bool,
}

#[derive(Template)]
#[template(path = "trials/compare.html")]
struct Compare {
    layout: Layout,
    workshop: String,
    plant: Plant,
    choices: Vec<Choice>,
    picks: Vec<Pick>,
    from: String,
    /// What keeps them from being laid, or what was chosen for the reader.
    says: String,
    chart: Option<Svg>,
    /// What the chart leaves out, and why.
    left_out: Vec<String>,
    items: Vec<Item>,
    against: Vec<Against>,
    unlike: Vec<Unlike>,
    made: String,
}

/// What the address asks for: `trial` as often as there are trials, and `from`.
#[derive(Debug, Default)]
struct Asked {
    trials: Vec<i64>,
    from: String,
}

impl Asked {
    fn read(pairs: &[(String, String)]) -> Result<Self, Problem> {
        let mut asked = Self {
            from: FIRE_LIT.to_owned(),
            ..Self::default()
        };
        for (name, value) in pairs {
            match name.as_str() {
                "trial" => {
                    let id = value.parse().map_err(|_| {
                        Problem::Unreadable(format!("“{value}” is no trial's number"))
                    })?;
                    if !asked.trials.contains(&id) {
                        asked.trials.push(id);
                    }
                }
                "from" if !value.is_empty() => asked.from.clone_from(value),
                _ => {}
            }
        }
        Ok(asked)
    }
}

/// The page: the choice on top, and under it what was chosen.
pub(super) async fn show(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    Query(pairs): Query<Vec<(String, String)>>,
) -> Result<Response, Problem> {
    let asked = Asked::read(&pairs)?;
    let plant = plants::find(desk.store(), PlantId::new(id)).await?;
    let all = trials_of(&desk, &plant).await?;
    let (chosen, says) = choose(&all, &asked.trials);
    let mut status = StatusCode::OK;
    let mut judged = Vec::new();
    if chosen.len() > MOST {
        status = StatusCode::UNPROCESSABLE_ENTITY;
    } else {
        for row in chosen.iter().map(|at| all[*at].clone()) {
            judged.push(Judged::of(desk.store(), row).await?);
        }
    }
    let choices = all.iter().enumerate();
    let choices = choices.map(|(at, row)| choice(row, chosen.contains(&at)));
    let view = View {
        choices: choices.collect(),
        says,
        judged: if judged.len() > 1 { judged } else { Vec::new() },
        from: asked.from,
    };
    Ok((status, draw(&desk, plant, view).await?).into_response())
}

/// Every trial of a plant that has begun, the oldest first.
async fn trials_of(desk: &Desk, plant: &Plant) -> Result<Vec<Trial>, Problem> {
    let mut all = Vec::new();
    for job in jobs::of_plant(desk.store(), plant.id).await? {
        let trials = log::of_job(desk.store(), job.id).await?;
        all.extend(
            trials
                .into_iter()
                .filter(|t| t.withdrawn_at.is_none() && t.started_at.is_some()),
        );
    }
    all.sort_by_key(|t| (t.started_at, t.id.get()));
    Ok(all)
}

fn choice(row: &Trial, chosen: bool) -> Choice {
    Choice {
        id: row.id.get(),
        label: row.label(),
        kind: row.kind.replace('-', " "),
        when: row.started_at.unwrap_or(row.made_at).full(),
        question: row.question.clone(),
        chosen,
    }
}

/// Which of all are laid, by their places; to one alone goes the one it was prepared to be compared with,
/// or else the one of its kind before it.
fn choose(all: &[Trial], asked: &[i64]) -> (Vec<usize>, String) {
    let mut chosen: Vec<usize> = (0..all.len())
        .filter(|at| asked.contains(&all[*at].id.get()))
        .collect();
    if chosen.len() > MOST {
        let says = format!(
            "{} are chosen; {MOST} pens can be told apart. Take {} off.",
            chosen.len(),
            chosen.len() - MOST
        );
        return (chosen, says);
    }
    let [only] = chosen.as_slice() else {
        let says = if chosen.is_empty() {
            "Choose two trials or more, up to four."
        } else {
            ""
        };
        return (chosen, says.to_owned());
    };
    let named = Tree::read(&all[*only].head).map(|h| h.typed_at("compared_with"));
    let named = named.unwrap_or_default();
    let by_name = (0..all.len()).find(|at| at != only && all[*at].label() == named);
    let of_kind = (0..*only).rev().find(|at| all[*at].kind == all[*only].kind);
    match by_name.or(of_kind) {
        Some(other) => {
            let why = if by_name.is_some() {
                "it was prepared to be compared with"
            } else {
                "it is the one of its kind before it"
            };
            let says = format!("{} is laid under it: {why}.", all[other].label());
            chosen.push(other);
            chosen.sort_unstable();
            (
                chosen,
                says.replace("it was prepared", "this trial was prepared"),
            )
        }
        None => (
            chosen,
            "One trial is chosen; choose another to lay it over.".to_owned(),
        ),
    }
}

/// What was chosen, read and judged.
struct View {
    choices: Vec<Choice>,
    says: String,
    judged: Vec<Judged>,
    from: String,
}

async fn draw(desk: &Desk, plant: Plant, view: View) -> Result<Html<String>, Problem> {
    let workshop = workshop::find(desk.store()).await?;
    let laid = laid::over(&plant.name, &view.judged, &view.from);
    page(&Compare {
        layout: desk
            .layout(
                &format!("{}: trials laid over each other", plant.name),
                "plants",
            )
            .await?,
        workshop: workshop.map_or_else(String::new, |w| w.name),
        plant,
        choices: view.choices,
        picks: laid::picks(&view.judged, &view.from),
        from: view.from,
        says: view.says,
        chart: papers::overlay::trials(&laid.overlay),
        left_out: laid.left_out,
        items: table::items(&view.judged),
        against: table::against(&view.judged),
        unlike: table::unlike(&view.judged),
        made: Stamp::now().full(),
    })
}

/// The letter of a trial by its place: A is the oldest.
fn letter(place: usize) -> &'static str {
    ["A", "B", "C", "D"].get(place).copied().unwrap_or("E")
}
