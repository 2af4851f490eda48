//! Recorder paper: sprocket holes, ruling, one lane a pen, the clock along the lower edge.

use crate::prim::{Anchor, Drawing, Prim, Role, Words, at};
use crate::scale::{Scale, clock, multiples, step, time_step};

/// Room to the left of the paper for the lanes' numbers.
pub(crate) const LEFT: f64 = 44.0;
const BAND: f64 = 18.0;
const GAP: f64 = 14.0;

/// Recorder paper, with the time running to the right.
pub(crate) struct Sheet {
    pub(crate) drawing: Drawing,
    pub(crate) time: Scale,
    pub(crate) right: f64,
    names_at: Vec<f64>,
    bottom: f64,
    next_top: f64,
}

/// One pen's lane.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LaneArea {
    pub(crate) top: f64,
    pub(crate) bottom: f64,
    pub(crate) values: Scale,
    step: f64,
}

/// What a lane is to show.
pub(crate) struct LaneWish {
    pub(crate) name: &'static str,
    pub(crate) height: f64,
    pub(crate) low: f64,
    pub(crate) high: f64,
    pub(crate) most: f64,
    pub(crate) ink: Role,
    pub(crate) name_ink: Role,
}

impl Sheet {
    /// Paper from the trial's start to `to_s`, high enough for lanes of these heights.
    pub(crate) fn new(title: &str, says: String, width: f64, lanes: &[f64], to_s: f64) -> Self {
        Self::between(title, says, width, lanes, (0.0, to_s))
    }

    /// The same from any time to any later one.
    pub(crate) fn between(
        title: &str,
        says: String,
        width: f64,
        lanes: &[f64],
        (from_s, to_s): (f64, f64),
    ) -> Self {
        let inner: f64 = lanes.iter().map(|height| height + GAP).sum();
        let height = BAND * 2.0 + inner + 16.0 - GAP;
        let right = width - 2.0;
        let mut sheet = Self {
            drawing: Drawing {
                width,
                height,
                title: title.to_owned(),
                says,
                list: Vec::new(),
            },
            time: Scale::new(from_s, to_s, LEFT, right),
            right,
            names_at: Vec::new(),
            bottom: height - BAND - 1.0,
            next_top: BAND + 8.0,
        };
        sheet
            .drawing
            .rect(Role::Paper, at(LEFT, 1.0), right - LEFT, height - 2.0);
        sheet.holes(10.0);
        sheet.holes(height - 10.0);
        sheet
    }

    fn holes(&mut self, y: f64) {
        let mut x = LEFT + 8.0;
        while x < self.right - 6.0 {
            self.drawing.list.push(Prim::Dot {
                role: Role::Hole,
                at: at(x, y),
                radius: 3.6,
            });
            x += 27.0;
        }
    }

    /// Upright ruling on whole fives of the clock, and the clock itself.
    pub(crate) fn rule_time(&mut self, starts_at_s: Option<f64>) {
        let span = self.time.high - self.time.low;
        let heavy = time_step(span, (self.right - LEFT) / 74.0);
        let shift = starts_at_s.unwrap_or(0.0);
        let from_clock = |low: f64, high: f64, by: f64| -> Vec<f64> {
            multiples(low + shift, high + shift, by)
                .into_iter()
                .map(|t| t - shift)
                .collect()
        };
        for t in from_clock(self.time.low, self.time.high, heavy / 5.0) {
            let x = self.time.place(t);
            self.drawing
                .line(Role::GridFine, at(x, BAND), at(x, self.bottom));
        }
        for t in from_clock(self.time.low, self.time.high, heavy) {
            let x = self.time.place(t);
            self.drawing
                .line(Role::GridHeavy, at(x, BAND), at(x, self.bottom));
            if x > LEFT + 18.0 && x < self.right - 20.0 {
                let y = self.drawing.height - 6.0;
                self.drawing.words(
                    Words::new(Role::WordsInk, at(x, y), clock(t, starts_at_s))
                        .anchor(Anchor::Middle),
                );
            }
        }
    }

    /// The baseline `y`, or `other` where a limit's name at the right edge stands too close to it.
    pub(crate) fn clear_of_names(&self, y: f64, other: f64) -> f64 {
        let close = |baseline: f64| {
            self.names_at
                .iter()
                .any(|name| (name - baseline).abs() < 13.0)
        };
        if close(y) && !close(other) { other } else { y }
    }

    /// Opens the next lane down, with its ruling, its numbers and its name.
    pub(crate) fn lane(&mut self, wish: &LaneWish) -> LaneArea {
        let by = step(wish.high - wish.low, wish.most);
        let high = (wish.high / by - 1e-9).ceil() * by;
        let (top, bottom) = (self.next_top, self.next_top + wish.height);
        self.next_top = bottom + GAP;
        let lane = LaneArea {
            top,
            bottom,
            values: Scale::new(wish.low, high, bottom, top),
            step: by,
        };
        for value in multiples(wish.low, high, by / 2.0) {
            let y = lane.values.place(value);
            self.drawing
                .line(Role::GridFine, at(LEFT, y), at(self.right, y));
        }
        for value in multiples(wish.low, high, by) {
            let y = lane.values.place(value);
            self.drawing
                .line(Role::GridHeavy, at(LEFT, y), at(self.right, y));
            let places = if by < 1.0 { 1 } else { 0 };
            self.drawing.words(
                Words::new(
                    wish.ink,
                    at(LEFT - 6.0, y + 4.0),
                    calc::show::fixed(value, places),
                )
                .anchor(Anchor::End),
            );
        }
        // The name stands on the top ruling; where a limit is drawn close to it the limit's own name is at the right.
        self.drawing
            .words(Words::new(wish.name_ink, at(LEFT + 6.0, top + 12.0), wish.name).bold());
        lane
    }

    /// A limit across the lane with its name and number; one that is off the lane is left out.
    pub(crate) fn limit(
        &mut self,
        lane: &LaneArea,
        value: f64,
        role: Role,
        name: &str,
        side: Side,
    ) {
        if value < lane.values.low || value > lane.values.high {
            return;
        }
        let y = lane.values.place(value);
        self.drawing.line(role, at(LEFT, y), at(self.right, y));
        let ink = if role == Role::StopLimit {
            Role::WordsStop
        } else {
            Role::WordsInk
        };
        let (x, y, anchor) = match side {
            Side::RightOver => (self.right - 6.0, y - 4.0, Anchor::End),
            Side::RightUnder => (self.right - 6.0, y + 13.0, Anchor::End),
            Side::LeftOver => (LEFT + 6.0, y - 4.0, Anchor::Start),
        };
        if side != Side::LeftOver {
            self.names_at.push(y);
        }
        self.drawing
            .words(Words::new(ink, at(x, y), name).anchor(anchor));
    }
}

/// Where a limit's name stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    RightOver,
    RightUnder,
    LeftOver,
}

impl LaneArea {
    /// Half a graduation, for things that must stand clear of each other.
    pub(crate) fn half_step(&self) -> f64 {
        self.step / 2.0
    }
}
