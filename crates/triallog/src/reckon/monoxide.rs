//! Carbon monoxide, as fields.

use calc::monoxide::{AirLog, CoLimits, alarm, by_mass, exposure, ratio};

use super::field::{Form, Kind, LeftOut, Reckoner, VERDICT, cold, need, or, other, out, truth};
use super::given::Given;

fn limits(g: &Given) -> CoLimits {
    let shipped = CoLimits::SHIPPED;
    let of = |key: &str, default: f64| g.limit("limits", key).unwrap_or(default);
    CoLimits {
        eight_hours: of("twa8_ppm", shipped.eight_hours),
        fifteen_minutes: of("stel15_ppm", shipped.fifteen_minutes),
        ceiling: of("ceiling_ppm", shipped.ceiling),
        caution: of("caution_ppm", shipped.caution),
        caution_fifteen: of("caution15_ppm", shipped.caution_fifteen),
    }
}

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "co-alarm",
        title: "What a monoxide alarm must do",
        asks: "Must an alarm to EN 50291-1 sound by now, may it, or must it not?",
        forms: &[Form {
            is: "",
            inputs: &[
                need(
                    "co_ppm_constant",
                    "carbon monoxide, constant",
                    "ppm",
                    0.0,
                    1e6,
                ),
                other(
                    "minutes",
                    "minutes since it began",
                    "min",
                    Kind::Numbers(0.0, 1e5),
                    LeftOut::Needed,
                ),
            ],
            outputs: &[
                out(
                    "alarm_state",
                    "must_not_alarm, may_alarm or must_alarm, for each",
                    "",
                ),
                out("not_before_min", "earliest it may", "min"),
                out("by_min", "latest it must", "min"),
            ],
            run: |g| alarm(g.n("co_ppm_constant")?, g.numbers("minutes")?),
        }],
    },
    Reckoner {
        name: "co-exposure",
        title: "Monoxide breathed",
        asks: "What was breathed over a trial, against what may be?",
        forms: &[
            Form {
                is: "a log of readings",
                inputs: &[
                    other(
                        "t_min",
                        "minutes from the beginning",
                        "min",
                        Kind::Numbers(0.0, 1e5),
                        LeftOut::Needed,
                    ),
                    other(
                        "co_ppm",
                        "carbon monoxide at each",
                        "ppm",
                        Kind::Numbers(0.0, 1e6),
                        LeftOut::Needed,
                    ),
                    or(
                        "max_gap_min",
                        "longest time between two readings",
                        "min",
                        (0.1, 1000.0),
                        5.0,
                    ),
                    truth(
                        "ventilated",
                        "the place was aired before and after, on record",
                    ),
                    other(
                        "limits",
                        "limits, instead of those shipped",
                        "ppm",
                        Kind::CoLimits,
                        LeftOut::Unused,
                    ),
                ],
                outputs: &[
                    out("dose_ppm_min", "dose", "ppm min"),
                    out("twa_8h_ppm", "mean over eight hours", "ppm"),
                    out("max_15min_ppm", "highest mean over fifteen minutes", "ppm"),
                    out("peak_ppm", "highest reading", "ppm"),
                    VERDICT,
                ],
                run: |g| {
                    exposure(&AirLog {
                        minutes: g.numbers("t_min")?.to_vec(),
                        ppm: g.numbers("co_ppm")?.to_vec(),
                        longest_gap_min: g.n("max_gap_min")?,
                        ventilated: g.truth("ventilated") == Some(true),
                        limits: limits(g),
                    })
                },
            },
            Form {
                is: "one reading as mg/m³",
                inputs: &[
                    need("co_ppm", "carbon monoxide", "ppm", 0.0, 1e6),
                    cold("T_C", "air"),
                    or(
                        "p_Pa",
                        "pressure of the air",
                        "Pa",
                        (85_000.0, 108_500.0),
                        101_325.0,
                    ),
                ],
                outputs: &[out("mg_per_m3", "the same by mass", "mg/m³")],
                run: |g| by_mass(g.n("co_ppm")?, g.n("T_C")?, g.n("p_Pa")?),
            },
        ],
    },
    Reckoner {
        name: "co-ratio",
        title: "Monoxide against dioxide in the flue",
        asks: "Does the flame burn clean?",
        forms: &[Form {
            is: "",
            inputs: &[
                need(
                    "co_ppm",
                    "carbon monoxide in the dry gases",
                    "ppm",
                    0.0,
                    1e6,
                ),
                need(
                    "co2_pct",
                    "carbon dioxide in the dry gases",
                    "%",
                    1e-9,
                    25.0,
                )
                .code("co2_not_positive"),
                or(
                    "co2_max_pct",
                    "most carbon dioxide of this fuel",
                    "%",
                    (5.0, 25.0),
                    14.0,
                ),
            ],
            outputs: &[
                out("ratio", "monoxide over dioxide", ""),
                out("co_air_free_ppm", "monoxide without the extra air", "ppm"),
                VERDICT,
            ],
            run: |g| ratio(g.n("co_ppm")?, g.n("co2_pct")?, g.n("co2_max_pct")?),
        }],
    },
];
