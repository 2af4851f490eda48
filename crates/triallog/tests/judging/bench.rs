//! Feed pump, burner and engine: verdicts; and the figures that a steam trial gives beside its flags.

use crate::{because, figure, flags, judged_file};
use calc::trial::Severity::{Caution, Stop};
use calc::trial::{Assessment, Outcome};

const PASSED: &str = r#""hydraulic_pass": {"on": "2026-01-10", "pressure_bar": 8,
  "valid_until": "2030-01-10", "since_structural_work": true}"#;
const GAUGE: &str = r#""pressure": {"full_scale_bar": 6, "accuracy_class": 1, "resolution_bar": 0.05,
  "calibration_due": "2099-01-01"}, "level": {"resolution_mm": 1}"#;

fn trial(kind: &str, plant: &str, instruments: &str, entries: &[String]) -> Assessment {
    judged_file(&format!(
        r#"{{"format": "gaugeglass-trial/1", "kind": "{kind}", "started_at": "2026-11-24T10:00:00+00:00",
            "plant": {{{plant}}}, "instruments": {{{instruments}}}, "entries": [{}]}}"#,
        entries.join(",\n")
    ))
}

const PUMP: &str = r#""working_pressure_bar": 4, "past_evaporation_kg_h": {"value": 1.2, "plus_minus": 0.2},
  "feed_pump": {"drive": "hand", "bore_mm": 6, "stroke_mm": 15, "acting": "single"},
  "hydraulic_pass": {"on": "2026-01-10", "valid_until": "2030-01-10", "since_structural_work": true}"#;

fn catch(bar: f64, ml: f64, strokes: u32) -> Vec<String> {
    vec![
        format!(
            r#"{{"t_s": 60, "reading": {{"pressure_bar": {bar}, "feed_strokes": {strokes}, "catch_ml": {ml}, "catch_s": 60, "level_mm": 20}}}}"#
        ),
        r#"{"t_s": 90, "event": "fire-out"}"#.to_owned(),
        r#"{"t_s": 100, "event": "pressure-released"}"#.to_owned(),
    ]
}

#[test]
fn a_pump_that_delivers_against_pressure_and_keeps_up_passes() {
    let judged = trial("feed-pump", PUMP, GAUGE, &catch(4.0, 36.0, 100));
    assert!(!because(&judged).contains("Open discharge"));
    assert!((figure(&judged, "pump-delivery").unwrap().0 - 36.0).abs() < 1e-9);
    assert!((figure(&judged, "pump-slip").unwrap().0 - 15.117).abs() < 0.01);
    // A pump on a boiler in steam is a boiler in steam: what is hot is judged too.
    assert_eq!(flags(&judged, "not-cleared-for-pressure"), []);
    let cold = PUMP.replace("\"working_pressure_bar\": 4, ", "");
    let judged = trial("feed-pump", &cold, GAUGE, &catch(0.2, 36.0, 100));
    assert!(
        because(&judged).contains("Open discharge"),
        "{}",
        because(&judged)
    );
    let judged = trial("feed-pump", PUMP, GAUGE, &catch(4.0, 36.0, 100));
    assert_eq!(
        judged.verdict.outcome,
        Outcome::Pass,
        "{}",
        because(&judged)
    );
}

#[test]
fn a_pump_that_slips_or_cannot_keep_up_fails() {
    let slips = trial("feed-pump", PUMP, GAUGE, &catch(4.0, 17.0, 100));
    assert_eq!(slips.verdict.outcome, Outcome::Fail, "{}", because(&slips));
    assert!(because(&slips).contains("valves, packing or air"));
    let thirsty = PUMP.replace("\"value\": 1.2", "\"value\": 4.0");
    let behind = trial("feed-pump", &thirsty, GAUGE, &catch(4.0, 36.0, 100));
    assert!(
        because(&behind).contains("cannot keep up"),
        "{}",
        because(&behind)
    );
    assert_eq!(behind.verdict.outcome, Outcome::Fail);
}

