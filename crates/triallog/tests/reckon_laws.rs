//! Laws of the reckoners: what must hold for any figures, and that no input brings one down.
#![allow(clippy::unwrap_used, reason = "a law that cannot be read must fail")]

use proptest::prelude::*;
use serde_json::{Map, Value, json};
use triallog::reckon::{self, Form, Input, Kind, LeftOut};

fn answer(name: &str, inputs: &Value) -> Value {
    let text = match reckon::run(name, &inputs.to_string()) {
        Ok(reckoned) => reckoned.json(),
        Err(refused) => refused.json(),
    };
    serde_json::from_str(&text).unwrap_or_else(|e| panic!("{name}: {e} in {text}"))
}

fn number(name: &str, inputs: &Value, key: &str) -> f64 {
    let found = answer(name, inputs);
    found[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{name} {inputs}: no {key} in {found}"))
}

fn forms() -> Vec<(&'static str, &'static Form)> {
    reckon::all()
        .flat_map(|r| r.forms.iter().map(|f| (r.name, f)))
        .collect()
}

/// Something that fits the field.
fn fitting(input: &Input, at: f64) -> Value {
    let between = |least: f64, most: f64| {
        // Near the small end more often, where plants are.
        let span = (most - least).min(1000.0);
        json!(least + span * at * at)
    };
    match input.kind {
        Kind::Number(least, most) => between(least, most),
        Kind::Whole(least, most) => json!((least + (most - least) * at).floor()),
        Kind::Truth => json!(at > 0.5),
        Kind::OneOf(words) => {
            let n = words
                .iter()
                .zip(0_u32..)
                .filter(|(_, i)| f64::from(*i) / 10.0 <= at);
            json!(n.last().unwrap().0)
        }
        Kind::Numbers(least, most) => {
            let first = between(least, most).as_f64().unwrap();
            json!([first, (first + 1.0).min(most), (first + 2.0).min(most)])
        }
        Kind::Readings(..) => json!([100.0 * at + 3.0, 100.0 * at + 2.0, 100.0 * at]),
        Kind::Intervals => json!([[-1.0, -0.1], null, [-0.2, 0.3 * at]]),
        Kind::Table => json!([[0, 100], [10, 200], [20, 300.0 + at]]),
        Kind::Tubes => json!([{"od_mm": 20.0 * at + 0.1, "y_mm": 30}]),
        Kind::CoLimits => json!({"twa8_ppm": 20.0 * at}),
    }
}

/// Something that a field may be given and should mostly refuse.
fn spoilt(n: u8) -> Value {
    let hostile = [
        "null",
        "true",
        "\"x\"",
        "-1",
        "1e308",
        "-1e308",
        "1e-308",
        "[]",
        "{}",
        "0",
        "[1]",
        "[[1,2],[3]]",
        "[null]",
        "{\"od_mm\":1}",
        "12345678901234567890",
        "[\"below\",\"above\",null,1]",
        "\"steam\"",
        "0.5",
        "[1,1]",
        "[1e300,-1e300]",
    ];
    serde_json::from_str(hostile[usize::from(n) % hostile.len()]).unwrap()
}

/// Every answer is whole JSON with a verdict word that is known, and only figures that were announced.
fn well_formed(name: &str, form: &Form, found: &Value) {
    if let Some(verdict) = found["verdict"].as_str() {
        let words = [
            "pass",
            "fail",
            "not_proven",
            "ok",
            "note",
            "caution",
            "stop",
        ];
        assert!(words.contains(&verdict), "{name}: {verdict}");
    }
    if found["error"].is_string() {
        assert!(
            found["says"].as_str().is_some_and(|s| !s.is_empty()),
            "{name}: {found}"
        );
        assert_ne!(found["verdict"], "pass", "{name}: {found}");
        return;
    }
    let own = [
        "plus_minus",
        "limit",
        "working",
        "assumed",
        "says",
        "cautions",
        "source",
    ];
    for key in found.as_object().unwrap().keys() {
        let announced = form.outputs.iter().any(|o| o.name == key);
        assert!(
            announced || own.contains(&key.as_str()),
            "{name}: {key} is not among its outputs"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn figures_in_range_are_answered_or_refused_in_words(ats in prop::collection::vec(0.0..1.0_f64, 40), leave in any::<u32>()) {
        for (name, form) in forms() {
            let mut inputs = Map::new();
            for (n, input) in form.inputs.iter().enumerate() {
                let left_out = input.left_out != LeftOut::Needed && leave >> (n % 32) & 1 == 1;
                if !left_out {
                    inputs.insert(input.name.to_owned(), fitting(input, ats[n % ats.len()]));
                }
            }
            let found = answer(name, &Value::Object(inputs));
            well_formed(name, form, &found);
        }
    }

    #[test]
    fn no_input_brings_a_reckoner_down(ats in prop::collection::vec(0.0..1.0_f64, 20), spoil in prop::collection::vec(any::<u8>(), 20)) {
        for (name, form) in forms() {
            let mut inputs = Map::new();
            for (n, input) in form.inputs.iter().enumerate() {
                let k = spoil[n % spoil.len()];
                let value = if k % 3 == 0 { spoilt(k / 3) } else { fitting(input, ats[n % ats.len()]) };
                inputs.insert(input.name.to_owned(), value);
            }
            let found = answer(name, &Value::Object(inputs));
            well_formed(name, form, &found);
        }
    }

    #[test]
    fn no_text_brings_a_reckoner_down(text in "\\PC{0,60}") {
        for (name, _) in forms() {
            let _ = reckon::run(name, &text).map(|r| r.json()).map_err(|r| r.json());
        }
        let _ = reckon::run(&text, "{}");
    }

    #[test]
    fn a_coarser_gauge_never_proves_more(max in 3.0..5.0_f64, class in 0.1..4.0_f64, wider in 1.0..5.0_f64) {
        let at = |class: f64| json!({"p_working_bar": 4, "p_max_bar": max, "gauge_class": class,
            "gauge_span_bar": 6, "gauge_resolution_bar": 0.05});
        let (fine, coarse) = (answer("accumulation", &at(class)), answer("accumulation", &at(class * wider)));
        if coarse["verdict"] == "pass" || coarse["verdict"] == "fail" {
            prop_assert_eq!(&coarse["verdict"], &fine["verdict"]);
        }
        let at = |class: f64| json!({"p_working_bar": 2, "p_indicated_bar": max, "gauge_class": class,
            "gauge_span_bar": 6, "gauge_resolution_bar": 0.05});
        let (fine, coarse) = (answer("proof-pressure", &at(class)), answer("proof-pressure", &at(class * wider)));
        if coarse["reached"] == "yes" || coarse["reached"] == "no" {
            prop_assert_eq!(&coarse["reached"], &fine["reached"]);
        }
    }

    #[test]
    fn a_coarser_thermometer_never_proves_a_hold(end in 7.0..8.0_f64, u in 0.001..0.1_f64, wider in 1.0..20.0_f64) {
        let at = |u: f64| json!({"p_start_gauge_bar": 8, "p_end_gauge_bar": end, "T_start_C": 20, "T_end_C": 19.9,
            "hold_s": 600, "V_ml": 2000, "gauge_resolution_bar": 0.02, "u_T_each_K": u});
        let (fine, coarse) = (answer("pressure-hold", &at(u)), answer("pressure-hold", &at(u * wider)));
        if coarse["verdict"] == "pass" || coarse["verdict"] == "fail" {
            prop_assert_eq!(&coarse["verdict"], &fine["verdict"]);
        }
    }

    #[test]
    fn thicker_is_never_weaker(p in 0.5..10.0_f64, bore in 30.0..300.0_f64, wall in 0.5..2.9_f64, more in 1.0..1.03_f64) {
        let at = |wall: f64| json!({"p_gauge_bar": p, "D_inside_mm": bore, "wall_mm": wall, "T_C": 150});
        prop_assert!(number("shell-stress", &at(wall * more), "utilisation") <= number("shell-stress", &at(wall), "utilisation"));
        let end = |t: f64| json!({"p_gauge_bar": p, "radius_mm": bore / 2.0, "thickness_mm": t});
        prop_assert!(number("flat-end", &end(wall * more), "sigma_clamped_MPa") <= number("flat-end", &end(wall), "sigma_clamped_MPa"));
    }

    #[test]
    fn hotter_water_boils_higher_and_weighs_less(p in 0.0..15.0_f64, more in 0.01..2.0_f64) {
        let at = |p: f64| json!({"p_gauge_bar": p});
        prop_assert!(number("saturation", &at(p + more), "T_sat_C") > number("saturation", &at(p), "T_sat_C"));
        prop_assert!(number("saturation", &at(p + more), "rho_f_kg_m3") < number("saturation", &at(p), "rho_f_kg_m3"));
    }

    #[test]
    fn a_wider_jet_passes_more_and_so_does_more_pressure(d in 0.1..1.0_f64, p in 0.0..5.0_f64, more in 1.001..2.0_f64) {
        let at = |d: f64, p: f64| json!({"gas": "propane", "jet_mm": d, "p_gauge_bar": p});
        let flow = |d, p| number("gas-jet", &at(d, p), "mass_g_per_min");
        prop_assert!(flow(d * more, p) >= flow(d, p));
        prop_assert!(flow(d, p + more) > flow(d, p));
    }

    #[test]
    fn the_flow_does_not_jump_where_it_chokes(d in 0.1..1.0_f64) {
        // Just under and just over the critical ratio of n-butane.
        let critical = (2.0_f64 / 2.095).powf(1.095 / 0.095);
        let p = 1.01325 / critical - 1.01325;
        let flow = |p: f64| number("gas-jet", &json!({"jet_mm": d, "p_gauge_bar": p}), "mass_g_per_min");
        prop_assert!((flow(p + 1e-6) / flow(p - 1e-6) - 1.0).abs() < 1e-4);
    }

    #[test]
    fn a_valve_of_the_area_asked_for_carries_what_was_asked(made in 0.1..20.0_f64, set in 0.1..12.0_f64) {
        let area = number("valve-area", &json!({"max_evaporation_kg_h": made, "set_gauge_bar": set}), "area_required_mm2");
        let carried = number("valve-capacity", &json!({"area_mm2": area, "set_gauge_bar": set}), "Qm_iso_kg_h");
        prop_assert!((carried / made - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_glass_goes_there_and_back(p in 0.1..10.0_f64, level in 1.0..100.0_f64, glass in 10.0..90.0_f64) {
        let shown = number("glass-reading", &json!({"p_gauge_bar": p, "T_glass_C": glass, "height_above_lower_nut_true_mm": level}), "height_shown_mm");
        prop_assert!(shown < level);
        let back = number("glass-reading", &json!({"p_gauge_bar": p, "T_glass_C": glass, "height_above_lower_nut_shown_mm": shown}), "height_true_mm");
        prop_assert!((back - level).abs() < 1e-9);
    }

    #[test]
    fn more_air_is_never_stiffer(air in 0.0..50.0_f64, more in 0.1..50.0_f64, c in 8.0..30.0_f64) {
        let at = |air: f64| json!({"air_ml": air, "V_ml": 2000, "p_gauge_bar": 8, "T_C": c});
        prop_assert!(number("shell-drift", &at(air + more), "kappa_air_per_Pa") > number("shell-drift", &at(air), "kappa_air_per_Pa"));
        let drop = |air: f64| number("lost-drop", &json!({"V_ml": 2000, "air_at_atm_ml": air, "p_gauge_bar": 8}), "pressure_fall_bar");
        prop_assert!(drop(air + more) < drop(air));
    }

    #[test]
    fn a_steeper_fall_never_leaves_more_time(fall in 0.05..1.4_f64, more in 1.1..3.0_f64) {
        let left = |fall: f64| {
            let y: Vec<f64> = (0..8).map(|i| 2000.0 - fall * 60.0 * f64::from(i)).collect();
            number("runway", &json!({"t_s": [0, 60, 120, 180, 240, 300, 360, 420], "y_ml": y,
                "low_mark_ml": 100, "resolution_ml": 1}), "time_to_low_conservative_s")
        };
        prop_assert!(left(fall * more) <= left(fall));
    }

    #[test]
    fn the_conservative_time_is_never_the_longer(ys in prop::collection::vec(-20.0..20.0_f64, 6..30), fall in 0.2..2.0_f64) {
        let t: Vec<f64> = (0..30).map(|i| f64::from(i) * 30.0).take(ys.len()).collect();
        let y: Vec<f64> = t.iter().zip(&ys).map(|(t, y)| 3000.0 - fall * t + y).collect();
        let found = answer("runway", &json!({"t_s": t, "y_ml": y, "low_mark_ml": 500, "resolution_ml": 2}));
        if let Some(conservative) = found["time_to_low_conservative_s"].as_f64() {
            prop_assert!(conservative <= found["time_to_low_best_s"].as_f64().unwrap());
        }
    }

    #[test]
    fn more_monoxide_is_never_safer(ppm in prop::collection::vec(0.0..250.0_f64, 5), more in 1.0..3.0_f64) {
        let rank = |ppm: &[f64]| {
            let found = answer("co-exposure", &json!({"t_min": [0, 5, 10, 15, 20], "co_ppm": ppm}));
            ["ok", "caution", "stop"].iter().position(|w| found["verdict"] == *w).unwrap()
        };
        let worse: Vec<f64> = ppm.iter().map(|c| c * more).collect();
        prop_assert!(rank(&worse) >= rank(&ppm));
    }
}
