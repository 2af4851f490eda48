//! The cautions that go with a trial: on its pages and on its record.

/// What decides which cautions fit.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Circumstances {
    /// Is it a shell under water or air, and no fire?
    pub(super) shell: Option<Shell>,
    pub(super) gas: bool,
    pub(super) spirit: bool,
    pub(super) electric: bool,
    pub(super) indoors: bool,
    pub(super) engine: bool,
    pub(super) seams_unknown: bool,
}

/// With what a shell is tested.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shell {
    Water,
    Air,
}

/// The shell test that a kind of trial is, if it is one.
pub(super) fn shell(kind: &str) -> Option<Shell> {
    match kind {
        "hydraulic" => Some(Shell::Water),
        "air" => Some(Shell::Air),
        _ => None,
    }
}

const NO_CERTIFICATE: &str = "These numbers are a record, not a certificate. The law, your code, club boiler inspector, competent person and insurer decide.";
const STAND_CLEAR: &str = "Stand to one side of ends, plugs and hoses.";

fn of_a_shell(shell: Shell) -> Vec<&'static str> {
    match shell {
        Shell::Water => vec![
            "Pressure test with water.",
            "Fill, tilt, vent at the highest point.",
            STAND_CLEAR,
            "Valve, glass and gauge that came off for the water test go back before any fire.",
            "Drain it: ice splits tubes.",
            NO_CERTIFICATE,
        ],
        Shell::Air => vec![
            "Air test only after hydraulic pass and under the cap, shield on.",
            "Air stores thousands of times what water does at the same pressure.",
            STAND_CLEAR,
            NO_CERTIFICATE,
        ],
    }
}

/// The cautions that fit, the gravest first; the last one is always there.
pub(super) fn fitting(c: Circumstances) -> Vec<&'static str> {
    if let Some(shell) = c.shell {
        return of_a_shell(shell);
    }
    let all = [
        (
            true,
            "Water out of sight and firing: put out the fire. Do not feed. Do not open the stop valve. Let it cool; have it inspected.",
        ),
        (
            true,
            "Never gag, wire or set the safety valve above working pressure.",
        ),
        (
            !c.electric && c.indoors,
            "Working CO alarm to EN 50291 beside you. Headache: stop, get out.",
        ),
        (c.indoors, "Fresh air in and combustion gases out."),
        (
            c.gas,
            "Fill gas outside, away from flame, fires and hot engines; gas is heavier than air; stop at 80 %; let vapour clear.",
        ),
        (c.gas, "Soap every joint before lighting; never a flame."),
        (
            c.gas,
            "Flame lost: gas off, five minutes of air through the flue, then light.",
        ),
        (
            c.spirit,
            "Spirit flame is nearly invisible; never refill hot.",
        ),
        (true, STAND_CLEAR),
        (true, "Burns at over 60 °C metal."),
        (
            c.engine,
            "Guard crank and flywheel; drain cocks open at start, water cannot be compressed.",
        ),
        (
            c.seams_unknown,
            "A soft-soldered seam melts near 180 °C: a boiler at 9 bar, or at any pressure with low water. Know what holds the seams before any fire.",
        ),
        (true, NO_CERTIFICATE),
    ];
    all.into_iter()
        .filter(|(fits, _)| *fits)
        .map(|(_, words)| words)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn low_water_comes_first_and_who_decides_comes_last_whatever_is_burnt() {
        for gas in [true, false] {
            let all = fitting(Circumstances {
                gas,
                ..Circumstances::default()
            });
            assert!(all.first().is_some_and(|c| c.contains("Do not feed")));
            assert!(all.last().is_some_and(|c| c.contains("not a certificate")));
            assert_eq!(all.iter().any(|c| c.contains("Soap every joint")), gas);
        }
    }
}
