//! A small picture beside an answer, where one helps: reckoned by the same reckoner over a range.

use calc::answer::Value;
use papers::Svg;
use papers::curve::{Curve, curve};
use papers::section::{Section, section};
use triallog::reckon;

use crate::trials::tree::Tree;

/// One figure against one input: reckoner, input, from and to, output.
struct Against {
    name: &'static str,
    input: &'static str,
    across: &'static str,
    from: f64,
    to: f64,
    output: &'static str,
    up: &'static str,
}

const CURVES: [Against; 5] = [
    Against {
        name: "swell",
        input: "p_gauge_bar",
        across: "pressure, bar",
        from: 0.0,
        to: 10.0,
        output: "V_hot_closed_ml",
        up: "water when hot, ml",
    },
    Against {
        name: "gas-jet",
        input: "jet_mm",
        across: "jet bore, mm",
        from: 0.1,
        to: 0.4,
        output: "heat_input_W",
        up: "heat, W",
    },
    Against {
        name: "shell-drift",
        input: "T_C",
        across: "water, °C",
        from: 4.0,
        to: 30.0,
        output: "dp_dT_bar_per_K",
        up: "bar per kelvin",
    },
    Against {
        name: "saturation",
        input: "p_gauge_bar",
        across: "pressure, bar",
        from: 0.0,
        to: 10.0,
        output: "T_sat_C",
        up: "boils at, °C",
    },
    Against {
        name: "valve-capacity",
        input: "set_gauge_bar",
        across: "set, bar",
        from: 0.5,
        to: 10.0,
        output: "Qm_iso_kg_h",
        up: "steam it lets go, kg/h",
    },
];
/// Points of a curve.
const POINTS: u32 = 40;

/// The picture that goes with what was asked.
pub(super) fn picture(name: &str, asked: &str) -> Option<Svg> {
    match name {
        "shell-level" => shell(asked),
        "co-exposure" => monoxide(asked),
        _ => against(CURVES.iter().find(|c| c.name == name)?, asked),
    }
}

fn against(of: &Against, asked: &str) -> Option<Svg> {
    let mut tree = Tree::read(asked).ok()?;
    let here = tree.at(of.input)?.parse::<f64>().ok();
    let mut value = |x: f64| {
        tree.put(of.input, format!("{x:.6}"));
        output(of.name, &tree.text(), of.output)
    };
    let here = here.and_then(|x| Some((x, value(x)?)));
    let (from, to) = here.map_or((of.from, of.to), |h| (of.from.min(h.0), of.to.max(h.0)));
    let step = (to - from) / f64::from(POINTS);
    let points = (0..=POINTS)
        .map(|n| from + step * f64::from(n))
        .filter_map(|x| Some((x, value(x)?)))
        .collect();
    curve(&Curve {
        title: format!("{} against {}", of.up, of.across),
        across: of.across.to_owned(),
        up: of.up.to_owned(),
        points,
        here,
        limits: Vec::new(),
    })
}

fn output(name: &str, json: &str, output: &str) -> Option<f64> {
    let reckoned = reckon::run(name, json).ok()?;
    let figure = reckoned.answer.figures.iter().find(|f| f.name == output)?;
    match figure.value {
        Value::Number(n) if n.is_finite() => Some(n),
        _ => None,
    }
}

fn shell(asked: &str) -> Option<Svg> {
    let all: serde_json::Value = serde_json::from_str(asked).ok()?;
    let number = |key: &str| all.get(key)?.as_f64();
    let tubes = all
        .get("tubes")
        .and_then(|t| t.as_array())
        .cloned()
        .unwrap_or_default();
    let tube = |t: &serde_json::Value| Some((t.get("od_mm")?.as_f64()?, t.get("y_mm")?.as_f64()?));
    section(&Section {
        bore_mm: number("D_inside_mm")?,
        level_mm: number("level_mm_from_bottom")?,
        tubes: tubes.iter().filter_map(tube).collect(),
    })
}

/// The samples of the air over time, with the limits that were asked about.
fn monoxide(asked: &str) -> Option<Svg> {
    let all: serde_json::Value = serde_json::from_str(asked).ok()?;
    let list = |key: &str| -> Option<Vec<f64>> {
        all.get(key)?
            .as_array()?
            .iter()
            .map(serde_json::Value::as_f64)
            .collect()
    };
    let (times, ppm) = (list("t_min")?, list("co_ppm")?);
    let points: Vec<(f64, f64)> = times.into_iter().zip(ppm).collect();
    curve(&Curve {
        title: "Carbon monoxide over time".to_owned(),
        across: "minutes".to_owned(),
        up: "carbon monoxide, ppm".to_owned(),
        here: points.last().copied(),
        points,
        limits: vec![
            ("caution".to_owned(), 30.0),
            ("15 min".to_owned(), 100.0),
            ("ceiling".to_owned(), 200.0),
        ],
    })
}

#[cfg(test)]
mod tests {
    use super::picture;

    #[test]
    fn a_jet_has_its_curve_with_where_one_stands() {
        let asked = r#"{"gas": "n_butane", "jet_mm": 0.2, "p_gauge_bar": 1.0}"#;
        let svg = picture("gas-jet", asked).expect("a curve");
        assert!(svg.as_str().contains("jet bore, mm"), "{}", svg.as_str());
        assert!(svg.as_str().contains("Here"), "it says where one stands");
    }

    #[test]
    fn what_has_no_picture_has_none() {
        assert!(picture("bar-litres", r#"{"p_working_bar": 4, "V_litre": 1}"#).is_none());
        assert!(picture("gas-jet", "{}").is_none());
    }
}
