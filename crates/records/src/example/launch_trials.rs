//! The launch plant's trials, entry by entry.

use super::tell::Told;

const GAUGES: &str = r#""instruments":{"pressure":{"id":"G2","full_scale_bar":6,"accuracy_class":1.0,"resolution_bar":0.05,"calibrated_on":"2026-03-02","calibration_due":"2030-03-02"},"level":{"resolution_mm":1},"co":{"resolution_ppm":1,"accuracy_pct":5,"calibrated_on":"2026-03-02","calibration_due":"2030-03-02"}}"#;
const HOLDS: &str = r#""place":"outdoors","hold_points":["hydraulic-in-date","safety-valve-tried","water-in-glass-seen","co-alarm-on","gas-joints-soaped"]"#;

/// Twice working pressure, cold, held ten minutes.
pub(super) fn hydraulic() -> Told {
    Told {
        kind: "hydraulic",
        question: "Is the shell sound at 8.0 bar for 10 minutes?",
        head: r#""place":"indoors","instruments":{"pressure":{"id":"G9","full_scale_bar":16,"accuracy_class":0.6,"resolution_bar":0.05,"calibrated_on":"2026-03-02","calibration_due":"2030-03-02"},"temperature":{"id":"T3","resolution_c":0.01,"accuracy_c":0.05,"repeatability_c":0.01,"calibrated_on":"2026-03-02","calibration_due":"2030-03-02"}},"limits":{"test":"first"},"hold_points":["valve-and-glass-off","own-stood-full","vented"],"procedure":{"name":"hydraulic","version":1}"#.to_owned(),
        log: &[
            (0, r#""check":"valve-and-glass-off","done":true,"value":"off, both blanked""#),
            (30, r#""check":"own-stood-full","done":true,"value":"stood overnight in the workshop""#),
            (60, r#""check":"vented","done":true,"value":"no bubble at the top plug""#),
            (180, r#""reading":{"pressure_bar":0.00,"pumped_ml":0,"water_c":16.12}"#),
            (300, r#""reading":{"pressure_bar":2.05,"pumped_ml":0.9,"water_c":16.12}"#),
            (420, r#""reading":{"pressure_bar":4.10,"pumped_ml":1.6,"water_c":16.13}"#),
            (540, r#""reading":{"pressure_bar":6.10,"pumped_ml":2.2,"water_c":16.13}"#),
            (660, r#""reading":{"pressure_bar":8.20,"pumped_ml":2.9,"water_c":16.14}"#),
            (690, r#""event":"hold-started""#),
            (700, r#""reading":{"pressure_bar":8.20,"water_c":16.14}"#),
            (1000, r#""reading":{"pressure_bar":8.20,"water_c":16.14}"#),
            (1300, r#""reading":{"pressure_bar":8.20,"water_c":16.15}"#),
            (1310, r#""event":"hold-ended""#),
            (1400, r#""event":"pressure-released""#),
            (1500, r#""event":"set-measured","growth_pct":0.02"#),
        ],
        answer: ("yes", "no drop to be seen, no weep at any seam"),
    }
}

/// As it came: the engine pulls the pressure down.
pub(super) fn as_it_came() -> Told {
    Told {
        kind: "steam",
        question: "Does it hold 3 bar with the engine running, as it came?",
        head: format!("{HOLDS},{GAUGES}"),
        log: &[
            (
                0,
                r#""check":"hydraulic-in-date","done":true,"value":"8.0 bar, this month""#,
            ),
            (
                10,
                r#""check":"safety-valve-tried","done":true,"value":"lifted freely by hand""#,
            ),
            (
                20,
                r#""check":"water-in-glass-seen","done":true,"value":"38 mm, blown through""#,
            ),
            (30, r#""check":"co-alarm-on","done":true,"value":"reads 0""#),
            (
                40,
                r#""check":"gas-joints-soaped","done":true,"value":"no bubble""#,
            ),
            (
                60,
                r#""reading":{"level_mm":38,"pressure_bar":0.00,"co_ppm":0}"#,
            ),
            (120, r#""event":"fire-lit""#),
            (360, r#""reading":{"level_mm":38.5,"pressure_bar":0.10}"#),
            (
                600,
                r#""reading":{"level_mm":39,"pressure_bar":0.65,"co_ppm":2}"#,
            ),
            (840, r#""reading":{"level_mm":39,"pressure_bar":1.60}"#),
            (
                1080,
                r#""reading":{"level_mm":39.5,"pressure_bar":2.75,"co_ppm":3}"#,
            ),
            (1300, r#""reading":{"level_mm":39.5,"pressure_bar":3.80}"#),
            (1350, r#""event":"safety-valve-lifted""#),
            (1360, r#""reading":{"level_mm":39,"pressure_bar":4.05}"#),
            (1410, r#""event":"safety-valve-reseated""#),
            (1420, r#""reading":{"level_mm":38.5,"pressure_bar":3.70}"#),
            (1490, r#""event":"bypass-open""#),
            (1500, r#""event":"engine-running""#),
            (1560, r#""reading":{"level_mm":37,"pressure_bar":3.40}"#),
            (1680, r#""reading":{"level_mm":34.5,"pressure_bar":3.05}"#),
            (1700, r#""event":"bypass-shut""#),
            (
                1800,
                r#""reading":{"level_mm":37,"pressure_bar":2.75,"co_ppm":3}"#,
            ),
            (1920, r#""reading":{"level_mm":39.5,"pressure_bar":2.60}"#),
            (1930, r#""event":"bypass-open""#),
            (2040, r#""reading":{"level_mm":37.5,"pressure_bar":2.55}"#),
            (2160, r#""reading":{"level_mm":35,"pressure_bar":2.50}"#),
            (2280, r#""reading":{"level_mm":32.5,"pressure_bar":2.50}"#),
            (2300, r#""event":"engine-stopped""#),
            (2310, r#""event":"fire-out""#),
            (2320, r#""event":"gas-off""#),
            (2400, r#""reading":{"level_mm":32,"pressure_bar":2.35}"#),
            (2640, r#""reading":{"level_mm":31.5,"pressure_bar":1.55}"#),
            (2880, r#""reading":{"level_mm":31,"pressure_bar":0.85}"#),
            (3100, r#""reading":{"level_mm":31,"pressure_bar":0.25}"#),
            (3200, r#""event":"pressure-released""#),
        ],
        answer: ("no", "it fell to 2.50 bar with the engine on"),
    }
}

/// After the reset and the lagging: it holds, but the check valve passes back and the water falls with the feed on.
pub(super) fn after_the_reset() -> Told {
    Told {
        kind: "steam",
        question: "Does it hold 3 bar with the engine running, valve gear reset and boiler lagged?",
        head: format!(r#""change":"valve gear reset, boiler lagged",{HOLDS},{GAUGES}"#),
        log: &[
            (
                0,
                r#""check":"hydraulic-in-date","done":true,"value":"8.0 bar, this month""#,
            ),
            (
                10,
                r#""check":"safety-valve-tried","done":true,"value":"lifted freely by hand""#,
            ),
            (
                20,
                r#""check":"water-in-glass-seen","done":true,"value":"40 mm, blown through""#,
            ),
            (30, r#""check":"co-alarm-on","done":true,"value":"reads 0""#),
            (
                40,
                r#""check":"gas-joints-soaped","done":true,"value":"no bubble""#,
            ),
            (
                60,
                r#""reading":{"level_mm":40,"pressure_bar":0.00,"co_ppm":0}"#,
            ),
            (120, r#""event":"fire-lit""#),
            (360, r#""reading":{"level_mm":40.5,"pressure_bar":0.20}"#),
            (
                600,
                r#""reading":{"level_mm":41,"pressure_bar":1.00,"co_ppm":2}"#,
            ),
            (840, r#""reading":{"level_mm":41,"pressure_bar":2.20}"#),
            (
                1080,
                r#""reading":{"level_mm":41.5,"pressure_bar":3.45,"co_ppm":3}"#,
            ),
            (1200, r#""event":"safety-valve-lifted""#),
            (1210, r#""reading":{"level_mm":41,"pressure_bar":4.05}"#),
            (1260, r#""event":"safety-valve-reseated""#),
            (1270, r#""reading":{"level_mm":40.5,"pressure_bar":3.75}"#),
            (1370, r#""event":"bypass-open""#),
            (1380, r#""event":"engine-running""#),
            (1440, r#""reading":{"level_mm":39,"pressure_bar":3.45}"#),
            (
                1560,
                r#""reading":{"level_mm":36.5,"pressure_bar":3.30,"co_ppm":4}"#,
            ),
            (1620, r#""event":"bypass-shut""#),
            (1680, r#""reading":{"level_mm":34,"pressure_bar":3.25}"#),
            (1800, r#""reading":{"level_mm":31.5,"pressure_bar":3.20}"#),
            (
                1920,
                r#""reading":{"level_mm":29,"pressure_bar":3.20,"tank_c":41}"#,
            ),
            (2040, r#""reading":{"level_mm":26.5,"pressure_bar":3.15}"#),
            (2130, r#""reading":{"level_mm":24,"pressure_bar":3.15}"#),
            (
                2150,
                r#""event":"note","note":"feed pipe too hot to hold at the pump""#,
            ),
            (2170, r#""event":"fire-out""#),
            (2175, r#""event":"engine-stopped""#),
            (2180, r#""event":"bypass-open""#),
            (2190, r#""event":"gas-off""#),
            (2280, r#""reading":{"level_mm":23.5,"pressure_bar":2.70}"#),
            (2520, r#""reading":{"level_mm":23,"pressure_bar":1.70}"#),
            (2760, r#""reading":{"level_mm":23,"pressure_bar":0.90}"#),
            (3000, r#""reading":{"level_mm":22.5,"pressure_bar":0.30}"#),
            (3100, r#""event":"pressure-released""#),
        ],
        answer: ("yes", "3.15 bar at the least; but the feed does not gain"),
    }
}
