//! The hand at the trial: when it looks, how it feeds, what goes wrong, and what it writes down.

use super::boiler::{Boiler, Doing, State};
use acceptance::Chance;
use calc::level::WaterSpace;
use serde_json::{Value, json};

/// What goes wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Healthy,
    FeedFails,
    FeedPasses,
    LeakOpens,
    SlowLoss,
    LoadRises,
    Misread,
    Absent,
}

const KINDS: [Kind; 12] = [
    Kind::Healthy,
    Kind::Healthy,
    Kind::Healthy,
    Kind::Healthy,
    Kind::FeedFails,
    Kind::FeedFails,
    Kind::FeedPasses,
    Kind::LeakOpens,
    Kind::SlowLoss,
    Kind::LoadRises,
    Kind::Misread,
    Kind::Absent,
];

/// A trial with what really happened.
pub(crate) struct Run {
    pub(crate) kind: Kind,
    pub(crate) file: Value,
    pub(crate) low_s: Option<f64>,
    pub(crate) fault_s: Option<f64>,
    pub(crate) absent_s: Option<(f64, f64)>,
    pub(crate) end_s: f64,
    /// (time, s; time to the low mark were the feed to stop, s), while steam is taken.
    pub(crate) runway: Vec<(f64, f64)>,
    pub(crate) reading_times: Vec<f64>,
}

const STEP_S: f64 = 5.0;

struct Hand {
    gap_s: f64,
    resolution_mm: f64,
    surge_mm: f64,
    bubbles_mm: f64,
    axle: bool,
    feed_kg_h: f64,
    load_kg_h: f64,
    logs_stop_valve: bool,
    fault_s: f64,
    kind: Kind,
}

pub(crate) fn run(seed: u64) -> Run {
    let mut c = Chance::new(seed);
    let boiler = Boiler::by_chance(&mut c);
    let evaporates = boiler.heat_kw * 3600.0 / 2130.0;
    let hand = Hand {
        gap_s: c.between(50.0, 190.0),
        resolution_mm: c.pick(&[0.5, 1.0, 1.0, 2.0]),
        surge_mm: c.between(0.3, 1.4),
        bubbles_mm: c.between(0.0, 1.5),
        axle: c.happens(0.3),
        feed_kg_h: evaporates * c.between(1.5, 3.5),
        load_kg_h: evaporates * c.between(0.75, 1.1),
        logs_stop_valve: c.happens(0.7),
        fault_s: 0.0,
        kind: c.pick(&KINDS),
    };
    Trial::new(boiler, hand, c).play()
}

struct Trial {
    boiler: Boiler,
    hand: Hand,
    c: Chance,
    state: State,
    entries: Vec<Value>,
    surge: f64,
    feed_on: bool,
    steam_s: Option<f64>,
    out: Run,
    misread_due: bool,
}

impl Trial {
    fn new(boiler: Boiler, hand: Hand, mut c: Chance) -> Self {
        let start = boiler.low_mm + (boiler.high_mm - boiler.low_mm) * c.between(0.45, 0.8);
        let state = State {
            water_kg: boiler.water_kg(start, 20.0),
            temperature_c: 20.0,
            lifted: false,
        };
        let file = json!({"format": "gaugeglass-trial/1", "kind": "steam", "place": "outdoors",
            "plant": plant(&boiler, &hand, &mut c),
            "instruments": {"pressure": {"full_scale_bar": (boiler.working_bar * 1.8).ceil(),
                "accuracy_class": 1.6, "resolution_bar": 0.1},
                "level": {"resolution_mm": hand.resolution_mm}}});
        let out = Run {
            kind: hand.kind,
            file,
            low_s: None,
            fault_s: None,
            absent_s: None,
            end_s: 0.0,
            runway: Vec::new(),
            reading_times: Vec::new(),
        };
        Self {
            boiler,
            hand,
            c,
            state,
            entries: Vec::new(),
            surge: 0.0,
            feed_on: false,
            steam_s: None,
            out,
            misread_due: false,
        }
    }

    fn write(&mut self, t: f64, what: &str, value: Value) {
        let t = (t * 10.0).round() / 10.0;
        self.entries.push(json!({"t_s": t, what: value}));
    }

