//! What every workshop page works with.

use std::sync::Arc;

use records::{Saving, Store, TrialId, Work, Write, workshop};
use tokio::sync::{broadcast, watch};

use crate::door::Door;
use crate::form::Posted;
use crate::gate::Hosts;
use crate::layout::Layout;
use crate::problem::Problem;

tokio::task_local! {
    /// The name of who is in, while their request is answered.
    pub(crate) static IN: String;
}

/// The workshop's side: the store, and the door to it.
#[derive(Clone, Debug)]
pub(crate) struct Desk(Arc<Inner>);

#[derive(Debug)]
struct Inner {
    store: Store,
    door: Door,
    hosts: Hosts,
    /// Which trial has a new entry, for whoever follows one live.
    entered: broadcast::Sender<TrialId>,
    stopping: watch::Receiver<bool>,
}

/// How many entries a follower may fall behind before it is told once for all of them.
const BEHIND: usize = 64;

impl Desk {
    pub(crate) fn new(
        store: Store,
        door: Door,
        hosts: Hosts,
        stopping: watch::Receiver<bool>,
    ) -> Self {
        let (entered, _) = broadcast::channel(BEHIND);
        Self(Arc::new(Inner {
            store,
            door,
            hosts,
            entered,
            stopping,
        }))
    }

    pub(crate) fn door(&self) -> &Door {
        &self.0.door
    }

    pub(crate) fn hosts(&self) -> &Hosts {
        &self.0.hosts
    }

    pub(crate) fn store(&self) -> &Store {
        &self.0.store
    }

    /// Tells whoever follows a trial that it has a new entry.
    pub(crate) fn tell(&self, trial: TrialId) {
        // Nobody following is no fault.
        let _ = self.0.entered.send(trial);
    }

    /// Becomes true as the program stops.
    pub(crate) fn stopping(&self) -> watch::Receiver<bool> {
        self.0.stopping.clone()
    }

    /// What is told from now on.
    pub(crate) fn told(&self) -> broadcast::Receiver<TrialId> {
        self.0.entered.subscribe()
    }

    /// Under whose name things are kept: theirs who came in, else the owner's.
    pub(crate) async fn by(&self) -> Result<String, Problem> {
        if let Ok(who) = IN.try_with(Clone::clone) {
            return Ok(who);
        }
        self.owner().await
    }

    /// The workshop's owner.
    pub(crate) async fn owner(&self) -> Result<String, Problem> {
        let workshop = workshop::find(self.store()).await?;
        Ok(workshop.map_or_else(|| "workshop".to_owned(), |w| w.owner))
    }

    /// The frame of a page. `here` is the zone it is in: `bench`, `jobs`, `plants`, `trials` or `none`.
    pub(crate) async fn layout(&self, title: &str, here: &'static str) -> Result<Layout, Problem> {
        let workshop = workshop::find(self.store()).await?;
        Ok(self.frame(title, here, workshop.map_or_else(String::new, |w| w.name)))
    }

    /// The same for a page that must be shown even when nothing can be read.
    pub(crate) fn frame(&self, title: &str, here: &'static str, workshop: String) -> Layout {
        Layout {
            title: title.to_owned(),
            workshop,
            here,
            sheet_no: String::new(),
            not_saving: self.not_saving(),
            css: crate::assets::stylesheet(),
            script: crate::assets::address("send.js"),
        }
    }

    /// Why nothing is being saved, while that lasts.
    pub(crate) fn not_saving(&self) -> Option<String> {
        match self.store().saving() {
            Saving::Yes => None,
            Saving::No { since, reason } => Some(format!("Since {}: {reason}.", since.clock())),
        }
    }

    /// Does the work of a form once, and answers with the address to go to.
    pub(crate) async fn once<T, F>(&self, posted: &Posted<T>, work: F) -> Result<String, Problem>
    where
        F: for<'t> FnOnce(&'t mut Write) -> Work<'t, String> + Send + 'static,
    {
        let by = self.by().await?;
        Ok(self
            .store()
            .once(&by, &posted.key, &posted.content, work)
            .await?)
    }
}
