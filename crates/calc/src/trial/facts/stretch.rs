//! Stretches of the log over which nothing but the water changed: what evaporation and a gaining
//! feed are proven from.

use crate::trial::watch::Working;

/// A straight line through weights of water, by running sums.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Line {
    pub(crate) n: u32,
    pub(crate) from_s: f64,
    pub(crate) to_s: f64,
    st: f64,
    sz: f64,
    stt: f64,
    stz: f64,
    variance: f64,
    first: (f64, f64),
    last: (f64, f64),
}

impl Line {
    fn take(&mut self, t_s: f64, kg: f64, variance: f64) {
        if self.n == 0 {
            self.from_s = t_s;
            self.first = (kg, variance);
        }
        let h = (t_s - self.from_s) / 3600.0;
        self.n += 1;
        self.to_s = t_s;
        self.last = (kg, variance);
        self.st += h;
        self.sz += kg;
        self.stt += h * h;
        self.stz += h * kg;
        self.variance += variance;
    }

    /// Slope and its standard uncertainty, kg/h; none under three readings or two minutes.
    pub(crate) fn slope(&self) -> Option<(f64, f64)> {
        let n = f64::from(self.n);
        let spread = self.stt - self.st * self.st / n.max(1.0);
        if self.n < 3 || self.to_s - self.from_s < 120.0 || spread <= 0.0 {
            return None;
        }
        let slope = (self.stz - self.st * self.sz / n) / spread;
        Some((slope, (self.variance / n / spread).sqrt()))
    }
}

#[derive(Clone, Debug, Default)]
pub(crate) struct Stretches {
    now: Line,
    working: Working,
    /// The longest stretch with steam taken and the feed shut.
    best: Line,
    /// Weight read last before the feed went on, and its variance.
    before_feed: Option<(f64, f64)>,
    latest: Option<(f64, f64)>,
    feeding: bool,
    /// A feed was seen to put water into the boiler, beyond doubt.
    pub(crate) feed_gained: bool,
}

impl Stretches {
    pub(super) fn change(&mut self, now: Working, _kg: f64) {
        self.keep_best();
        if now.feed_on && !self.working.feed_on {
            self.before_feed = self.latest;
            self.feeding = true;
        }
        self.now = Line::default();
        self.working = now;
    }

    /// What follows cannot be compared with what went before.
    pub(super) fn cut(&mut self) {
        self.keep_best();
        self.now = Line::default();
        self.before_feed = None;
        self.latest = None;
    }

    pub(super) fn reading(&mut self, t_s: f64, kg: f64, variance: f64) {
        self.now.take(t_s, kg, variance);
        self.latest = Some((kg, variance));
        if self.feeding {
            let base = *self.before_feed.get_or_insert((kg, variance));
            self.feed_gained |= kg - base.0 > 2.0 * (variance + base.1).sqrt();
            self.feeding = self.working.feed_on;
        }
    }

    fn keep_best(&mut self) {
        let steady = self.working.steam_taken
            && !self.working.feed_on
            && !self.working.valve_lifted
            && !self.working.blowing_down;
        let long = |l: &Line| l.to_s - l.from_s;
        if steady && self.now.slope().is_some() && long(&self.now) > long(&self.best) {
            self.best = self.now;
        }
    }

    /// The stretch that is running.
    pub(crate) fn running(&self) -> &Line {
        &self.now
    }

    /// The longest stretch with steam taken and the feed shut, the running one included.
    pub(crate) fn longest_boiling(&self) -> Line {
        let mut with_now = self.clone();
        with_now.keep_best();
        with_now.best
    }
}
