//! Does the glass still follow the water? Water gone or come against a level that does not move.

use crate::trial::setup::Setup;
use crate::trial::watch::Watch;

#[derive(Clone, Debug, Default)]
pub(crate) struct Stuck {
    anchor_mm: Option<f64>,
    gone: (f64, f64),
    come: (f64, f64),
    unknown: bool,
    /// What had left or entered, at the least credible, when a reading last showed no move, kg.
    shown_kg: f64,
    /// Somebody found the glass sluggish.
    pub(crate) found_sluggish: bool,
    /// It was blown through and no reading has followed.
    pub(crate) blown: bool,
    /// It was blown through and the last reading is the first after it: the suspicion is over.
    pub(crate) proven: bool,
}

impl Stuck {
    /// Time passes; a feed of unknown size makes the balance unknown.
    pub(super) fn pass(&mut self, hours: f64, feed_on: bool, draw: f64, watch: &Watch) {
        self.unknown |= feed_on;
        let (least, most) = watch.prior_draw_kg_h();
        self.gone.0 += least * draw * hours;
        self.gone.1 += most * draw * hours;
    }

    pub(super) fn added(&mut self, kg: f64) {
        self.come.0 += 0.8 * kg;
        self.come.1 += 1.2 * kg;
    }

    pub(super) fn sluggish(&mut self) {
        self.found_sluggish = true;
        self.proven = false;
    }

    pub(super) fn blown_through(&mut self) {
        self.blown = true;
        self.out_of_glass();
    }

    pub(super) fn reading(&mut self, level_mm: f64, setup: &Setup) {
        self.read_again();
        let moved = self
            .anchor_mm
            .is_none_or(|at| (level_mm - at).abs() >= 0.75 * setup.resolution_mm);
        let hidden = setup.visible_mm().is_some_and(|top| level_mm >= top);
        if moved || hidden || self.unknown {
            self.anchor_mm = Some(level_mm);
            self.gone = (0.0, 0.0);
            self.come = (0.0, 0.0);
            self.unknown = false;
        }
        self.shown_kg = (self.gone.0 - self.come.1)
            .max(self.come.0 - self.gone.1)
            .max(0.0);
    }

    /// The reading after a blow-through ends what was suspected until then, and nothing later.
    pub(super) fn read_again(&mut self) {
        self.proven = std::mem::take(&mut self.blown);
        if self.proven {
            self.found_sluggish = false;
        }
    }

    /// The water was not at a level that can be compared.
    pub(super) fn out_of_glass(&mut self) {
        self.anchor_mm = None;
        self.shown_kg = 0.0;
    }

    /// Water that had, at the least credible, left or entered when a reading last showed the level
    /// where it was before, kg.
    pub(crate) fn unmoved_kg(&self) -> f64 {
        self.shown_kg
    }
}
