//! What was seen of the water, and how often somebody looked.

use crate::trial::setup::Setup;
use crate::trial::{Cock, Reading, Seen};
use std::collections::VecDeque;

/// Where the water was last seen.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) enum Sight {
    #[default]
    Unknown,
    Below,
    Above,
    Level(f64),
}

/// One look at the water, all glasses and cocks together.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Look {
    pub(crate) sight: Sight,
    lowest_mm: Option<f64>,
    highest_mm: Option<f64>,
    above: bool,
    /// Was the water read in a glass?
    in_glass: bool,
    /// Were there two ways of seeing it, that could be compared?
    two_ways: bool,
    disagree: Option<&'static str>,
}

impl Look {
    /// None where the reading says nothing of the water.
    pub(super) fn of(r: &Reading, setup: &Setup) -> Option<Self> {
        let cocks = [r.cock_top, r.cock_middle, r.cock_bottom];
        let seen = [r.level_seen, r.level_second_seen];
        let levels: Vec<f64> = [r.level_mm, r.level_second_mm]
            .into_iter()
            .flatten()
            .map(|l| setup.shown_mm(l))
            .collect();
        if levels.is_empty()
            && seen.iter().all(Option::is_none)
            && cocks.iter().all(Option::is_none)
        {
            return None;
        }
        let lowest_mm = levels.iter().copied().reduce(f64::min);
        let highest_mm = levels.iter().copied().reduce(f64::max);
        let below = seen.contains(&Some(Seen::Below)) || r.cock_bottom == Some(Cock::Steam);
        let above = seen.contains(&Some(Seen::Above));
        let sight = if below {
            Sight::Below
        } else if let Some(mm) = lowest_mm {
            Sight::Level(mm)
        } else if above {
            Sight::Above
        } else {
            Sight::Unknown
        };
        let first = r.level_mm.is_some() || r.level_seen.is_some();
        let second = r.level_second_mm.is_some() || r.level_second_seen.is_some();
        let in_glass = first || second;
        let ways = [first, second, r.cock_bottom.is_some()]
            .into_iter()
            .filter(|way| *way)
            .count();
        let disagree = disagreement(r, lowest_mm, highest_mm, setup);
        Some(Self {
            sight,
            lowest_mm,
            highest_mm,
            above,
            in_glass,
            two_ways: ways >= 2,
            disagree,
        })
    }
}

fn disagreement(
    r: &Reading,
    lowest_mm: Option<f64>,
    highest_mm: Option<f64>,
    setup: &Setup,
) -> Option<&'static str> {
    let seen = [r.level_seen, r.level_second_seen];
    let below = seen.contains(&Some(Seen::Below));
    let above = seen.contains(&Some(Seen::Above));
    let in_a_glass = highest_mm.is_some() || above || seen.contains(&Some(Seen::InGlass));
    let may_mm = 2.0 * std::f64::consts::SQRT_2 * setup.level_u_mm();
    if r.cock_bottom == Some(Cock::Steam) && in_a_glass {
        return Some("The bottom cock shows steam, the glass shows water");
    }
    if below && (above || highest_mm.is_some_and(|mm| mm > may_mm)) {
        return Some("One glass shows no water, the other does");
    }
    if above
        && setup
            .visible_mm()
            .zip(lowest_mm)
            .is_some_and(|(top, mm)| mm < top - may_mm)
    {
        return Some("One glass is full, the other is not");
    }
    match (lowest_mm, highest_mm) {
        (Some(low), Some(high)) if high - low > may_mm => Some("The two glasses differ"),
        _ => None,
    }
}

