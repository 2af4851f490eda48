//! Level trend and time left, as fields.

use calc::Unusable;
use calc::trend::{Claim, Falling, Series, least_readings, may_state, runway, trend};
use calc::water::{Boiling, saturation};

use super::field::{
    BAROMETER, Form, Input, Kind, LeftOut, Reckoner, VERDICT, may, need, or, other, out,
};
use super::given::Given;

const TIMES: Input = other(
    "t_s",
    "times, strictly rising",
    "s",
    Kind::Numbers(-1e9, 1e9),
    LeftOut::Needed,
);
const CONFIDENCE: Input = or(
    "confidence",
    "two-sided confidence",
    "",
    (0.5, 0.9999),
    0.95,
);

fn series(g: &Given, readings: &'static str, resolution: &str) -> Result<Series, Unusable> {
    Ok(Series {
        seconds: g.numbers("t_s")?.to_vec(),
        seen: g.readings(readings)?.to_vec(),
        confidence: g.n("confidence")?,
        resolution: g.maybe(resolution),
    })
}

fn claims(g: &Given) -> Result<Vec<Claim>, Unusable> {
    let n = g.numbers("n")?;
    let intervals = g.intervals("ci")?;
    let (spans, slopes) = (g.numbers("span_s")?, g.numbers("slope_ml_per_s")?);
    let resolution = g.n("resolution_ml")?;
    if [intervals.len(), spans.len(), slopes.len()] != [n.len(); 3] {
        return Err(Unusable::Refused {
            code: "lists_not_equally_long",
            field: "ci",
            says: "each trend needs its readings, interval, span and slope",
            finding: None,
        });
    }
    let all = n.iter().zip(intervals).zip(spans.iter().zip(slopes));
    Ok(all
        .map(|((n, interval), (span, slope))| Claim {
            readings: *n,
            interval: *interval,
            resolution,
            span_s: *span,
            slope: *slope,
        })
        .collect())
}

/// The hot water's density: as given, or at the pressure that was given.
fn density(g: &Given) -> Result<Option<f64>, Unusable> {
    if let Some(rho) = g.maybe("rho_f_kg_m3") {
        return Ok(Some(rho));
    }
    if g.maybe("p_gauge_bar").is_none() {
        return Ok(None);
    }
    let hot = saturation(&Boiling {
        pressure: g.gauge("p_gauge_bar")?,
        barometer: g.barometer("barometer_hPa")?,
        u_bar: None,
    })?;
    Ok(hot.number("rho_f_kg_m3"))
}

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "trend",
        title: "Trend of a level",
        asks: "How fast does it move, and may that be said yet?",
        forms: &[
            Form {
                is: "readings",
                inputs: &[
                    TIMES,
                    other(
                        "y",
                        "readings, all in one unit",
                        "",
                        Kind::Readings(-1e9, 1e9),
                        LeftOut::Needed,
                    ),
                    CONFIDENCE,
                    may(
                        "resolution",
                        "smallest step read, in the readings' unit",
                        "",
                        1e-9,
                        1e9,
                    ),
                ],
                outputs: &[
                    out("n", "readings that are numbers", ""),
                    out("n_slopes", "slopes between them", ""),
                    out("slope", "slope, the middle one", "1/s"),
                    out("intercept", "level at time 0", ""),
                    out("slope_lo", "least credible slope", "1/s"),
                    out("slope_hi", "greatest credible slope", "1/s"),
                    out("achieved_conf", "confidence reached", ""),
                    out(
                        "slope_lo_scipy",
                        "least slope, normal approximation: a check",
                        "1/s",
                    ),
                    out(
                        "slope_hi_scipy",
                        "greatest slope, normal approximation: a check",
                        "1/s",
                    ),
                    out(
                        "slope_lo_guarded",
                        "least slope, guarded by the resolution",
                        "1/s",
                    ),
                    out(
                        "slope_hi_guarded",
                        "greatest slope, guarded by the resolution",
                        "1/s",
                    ),
                    out("may_state", "may it be stated?", ""),
                    VERDICT,
                ],
                run: |g| trend(&series(g, "y", "resolution")?),
            },
            Form {
                is: "how many readings a confidence needs",
                inputs: &[other(
                    "two_sided_conf",
                    "two-sided confidences",
                    "",
                    Kind::Numbers(0.5, 0.9999),
                    LeftOut::Needed,
                )],
                outputs: &[
                    out("min_n", "fewest readings for each", ""),
                    out("max_conf_n3", "best confidence of 3 readings", ""),
                    out("max_conf_n4", "best confidence of 4 readings", ""),
                    out("max_conf_n5", "best confidence of 5 readings", ""),
                    out("max_conf_n6", "best confidence of 6 readings", ""),
                ],
                run: |g| least_readings(g.numbers("two_sided_conf")?),
            },
            Form {
                is: "may trends be stated?",
                inputs: &[
                    other(
                        "n",
                        "readings of each",
                        "",
                        Kind::Numbers(0.0, 1e6),
                        LeftOut::Needed,
                    ),
                    other(
                        "ci",
                        "guarded interval of each slope",
                        "ml/s",
                        Kind::Intervals,
                        LeftOut::Needed,
                    ),
                    need("resolution_ml", "smallest step read", "ml", 1e-9, 1e7),
                    other(
                        "span_s",
                        "from first to last of each",
                        "s",
                        Kind::Numbers(0.0, 1e9),
                        LeftOut::Needed,
                    ),
                    other(
                        "slope_ml_per_s",
                        "slope of each",
                        "ml/s",
                        Kind::Numbers(-1e9, 1e9),
                        LeftOut::Needed,
                    ),
                ],
                outputs: &[out("may_state", "yes, or why not, for each", "")],
                run: |g| may_state(&claims(g)?),
            },
        ],
    },
    Reckoner {
        name: "runway",
        title: "Time to the low mark",
        asks: "How long until the water is at the low mark?",
        forms: &[Form {
            is: "",
            inputs: &[
                TIMES,
                other(
                    "y_ml",
                    "water at each",
                    "ml",
                    Kind::Readings(0.0, 1e7),
                    LeftOut::Needed,
                ),
                need("low_mark_ml", "water at the low mark", "ml", 0.0, 1e7),
                need("resolution_ml", "smallest step read", "ml", 1e-9, 1e7),
                CONFIDENCE,
                may(
                    "rho_f_kg_m3",
                    "density of the hot water",
                    "kg/m³",
                    500.0,
                    1100.0,
                ),
                may("p_gauge_bar", "pressure, for the density", "bar", 0.0, 18.0),
                BAROMETER,
            ],
            outputs: &[
                out("time_to_low_conservative_s", "time left, conservative", "s"),
                out("time_to_low_best_s", "time left, best estimate", "s"),
                out("slope_ml_per_s", "slope", "ml/s"),
                out(
                    "slope_lo_guarded_ml_per_s",
                    "steepest credible fall",
                    "ml/s",
                ),
                out("slope_hi_guarded_ml_per_s", "least credible fall", "ml/s"),
                out("level_now_fit_ml", "water now, by the line", "ml"),
                out("level_now_conservative_ml", "water now, conservative", "ml"),
                out("u_level_ml", "doubt of it", "ml"),
                out("evaporation_kg_per_h", "evaporation", "kg/h"),
                VERDICT,
            ],
            run: |g| {
                runway(&Falling {
                    series: series(g, "y_ml", "resolution_ml")?,
                    low_mark_ml: g.n("low_mark_ml")?,
                    density_kg_m3: density(g)?,
                })
            },
        }],
    },
];