    fn play(mut self) -> Run {
        let lit = 60.0;
        let cold = self.shown(0.0).unwrap_or(0.0);
        self.write(
            20.0,
            "reading",
            json!({"level_mm": cold, "pressure_bar": 0}),
        );
        self.write(lit, "event", json!("fire-lit"));
        let mut t: f64 = lit;
        let mut next_look = 120.0;
        let length = self.c.between(2400.0, 5400.0);
        let mut end = 10_000.0_f64;
        while t < end {
            let doing = self.doing(t);
            self.valve(t);
            self.boiler.step(&mut self.state, doing, STEP_S);
            t += STEP_S;
            self.surge = 0.8 * self.surge + 0.6 * self.c.normal();
            if self.steam_s.is_none()
                && self.boiler.pressure_bar(&self.state) > 0.8 * self.boiler.working_bar
            {
                self.take_steam(t);
                end = t + length;
            }
            self.truth(t, doing);
            if t >= next_look && !self.out.absent_s.is_some_and(|(a, b)| t >= a && t < b) {
                if !self.look(t) {
                    break;
                }
                next_look = t + self.hand.gap_s * (0.25 * self.c.normal()).exp();
            }
        }
        self.write(t + 10.0, "event", json!("fire-out"));
        self.out.end_s = t;
        self.out.file["entries"] = Value::Array(self.entries);
        self.out
    }

    fn take_steam(&mut self, t: f64) {
        self.steam_s = Some(t);
        if self.hand.logs_stop_valve {
            self.write(t, "event", json!("stop-valve-open"));
        }
        self.write(t + 2.0, "event", json!("engine-running"));
        self.feed_on = self.hand.axle;
        self.hand.fault_s = t + self.c.between(500.0, 1800.0);
        match self.hand.kind {
            Kind::Absent => {
                let until = self.hand.fault_s + self.c.between(700.0, 1300.0);
                self.out.absent_s = Some((self.hand.fault_s, until));
            }
            Kind::Misread => self.misread_due = true,
            Kind::Healthy => {}
            _ => self.out.fault_s = Some(self.hand.fault_s),
        }
    }

    /// What goes on, faults included, that the log may know nothing of.
    fn doing(&self, t: f64) -> Doing {
        let Some(steam) = self.steam_s else {
            return Doing {
                fire: 1.0,
                ..Doing::default()
            };
        };
        let faulty = t >= self.hand.fault_s;
        let k = self.hand.load_kg_h;
        let mut doing = Doing {
            fire: self.fire(),
            load_kg_h: k,
            ..Doing::default()
        };
        if t < steam {
            doing.load_kg_h = 0.0;
        }
        if self.feed_on {
            doing.feed_kg_h = if self.hand.axle {
                0.97 * k
            } else {
                self.hand.feed_kg_h
            };
        }
        match self.hand.kind {
            Kind::FeedFails if faulty => doing.feed_kg_h = 0.0,
            Kind::FeedPasses if faulty => doing.feed_kg_h *= 0.3,
            Kind::LeakOpens if faulty => doing.leak_kg_h = 1.2 * k,
            Kind::SlowLoss if faulty => doing.leak_kg_h = 0.35 * k,
            Kind::LoadRises if faulty => doing.load_kg_h *= 1.6,
            _ => {}
        }
        doing
    }

    /// The fire is turned down as the pressure nears working pressure.
    fn fire(&self) -> f64 {
        let over = self.boiler.pressure_bar(&self.state) / self.boiler.working_bar;
        ((1.02 - over) * 12.0).clamp(0.25, 1.0)
    }

    fn valve(&mut self, t: f64) {
        let p = self.boiler.pressure_bar(&self.state);
        if !self.state.lifted && p > 1.01 * self.boiler.working_bar {
            self.state.lifted = true;
            self.write(t, "event", json!("safety-valve-lifted"));
        } else if self.state.lifted && p < 0.93 * self.boiler.working_bar {
            self.state.lifted = false;
            self.write(t, "event", json!("safety-valve-reseated"));
        }
    }

    fn truth(&mut self, t: f64, doing: Doing) {
        let level = self.boiler.level_mm(&self.state);
        if self.out.low_s.is_none() && level <= self.boiler.low_mm {
            self.out.low_s = Some(t);
        }
        if self.steam_s.is_some() {
            let low = self
                .boiler
                .water_kg(self.boiler.low_mm, self.state.temperature_c);
            let drawn = self.boiler.drawn_kg_h(&self.state, doing);
            let runway = (self.state.water_kg - low).max(0.0) / drawn.max(1e-6) * 3600.0;
            self.out.runway.push((t, runway));
        }
    }

