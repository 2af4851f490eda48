//! What a water test leaves off, plugged or swapped for now: offered on its page, written down in one press and put back in one.

use axum::extract::{Path, State};
use axum::response::Response;
use records::components::{self, Component};
use records::states::{self, NewState, TemporaryState};
use records::{TrialId, fresh_key, jobs, log};

use super::typed::Typed;
use crate::desk::Desk;
use crate::form::Posted;
use crate::problem::{Problem, see};

/// One thing that a water test leaves so.
struct Created {
    name: &'static str,
    /// The kind of component that it is done to, each of them by its own name; empty where it is no component.
    kind: &'static str,
    /// What that is called where none is written down.
    called: &'static str,
    /// What is done, after its name.
    done: &'static str,
    how: &'static str,
    bar: &'static str,
    /// What ends it, after its name.
    ends_it: &'static str,
}

const WATER_TEST: [Created; 4] = [
    Created {
        name: "safety-valve",
        kind: "safety-valve",
        called: "safety valve",
        done: "off, its bush plugged",
        how: "left off",
        bar: "no steam",
        ends_it: "back on and tried by hand, after the water test",
    },
    Created {
        name: "glass",
        kind: "glass",
        called: "water glass",
        done: "off, its bushes plugged",
        how: "left off",
        bar: "no steam",
        ends_it: "back on and blown through, after the water test",
    },
    Created {
        name: "plugs",
        kind: "",
        called: "every other bush",
        done: "plugged",
        how: "blanked",
        bar: "no steam",
        ends_it: "open again, each fitting back in its own, after the water test",
    },
    Created {
        name: "gauge",
        kind: "",
        called: "the plant's own gauge",
        done: "off, the test gauge in its place",
        how: "swapped",
        bar: "no handover",
        ends_it: "back on, after the water test",
    },
];

/// One thing that is offered, and whether it was written down.
pub(super) struct Offer {
    name: String,
    new: NewState,
    pub(super) made: Option<TemporaryState>,
}

impl Offer {
    pub(super) fn name(&self) -> &str {
        &self.name
    }

    /// What it is; in the words that were kept, once it is written down.
    pub(super) fn what(&self) -> &str {
        self.made.as_ref().map_or(&self.new.what, |m| &m.what)
    }

    pub(super) fn bar(&self) -> &str {
        self.made.as_ref().map_or(&self.new.bar, |m| &m.bar)
    }

    pub(super) fn ends_it(&self) -> &str {
        self.made.as_ref().map_or(&self.new.ends_it, |m| &m.ends_it)
    }

    pub(super) fn stands(&self) -> bool {
        self.made.as_ref().is_some_and(|m| m.ended_at.is_none())
    }
}

/// What is off, plugged or swapped for a water test.
pub(super) struct ForNow {
    pub(super) offers: Vec<Offer>,
    /// What else is not ended on this plant.
    pub(super) others: Vec<TemporaryState>,
    /// The page that it stands on.
    pub(super) page: &'static str,
}

impl ForNow {
    /// Nothing for a trial that is no water test.
    pub(super) async fn of(
        desk: &Desk,
        trial: &log::Trial,
        page: &'static str,
    ) -> Result<Option<Self>, Problem> {
        if trial.kind != "hydraulic" {
            return Ok(None);
        }
        let store = desk.store();
        let job = jobs::by_id(store, trial.job_id).await?;
        let parts = components::of_plant(store, job.plant_id).await?;
        let mut made = states::of_job(store, job.id).await?;
        made.retain(|s| s.trial_id == Some(trial.id) && s.withdrawn_at.is_none());
        let mut others = states::standing(store, job.plant_id).await?;
        others.retain(|s| s.trial_id != Some(trial.id));
        let mut offers: Vec<Offer> = WATER_TEST
            .iter()
            .flat_map(|created| offered(created, &parts))
            .collect();
        for state in made {
            match offers.iter_mut().find(|o| o.name == state.offered) {
                Some(offer) => offer.made = Some(state),
                None => offers.push(Offer {
                    name: state.offered.clone(),
                    new: NewState::default(),
                    made: Some(state),
                }),
            }
        }
        Ok(Some(Self {
            offers,
            others,
            page,
        }))
    }

    /// Only what stands: a record that is sealed offers nothing any more.
    pub(super) fn only_standing(mut self) -> Self {
        self.offers.retain(Offer::stands);
        self
    }

    /// How many of them stand.
    pub(super) fn standing(&self) -> usize {
        self.offers.iter().filter(|o| o.stands()).count()
    }

    pub(super) fn key(&self) -> String {
        fresh_key()
    }
}

/// One offer a component of that kind, or one where none is written down.
fn offered(created: &Created, parts: &[Component]) -> Vec<Offer> {
    let offer = |name: String, called: &str| Offer {
        name,
        new: NewState {
            what: format!("{called} {}", created.done),
            how: created.how.to_owned(),
            bar: created.bar.to_owned(),
            ends_it: format!("{called} {}", created.ends_it),
            ..NewState::default()
        },
        made: None,
    };
    let own: Vec<Offer> = parts
        .iter()
        .filter(|c| c.withdrawn_at.is_none() && c.kind == created.kind)
        .map(|c| offer(format!("{}-{}", created.name, c.id), &c.name))
        .collect();
    if own.is_empty() {
        return vec![offer(created.name.to_owned(), created.called)];
    }
    own
}

/// Writes down what is off for now, or that it is back. It is a fact, taken whatever the trial's state.
pub(super) async fn keep(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<Typed>,
) -> Result<Response, Problem> {
    let trial = log::find(desk.store(), TrialId::new(id)).await?;
    let page = match posted.form.get("page") {
        "readings" => "/readings",
        "close" => "/close",
        "record" => "/record",
        _ => "",
    };
    let gone =
        || Problem::Unreadable("this test does not offer that; open the page again".to_owned());
    let for_now = ForNow::of(&desk, &trial, "").await?.ok_or_else(gone)?;
    let asked = posted.form.get("offer");
    let offer = for_now
        .offers
        .into_iter()
        .find(|o| o.name == asked)
        .ok_or_else(gone)?;
    let back = posted.form.get("way") == "back";
    let to = format!("{}{page}#for-now", super::address(trial.id));
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                match (back, offer.made) {
                    (true, Some(made)) => states::end(w, made.id, true, None).await?,
                    (true, None) => {}
                    (false, _) => {
                        let of = (trial.job_id, trial.id);
                        states::make_for_trial(w, of, &offer.name, &offer.new).await?;
                    }
                }
                Ok(to)
            })
        })
        .await?;
    Ok(see(&to))
}
