//! Two readings of one instant both count: the lower water and the higher pressure.

use crate::trial::{Cock, Reading, Seen};

/// One reading that says the worse of what several said; none where nothing was read.
pub(super) fn conservative(readings: &[&Reading]) -> Option<Reading> {
    let (first, rest) = readings.split_first()?;
    let mut all = (*first).clone();
    for r in rest {
        let most = |a: Option<f64>, b: Option<f64>| a.into_iter().chain(b).reduce(f64::max);
        let least = |a: Option<f64>, b: Option<f64>| a.into_iter().chain(b).reduce(f64::min);
        all.pressure_bar = most(all.pressure_bar, r.pressure_bar);
        all.pressure_second_bar = most(all.pressure_second_bar, r.pressure_second_bar);
        all.level_mm = least(all.level_mm, r.level_mm);
        all.level_second_mm = least(all.level_second_mm, r.level_second_mm);
        all.level_seen = lower(all.level_seen, r.level_seen);
        all.level_second_seen = lower(all.level_second_seen, r.level_second_seen);
        all.cock_top = drier(all.cock_top, r.cock_top);
        all.cock_middle = drier(all.cock_middle, r.cock_middle);
        all.cock_bottom = drier(all.cock_bottom, r.cock_bottom);
        all.water_c = most(all.water_c, r.water_c);
        all.shell_c = most(all.shell_c, r.shell_c);
        all.ambient_c = most(all.ambient_c, r.ambient_c);
        all.tank_c = least(all.tank_c, r.tank_c);
        all.bearing_c = most(all.bearing_c, r.bearing_c);
        all.feed_strokes = most(all.feed_strokes, r.feed_strokes);
        all.catch_ml = least(all.catch_ml, r.catch_ml);
        all.catch_s = most(all.catch_s, r.catch_s);
        all.pumped_ml = most(all.pumped_ml, r.pumped_ml);
        all.strokes_per_min = most(all.strokes_per_min, r.strokes_per_min);
        all.feed_tank_ml = least(all.feed_tank_ml, r.feed_tank_ml);
        all.co_ppm = most(all.co_ppm, r.co_ppm);
        all.co2_pct = least(all.co2_pct, r.co2_pct);
        all.rpm = most(all.rpm, r.rpm);
        all.gas_g = least(all.gas_g, r.gas_g);
        all.condensate_ml = most(all.condensate_ml, r.condensate_ml);
    }
    Some(all)
}

fn lower(a: Option<Seen>, b: Option<Seen>) -> Option<Seen> {
    let rank = |s: &Seen| match s {
        Seen::Below => 0,
        Seen::InGlass => 1,
        Seen::Above => 2,
    };
    a.into_iter().chain(b).min_by_key(rank)
}

fn drier(a: Option<Cock>, b: Option<Cock>) -> Option<Cock> {
    let rank = |c: &Cock| match c {
        Cock::Steam => 0,
        Cock::Unclear => 1,
        Cock::Water => 2,
    };
    a.into_iter().chain(b).min_by_key(rank)
}