    /// What the glass shows; none where the water is past an end.
    fn shown(&mut self, extra_mm: f64) -> Option<f64> {
        let steaming = self.steam_s.is_some();
        let wave = if steaming {
            self.hand.surge_mm * self.surge + self.hand.bubbles_mm
        } else {
            0.15 * self.surge
        };
        let level = self.boiler.level_mm(&self.state) + wave + extra_mm;
        let step = self.hand.resolution_mm;
        let read = (level / step).round() * step;
        (read >= 0.0 && read <= self.boiler.visible_mm).then_some(read)
    }

    /// Looks, writes down, feeds; false where the trial is given up.
    fn look(&mut self, t: f64) -> bool {
        let misread = self.misread_due && t >= self.hand.fault_s;
        let extra = if misread {
            self.c.pick(&[-8.0, -6.0, 6.0, 8.0])
        } else {
            0.0
        };
        self.misread_due &= !misread;
        let pressure = self.boiler.pressure_bar(&self.state) * 1.004;
        let pressure = (pressure * 10.0).round() / 10.0;
        let below = self.boiler.level_mm(&self.state) < self.boiler.visible_mm / 2.0;
        let shown = self.shown(extra);
        let reading = match shown {
            Some(mm) => json!({"level_mm": mm, "pressure_bar": pressure}),
            None => {
                json!({"level_seen": if below { "below" } else { "above" }, "pressure_bar": pressure})
            }
        };
        self.write(t, "reading", reading);
        self.out.reading_times.push(t);
        let span = self.boiler.high_mm - self.boiler.low_mm;
        let low = self.boiler.low_mm + 0.38 * span;
        if self.steam_s.is_some() && !self.hand.axle {
            if !self.feed_on && shown.is_some_and(|mm| mm < low) {
                self.feed_on = true;
                self.write(t + 6.0, "event", json!("feed-on"));
            } else if self.feed_on && shown.is_none_or(|mm| mm > low + 0.35 * span) && !below {
                self.feed_on = false;
                self.write(t + 6.0, "event", json!("feed-off"));
            }
        }
        !(shown.is_none() && below)
    }
}

fn plant(boiler: &Boiler, hand: &Hand, c: &mut Chance) -> Value {
    let mut plant = json!({"working_pressure_bar": boiler.working_bar,
        "glass": {"visible_mm": boiler.visible_mm, "low_mark_mm": boiler.low_mm, "high_mark_mm": boiler.high_mm}});
    let space = match &boiler.space {
        WaterSpace::Horizontal {
            bore_mm,
            length_mm,
            tubes,
        } => {
            let tubes: Vec<Value> = tubes
                .iter()
                .map(|t| json!({"od_mm": t.od_mm, "centre_mm": t.centre_mm, "count": t.count}))
                .collect();
            json!({"horizontal": {"bore_mm": bore_mm, "length_mm": length_mm, "tubes": tubes}})
        }
        WaterSpace::Vertical {
            bore_mm,
            height_mm,
            tubes,
            firebox,
        } => {
            let tubes: Vec<Value> = tubes
                .iter()
                .map(|t| json!({"od_mm": t.od_mm, "count": t.count}))
                .collect();
            let firebox = firebox.map(|f| json!({"od_mm": f.od_mm, "crown_mm": f.crown_mm}));
            json!({"vertical": {"bore_mm": bore_mm, "height_mm": height_mm, "tubes": tubes, "firebox": firebox}})
        }
        WaterSpace::Calibrated { points } => {
            let rows: Vec<Value> = points
                .iter()
                .map(|p| json!({"level_mm": p.0, "ml": p.1}))
                .collect();
            json!({"calibrated": rows})
        }
    };
    if c.happens(0.85) {
        plant["water_space"] = space;
        plant["glass"]["bottom_mm"] = json!(boiler.bottom_mm);
    } else {
        plant["volume_ml"] = json!(boiler.full_ml.round());
    }
    if c.happens(0.4) {
        let rated = boiler.heat_kw * 2.0 * (0.15 * c.normal()).exp();
        plant["burner"] = json!({"rated_kw": (rated * 100.0).round() / 100.0});
    }
    if hand.axle {
        plant["feed_pump"] = json!({"drive": "axle"});
    }
    plant
}
