//! The safety valve's longest blow, and what went on meanwhile.

use crate::trial::EventName;

/// A pressure read this long before a lift still begins the blow, s.
const SAME_MOMENT_S: f64 = 60.0;

/// One blow of the valve.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Blow {
    pub(crate) from_s: f64,
    /// When it reseated; none while it blows.
    pub(crate) to_s: Option<f64>,
    pub(crate) readings: Vec<(f64, f64)>,
    /// When it was first no longer the whole fire against a shut boiler, and why.
    pub(crate) broken: Option<(f64, &'static str)>,
}

impl Blow {
    /// From the lift to the reseating, or to the last reading of it, s.
    pub(crate) fn lasted_s(&self) -> f64 {
        self.end_s() - self.from_s
    }

    fn end_s(&self) -> f64 {
        let last = self.readings.last().map_or(self.from_s, |r| r.0);
        self.to_s.unwrap_or(last)
    }

    /// How long it carried the whole fire, s, and the pressures read meanwhile.
    pub(crate) fn whole_fire(&self) -> (f64, Vec<f64>) {
        let end = self
            .broken
            .map_or(self.end_s(), |(t, _)| t.min(self.end_s()));
        let read = self.readings.iter().filter(|r| r.0 <= end);
        ((end - self.from_s).max(0.0), read.map(|r| r.1).collect())
    }
}

/// What goes on while the valve blows.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Meanwhile {
    pub(crate) steam_taken: bool,
    pub(crate) fed: bool,
    pub(crate) fire_lit: bool,
}

#[derive(Clone, Debug, Default)]
pub(crate) struct Blows {
    now: Option<Blow>,
    longest: Option<Blow>,
    latest: Option<(f64, f64)>,
}

impl Blows {
    pub(super) fn event(&mut self, t_s: f64, name: EventName, meanwhile: Meanwhile) {
        match name {
            EventName::SafetyValveLifted if self.now.is_none() => {
                let near = self.latest.filter(|r| t_s - r.0 <= SAME_MOMENT_S);
                self.now = Some(Blow {
                    from_s: t_s,
                    readings: near.into_iter().collect(),
                    ..Blow::default()
                });
            }
            EventName::SafetyValveReseated => {
                if let Some(mut blow) = self.now.take() {
                    blow.to_s = Some(t_s);
                    self.keep(blow);
                }
            }
            _ => {}
        }
        self.note(t_s, meanwhile);
    }

    pub(super) fn reading(&mut self, t_s: f64, bar: f64, meanwhile: Meanwhile) {
        self.latest = Some((t_s, bar));
        if let Some(blow) = &mut self.now {
            blow.readings.push((t_s, bar));
        }
        self.note(t_s, meanwhile);
    }

    fn note(&mut self, t_s: f64, meanwhile: Meanwhile) {
        let why = match meanwhile {
            Meanwhile {
                steam_taken: true, ..
            } => "steam was taken",
            Meanwhile { fed: true, .. } => "the feed was on",
            Meanwhile {
                fire_lit: false, ..
            } => "the fire was not lit",
            _ => return,
        };
        if let Some(blow) = &mut self.now {
            blow.broken.get_or_insert((t_s, why));
        }
    }

    fn keep(&mut self, blow: Blow) {
        if self
            .longest
            .as_ref()
            .is_none_or(|l| blow.lasted_s() > l.lasted_s())
        {
            self.longest = Some(blow);
        }
    }

    /// The longest blow, the running one included.
    pub(crate) fn longest(&self) -> Option<Blow> {
        let mut all = self.clone();
        if let Some(now) = all.now.take() {
            all.keep(now);
        }
        all.longest
    }
}