#[derive(Clone, Debug, Default)]
pub(crate) struct WaterFacts {
    pub(crate) sight: Sight,
    pub(crate) level_mm: Option<f64>,
    /// Was the water ever read in a glass?
    pub(crate) level_entered: bool,
    /// Last time somebody read the water, and looked at it at all.
    pub(crate) read_s: Option<f64>,
    pub(crate) looked_s: Option<f64>,
    gaps: VecDeque<f64>,
    /// Count of water readings, and of those while hot.
    pub(crate) readings: u32,
    pub(crate) hot_readings: u32,
    /// Numeric readings running clear of the low mark, and readings running over the high mark with
    /// steam taken.
    pub(crate) clear_of_mark: u32,
    pub(crate) over_with_steam: u32,
    /// The last reading stood over the high mark (or above the glass).
    pub(crate) over_mark: bool,
    pub(crate) carry_over: bool,
    pub(crate) disagree: Option<&'static str>,
    /// While hot: was it ever below; was it ever above while steam was taken?
    pub(crate) was_below: bool,
    pub(crate) was_above_with_steam: bool,
}

impl WaterFacts {
    /// Somebody looked, whatever was noted.
    pub(super) fn looked(&mut self, t_s: f64) {
        self.looked_s = Some(self.looked_s.map_or(t_s, |l| l.max(t_s)));
    }

    pub(super) fn take(&mut self, t_s: f64, look: &Look, steam: bool, hot: bool, setup: &Setup) {
        if let Some(last) = self.read_s.filter(|last| t_s > *last) {
            if self.gaps.len() == 5 {
                self.gaps.pop_front();
            }
            self.gaps.push_back(t_s - last);
        }
        self.read_s = Some(t_s);
        self.looked(t_s);
        self.readings += 1;
        self.hot_readings += u32::from(hot);
        self.sight = look.sight;
        self.level_entered |= look.in_glass;
        if look.lowest_mm.is_some() {
            self.level_mm = look.lowest_mm;
        }
        self.mark(look, setup);
        self.over(look, steam, setup);
        if look.two_ways {
            self.disagree = look.disagree;
        }
        self.was_below |= hot && look.sight == Sight::Below;
        self.was_above_with_steam |= hot && steam && look.above;
    }

    fn mark(&mut self, look: &Look, setup: &Setup) {
        let Some(mark) = setup.low_mark_mm() else {
            return;
        };
        let clear = mark + setup.resolution_mm.max(1.0);
        self.clear_of_mark = match look.sight {
            Sight::Level(mm) if mm >= clear => self.clear_of_mark + 1,
            Sight::Above => self.clear_of_mark + 1,
            Sight::Unknown => self.clear_of_mark,
            _ => 0,
        };
    }

    fn over(&mut self, look: &Look, steam: bool, setup: &Setup) {
        let high = setup
            .high_mark_mm()
            .zip(look.highest_mm)
            .is_some_and(|(mark, mm)| mm > mark);
        self.over_mark = look.above || high;
        self.over_with_steam = if self.over_mark && steam {
            self.over_with_steam + 1
        } else {
            0
        };
        let back = setup.high_mark_mm().or(setup.visible_mm());
        let down = back.zip(look.highest_mm);
        if !self.over_mark && down.is_some_and(|(top, mm)| mm <= top - setup.resolution_mm) {
            self.carry_over = false;
        }
    }

    /// Is the last reading at least one resolution under the high mark?
    pub(crate) fn well_under_high(&self, setup: &Setup) -> bool {
        let top = setup.high_mark_mm().or(setup.visible_mm());
        match (self.sight, top) {
            (Sight::Level(mm), Some(top)) => !self.over_mark && mm <= top - setup.resolution_mm,
            (Sight::Below, _) => true,
            _ => false,
        }
    }

    /// Median of the last five gaps between water readings, held within 15 s and the pace.
    pub(crate) fn usual_gap_s(&self, reading_every_s: f64) -> f64 {
        let mut gaps: Vec<f64> = self.gaps.iter().copied().collect();
        gaps.sort_by(f64::total_cmp);
        let middle = gaps.len() / 2;
        let median = match gaps.len() {
            0 => reading_every_s,
            n if n % 2 == 1 => gaps[middle],
            _ => (gaps[middle - 1] + gaps[middle]) / 2.0,
        };
        median.clamp(15.0, reading_every_s.max(15.0))
    }
}