#[test]
fn an_open_pipe_no_catch_or_a_miscount_proves_nothing_of_a_pump() {
    for (log, says) in [
        (catch(0.1, 36.0, 100), "Open discharge"),
        (
            catch(4.0, 50.0, 100),
            "More was caught than the pump can sweep",
        ),
        (catch(4.0, 4.0, 12), "Too little to judge by"),
        (
            vec![r#"{"t_s": 0, "event": "pump-stalled"}"#.to_owned()],
            "No catch",
        ),
    ] {
        let judged = trial("feed-pump", PUMP, GAUGE, &log);
        assert_eq!(
            judged.verdict.outcome,
            Outcome::NotProven,
            "{}",
            because(&judged)
        );
        assert!(
            because(&judged).contains(says),
            "{says}: {}",
            because(&judged)
        );
    }
}

#[test]
fn a_steam_pump_is_asked_what_it_gains_on_itself() {
    // Steam end 15 mm over a water end of 10 mm, 20 mm stroke: 100 strokes sweep 157 ml.
    let steam = PUMP.replace(
        r#""drive": "hand", "bore_mm": 6, "stroke_mm": 15"#,
        r#""drive": "steam", "bore_mm": 10, "stroke_mm": 20, "steam_bore_mm": 15"#,
    );
    let judged = trial("feed-pump", &steam, GAUGE, &catch(4.0, 133.5, 100));
    let (gain, about) = figure(&judged, "net-gain").unwrap();
    assert!(
        (gain - 42.7).abs() < 0.2 && about.unwrap() > 20.0,
        "{gain} {about:?}"
    );
    assert!(
        because(&judged).contains("1.59 times"),
        "{}",
        because(&judged)
    );
    assert_eq!(
        judged.verdict.outcome,
        Outcome::Pass,
        "{}",
        because(&judged)
    );
    let small = steam.replace(r#""steam_bore_mm": 15"#, r#""steam_bore_mm": 12"#);
    let judged = trial("feed-pump", &small, GAUGE, &catch(4.0, 133.5, 100));
    assert_eq!(
        judged.verdict.outcome,
        Outcome::NotProven,
        "{}",
        because(&judged)
    );
}

/// A burner lit for 20 min with samples of the air each 4 min and of the flue at the end.
fn burnt(ppm: f64, flue: (f64, f64), more: &[&str]) -> Vec<String> {
    let mut log = vec![r#"{"t_s": 0, "event": "fire-lit"}"#.to_owned()];
    for t in [0, 240, 480, 720, 960, 1200] {
        log.push(format!(
            r#"{{"t_s": {t}, "reading": {{"co_ppm": {ppm}, "gas_g": {}, "level_mm": 20}}}}"#,
            60.0 - f64::from(t) / 60.0
        ));
    }
    log.push(format!(
        r#"{{"t_s": 1210, "reading": {{"co_ppm": {}, "co2_pct": {}}}}}"#,
        flue.0, flue.1
    ));
    log.extend(more.iter().map(|e| (*e).to_owned()));
    log.push(r#"{"t_s": 1230, "event": "fire-out"}"#.to_owned());
    log.push(r#"{"t_s": 1240, "event": "pressure-released"}"#.to_owned());
    log
}

const BURNER: &str = r#""working_pressure_bar": 4, "burner": {"fuel": "butane", "jet_mm": 0.2, "supply_bar": 1.0},
  "hydraulic_pass": {"on": "2026-01-10", "valid_until": "2030-01-10", "since_structural_work": true},
  "glass": {"bottom_mm": 60, "visible_mm": 40, "low_mark_mm": 8, "high_mark_mm": 32},
  "water_space": {"horizontal": {"bore_mm": 100, "length_mm": 200}}"#;
const METER: &str = r#""co": {"resolution_ppm": 1, "calibration_due": "2099-01-01"},
  "scale": {"resolution_g": 1, "calibration_due": "2099-01-01"}, "level": {"resolution_mm": 1}"#;

#[test]
fn a_burner_that_burns_clean_and_steadily_passes() {
    let judged = trial("burner", BURNER, METER, &burnt(5.0, (20.0, 9.0), &[]));
    assert_eq!(
        judged.verdict.outcome,
        Outcome::Pass,
        "{}",
        because(&judged)
    );
    let because = because(&judged);
    assert!(
        because.contains("it used 1.00 g a minute, 0.76 kW"),
        "{because}"
    );
    assert!(because.contains("should pass 0.93 g a minute"), "{because}");
    assert!((figure(&judged, "co-peak").unwrap().0 - 20.0).abs() < 1e-9);
}

#[test]
fn bad_air_fails_a_burner_and_an_unsteady_or_unmeasured_one_is_not_proven() {
    let foul = trial("burner", BURNER, METER, &burnt(120.0, (120.0, 9.0), &[]));
    assert_eq!(foul.verdict.outcome, Outcome::Fail, "{}", because(&foul));
    let sooty = trial("burner", BURNER, METER, &burnt(5.0, (25.0, 0.25), &[]));
    assert!(
        because(&sooty).contains("strong enough"),
        "{}",
        because(&sooty)
    );
    let flickers = r#"{"t_s": 700, "event": "flame-unsteady"}"#;
    let judged = trial(
        "burner",
        BURNER,
        METER,
        &burnt(5.0, (20.0, 9.0), &[flickers]),
    );
    assert_eq!(judged.verdict.outcome, Outcome::NotProven);
    let unmeasured: Vec<String> = burnt(5.0, (20.0, 9.0), &[])
        .into_iter()
        .filter(|e| !e.contains("co_ppm"))
        .collect();
    let judged = trial("burner", BURNER, METER, &unmeasured);
    assert!(
        because(&judged).contains("was not measured"),
        "{}",
        because(&judged)
    );
}

/// An engine on air, run for 12 minutes at these turns.
fn ran(rpm: f64, more: &[&str]) -> Vec<String> {
    let mut log = vec![r#"{"t_s": 0, "event": "engine-running"}"#.to_owned()];
    for t in [60, 240, 480, 715] {
        log.push(format!(
            r#"{{"t_s": {t}, "reading": {{"rpm": {rpm}, "pressure_bar": 1.5, "bearing_c": 38}}}}"#
        ));
    }
    log.extend(more.iter().map(|e| (*e).to_owned()));
    log.push(r#"{"t_s": 720, "event": "engine-stopped"}"#.to_owned());
    log
}

const ENGINE: &str =
    r#""engine": {"cylinders": [{"bore_mm": 20, "stroke_mm": 20, "acting": "double"}]}"#;
const DRY: &str = r#"{"t_s": 600, "event": "note", "note": "glands dry"}"#;

fn engine(entries: &[String]) -> Assessment {
    judged_file(&format!(
        r#"{{"format": "gaugeglass-trial/1", "kind": "engine-run", "supply": "air-direct",
            "started_at": "2026-11-24T10:00:00+00:00", "plant": {{{ENGINE}}}, "instruments": {{{GAUGE},
            "temperature": {{"calibration_due": "2099-01-01"}}}}, "entries": [{}]}}"#,
        entries.join(",\n")
    ))
}

#[test]
fn an_engine_that_ran_ten_minutes_and_was_looked_after_passes() {
    let judged = engine(&ran(600.0, &[DRY]));
    assert_eq!(
        judged.verdict.outcome,
        Outcome::Pass,
        "{}",
        because(&judged)
    );
    assert!((figure(&judged, "piston-speed").unwrap().0 - 0.4).abs() < 1e-9);
    // 20 × 20 mm double-acting at 600 rpm is 12.6 W for each bar of mean pressure.
    let (watts, about) = figure(&judged, "power-estimate").unwrap();
    assert!((8.0..20.0).contains(&watts), "{watts}");
    assert!(
        (about.unwrap() - 0.4 * watts).abs() < 1e-9,
        "an assumed diagram is worth that"
    );
    assert!(because(&judged).contains("an estimate that is not judged"));
}

#[test]
fn an_engine_fails_on_speed_and_proves_nothing_when_nobody_looked() {
    let fast = engine(&ran(3100.0, &[DRY]));
    assert_eq!(flags(&fast, "over-speed")[0].0, Stop);
    assert_eq!(fast.verdict.outcome, Outcome::Fail, "{}", because(&fast));
    let nobody = engine(&ran(600.0, &[]));
    assert!(because(&nobody).contains("glands"), "{}", because(&nobody));
    assert_eq!(nobody.verdict.outcome, Outcome::NotProven);
    let short: Vec<String> = ran(600.0, &[DRY])
        .into_iter()
        .map(|e| e.replace("\"t_s\": 720", "\"t_s\": 716"))
        .filter(|e| !e.contains("engine-running"))
        .chain([r#"{"t_s": 300, "event": "engine-running"}"#.to_owned()])
        .collect();
    assert!(because(&engine(&short)).contains("without a break"));
    let leak = r#"{"t_s": 300, "event": "leak-seen", "where": "gland"}"#;
    let leaking = engine(&ran(600.0, &[leak]));
    assert_eq!(flags(&leaking, "leak-seen"), [(Caution, 300.0, None)]);
    assert_eq!(leaking.verdict.outcome, Outcome::NotProven);
}

#[test]
fn raising_steam_with_the_gas_on_a_scale_gives_its_efficiency() {
    let plant = format!(
        r#""working_pressure_bar": 4, "shell_material": "copper", "metal_kg": 3, "charge_ml": 1200,
        "burner": {{"fuel": "butane"}}, {PASSED},
        "glass": {{"bottom_mm": 60, "visible_mm": 40, "low_mark_mm": 8}},
        "water_space": {{"horizontal": {{"bore_mm": 100, "length_mm": 200}}}}"#
    );
    let log: Vec<String> = [
        r#"{"t_s": 0, "reading": {"level_mm": 20, "water_c": 20, "gas_g": 400}}"#,
        r#"{"t_s": 10, "event": "fire-lit"}"#,
        r#"{"t_s": 700, "reading": {"level_mm": 23, "pressure_bar": 4, "gas_g": 370}}"#,
    ]
    .map(str::to_owned)
    .to_vec();
    let judged = trial(
        "steam",
        &plant,
        &format!("{GAUGE}, {METER}").replacen("\"level\": {\"resolution_mm\": 1}, ", "", 1),
        &log,
    );
    let (water, metal) = (
        figure(&judged, "efficiency-water").unwrap(),
        figure(&judged, "efficiency-with-metal").unwrap(),
    );
    // 30 g of butane is 1372 kJ; the water in this shell is 1.28 kg at 20 mm.
    assert!(
        (40.0..70.0).contains(&water.0) && metal.0 - water.0 > 10.0,
        "{water:?} {metal:?}"
    );
    assert!((metal.0 - water.0 - 11.1).abs() < 0.2, "{metal:?}");
    let glass = figure(&judged, "glass-correction").unwrap();
    assert!((glass.0 - 1.7).abs() < 0.2, "{glass:?}");
}
