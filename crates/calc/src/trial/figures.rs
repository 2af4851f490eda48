//! Figures from a log, each with its expanded uncertainty (k = 2).

use super::assessment::Figure;
use super::facts::Facts;

pub(super) fn of(facts: &Facts, end_s: f64) -> Vec<Figure> {
    let mut figures = Vec::new();
    water(facts, end_s, &mut figures);
    pressure(facts, end_s, &mut figures);
    air(facts, end_s, &mut figures);
    if let Some(speed) = facts.speed.highest_m_s {
        figures.push(figure("piston-speed", speed, None, "m/s", (end_s, end_s)));
    }
    super::kinds::figures(facts, end_s, &mut figures);
    figures
}

fn figure(
    name: &'static str,
    value: f64,
    plus_minus: Option<f64>,
    unit: &'static str,
    span: (f64, f64),
) -> Figure {
    Figure {
        name,
        value,
        plus_minus,
        unit,
        from_s: span.0,
        to_s: span.1,
    }
}

fn water(facts: &Facts, end_s: f64, out: &mut Vec<Figure>) {
    let boiling = facts.stretches.longest_boiling();
    if let Some((slope, u)) = boiling.slope() {
        let span = (boiling.from_s, boiling.to_s);
        out.push(figure("evaporation", -slope, Some(2.0 * u), "kg/h", span));
    }
    if facts.hot() {
        if let Some(runway) = facts.watch.runway(end_s, true) {
            out.push(figure("runway", runway.least_s, None, "s", (end_s, end_s)));
        }
        if let Some(runway) = facts.watch.runway(end_s, false) {
            out.push(figure(
                "runway-without-feed",
                runway.least_s,
                None,
                "s",
                (end_s, end_s),
            ));
        }
    }
    if let Some((kg, u)) = facts.watch.mass() {
        let at = facts.water.read_s.unwrap_or(end_s);
        out.push(figure("water-mass", kg, Some(2.0 * u), "kg", (at, at)));
    }
}

fn pressure(facts: &Facts, end_s: f64, out: &mut Vec<Figure>) {
    let u = facts.setup.pressure_u_bar().map(|u| 2.0 * u);
    let whole = (0.0, end_s);
    if let Some((lit, (reached, gap))) = facts.fire.lit_at_s.zip(facts.pressure.reached_s)
        && reached > lit
    {
        out.push(figure(
            "raising-time",
            reached - lit,
            Some(gap),
            "s",
            (lit, reached),
        ));
    }
    if let Some(bar) = facts.valve.lifted_bar {
        out.push(figure("set-pressure", bar, u, "bar", whole));
    }
    if let Some(bar) = facts.pressure.highest_bar {
        out.push(figure("highest-pressure", bar, u, "bar", whole));
    }
    if let Some(bar) = facts.valve.reseated_bar {
        out.push(figure("reseat-pressure", bar, u, "bar", whole));
    }
}

fn air(facts: &Facts, end_s: f64, out: &mut Vec<Figure>) {
    let Some((last, _)) = facts.air.last() else {
        return;
    };
    let held = facts.air.mean_15min_ppm(end_s);
    if let Some(mean) = facts
        .air
        .highest_mean_ppm
        .into_iter()
        .chain(held)
        .reduce(f64::max)
    {
        out.push(figure("co-15min", mean, None, "ppm", (0.0, last)));
    }
    if let Some(mean) = facts.air.mean_8h_ppm(end_s) {
        out.push(figure("co-8h", mean, None, "ppm", (0.0, end_s)));
    }
    if let Some(peak) = facts.air.peak_ppm {
        out.push(figure("co-peak", peak, None, "ppm", (0.0, last)));
    }
}
