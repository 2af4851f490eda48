//! The shell's sanity check, as fields.

use calc::shell::{FlatEnd, Hoop, Plate, Stay, bar_litres, flat_end, hoop, ligament, stay};

use super::field::{
    BAROMETER, Form, Input, Kind, LeftOut, Reckoner, VERDICT, may, need, or, other, out,
};
use super::given::Given;

const PRESSURE: Input = need("p_gauge_bar", "working pressure", "bar", 0.001, 40.0);
const STRESS: Input = may("S_MPa", "allowable stress", "MPa", 1.0, 500.0);

fn plate(g: &Given) -> Plate {
    match (g.maybe("S_MPa"), g.word("material")) {
        (Some(stress), _) => Plate::Allowed(stress),
        (None, Some("steel")) => Plate::Steel,
        (None, Some("brass")) => Plate::Brass,
        _ => Plate::Copper,
    }
}

pub(super) const RECKONERS: &[Reckoner] = &[
    Reckoner {
        name: "shell-stress",
        title: "Stress in a shell",
        asks: "Is the wall thick enough for this pressure? (a sanity check)",
        forms: &[Form {
            is: "",
            inputs: &[
                PRESSURE,
                or(
                    "D_inside_mm",
                    "inside diameter",
                    "mm",
                    (5.0, 10_000.0),
                    100.0,
                ),
                or("wall_mm", "wall", "mm", (0.05, 1000.0), 2.5),
                or(
                    "joint_or_ligament_eff",
                    "the lesser of joint and ligament",
                    "",
                    (0.05, 1.0),
                    0.8,
                ),
                other(
                    "material",
                    "metal",
                    "",
                    Kind::OneOf(&["copper", "steel", "brass"]),
                    LeftOut::Word("copper"),
                ),
                may(
                    "T_C",
                    "metal; 15 K above boiling where left out",
                    "°C",
                    -20.0,
                    250.0,
                ),
                STRESS,
                BAROMETER,
            ],
            outputs: &[
                out("hoop_MPa", "hoop stress", "MPa"),
                out("allowable_MPa", "allowable stress", "MPa"),
                out("utilisation", "stress over allowable", ""),
                out("P_barlow_B31_bar", "pressure of the code's form", "bar"),
                out("metal_C", "metal", "°C"),
                out("flag", "note, caution or stop", ""),
                out(
                    "permanent_set_at_twice",
                    "may it set at twice the pressure?",
                    "",
                ),
                VERDICT,
            ],
            run: |g| {
                hoop(&Hoop {
                    pressure: g.gauge("p_gauge_bar")?,
                    bore_mm: g.n("D_inside_mm")?,
                    wall_mm: g.n("wall_mm")?,
                    efficiency: g.n("joint_or_ligament_eff")?,
                    plate: plate(g),
                    metal: g.maybe_celsius("T_C"),
                    barometer: g.barometer("barometer_hPa")?,
                })
            },
        }],
    },
    Reckoner {
        name: "ligament",
        title: "What a row of holes leaves",
        asks: "How much of the plate is left between the holes?",
        forms: &[Form {
            is: "",
            inputs: &[
                need("pitch_mm", "from hole to hole", "mm", 0.1, 10_000.0),
                need("hole_mm", "hole", "mm", 0.0, 10_000.0),
            ],
            outputs: &[out("eff", "part that is left", "")],
            run: |g| ligament(g.n("pitch_mm")?, g.n("hole_mm")?),
        }],
    },
    Reckoner {
        name: "flat-end",
        title: "A flat end without stays",
        asks: "What stress does this pressure make in a flat end?",
        forms: &[Form {
            is: "",
            inputs: &[
                PRESSURE,
                need(
                    "radius_mm",
                    "radius between the supports",
                    "mm",
                    1.0,
                    5000.0,
                ),
                need("thickness_mm", "thickness", "mm", 0.1, 5000.0),
                or("poisson", "Poisson's ratio", "", (0.0, 0.5), 0.34),
                STRESS,
            ],
            outputs: &[
                out("sigma_clamped_MPa", "stress, clamped", "MPa"),
                out(
                    "sigma_simply_supported_MPa",
                    "stress, simply supported",
                    "MPa",
                ),
                out(
                    "thickness_flat_head_mm",
                    "thickness of the flat-head form",
                    "mm",
                ),
                VERDICT,
            ],
            run: |g| {
                flat_end(&FlatEnd {
                    pressure: g.gauge("p_gauge_bar")?,
                    radius_mm: g.n("radius_mm")?,
                    thickness_mm: g.n("thickness_mm")?,
                    poisson: g.n("poisson")?,
                    allowed_mpa: g.maybe("S_MPa"),
                })
            },
        }],
    },
    Reckoner {
        name: "stay",
        title: "Stays and the plate between them",
        asks: "What does a stay carry, and what must the plate?",
        forms: &[Form {
            is: "",
            inputs: &[
                PRESSURE,
                need("pitch_mm", "from stay to stay", "mm", 1.0, 1000.0),
                need("stay_core_mm", "core of a stay", "mm", 0.5, 1000.0),
                need("plate_mm", "thickness of the plate", "mm", 0.1, 100.0),
                or("C", "constant of the form", "", (1.5, 4.0), 2.1),
                STRESS,
            ],
            outputs: &[
                out("load_N", "load of a stay", "N"),
                out("stay_stress_MPa", "stress of a stay", "MPa"),
                out(
                    "plate_S_needed_MPa",
                    "stress that the plate must carry",
                    "MPa",
                ),
                VERDICT,
            ],
            run: |g| {
                stay(&Stay {
                    pressure: g.gauge("p_gauge_bar")?,
                    pitch_mm: g.n("pitch_mm")?,
                    core_mm: g.n("stay_core_mm")?,
                    plate_mm: g.n("plate_mm")?,
                    constant: g.n("C")?,
                    allowed_mpa: g.maybe("S_MPa"),
                })
            },
        }],
    },
    Reckoner {
        name: "bar-litres",
        title: "Bar litres",
        asks: "Pressure times volume, and the class it makes",
        forms: &[Form {
            is: "",
            inputs: &[
                need("p_working_bar", "working pressure", "bar", 0.001, 40.0),
                need("V_litre", "whole inside", "l", 0.001, 10_000.0),
            ],
            outputs: &[
                out("bar_litre", "pressure times volume", "bar l"),
                out("uk_class", "class of the test code", ""),
            ],
            run: |g| bar_litres(g.n("p_working_bar")?, g.n("V_litre")?),
        }],
    },
];
