//! What a trial chart is drawn from: plain figures, in the order of time.

/// How grave a flag is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Severity {
    Stop,
    Caution,
    Note,
}

/// Which lane of the chart a flag belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Lane {
    Pressure,
    Water,
    CarbonMonoxide,
}

/// A flag at its time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlagAt {
    /// When it was raised, seconds since the trial began.
    pub t_s: f64,
    /// How grave.
    pub severity: Severity,
    /// Where it is drawn.
    pub lane: Lane,
}

/// The water that is left, ahead of the last look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunwayAhead {
    /// Time to the low mark at the least, s.
    pub least_s: f64,
    /// Most likely time to the low mark, s, where it is known.
    pub likely_s: Option<f64>,
}

/// A trial as a chart sees it. Times are seconds since the trial began; pens are oldest first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TrialPlot {
    /// What the chart is of, such as `26-014, steam trial 3`.
    pub title: String,
    /// Seconds after midnight at which the trial began, for a clock along the edge; `None` gives minutes.
    pub starts_at_s: Option<f64>,
    /// The last instant that is past: now, or the end.
    pub now_s: f64,
    /// Is it still going on? Then a line says where now is, and the future is left open to the right.
    pub running: bool,
    /// Pressure readings, bar.
    pub pressure: Vec<(f64, f64)>,
    /// Water levels, mm in the glass.
    pub water: Vec<(f64, f64)>,
    /// Carbon monoxide, ppm.
    pub co: Vec<(f64, f64)>,
    /// When the water was out of sight below the glass.
    pub below: Vec<f64>,
    /// When the water stood above the glass.
    pub above: Vec<f64>,
    /// Working pressure, bar.
    pub working_bar: Option<f64>,
    /// The pressure that is a stop, bar.
    pub stop_bar: Option<f64>,
    /// The pressure that a shell under test is to reach, bar.
    pub target_bar: Option<f64>,
    /// Is there no glass to be watched? Then there is no lane for it.
    pub no_glass: bool,
    /// Low mark, mm.
    pub low_mm: Option<f64>,
    /// High mark, mm.
    pub high_mm: Option<f64>,
    /// The glass's visible length, mm.
    pub visible_mm: Option<f64>,
    /// Carbon monoxide that is a caution, ppm.
    pub co_caution_ppm: Option<f64>,
    /// Over a gap longer than this a pen is broken: nobody read, so nothing is drawn.
    pub break_s: Option<f64>,
    /// What happened, in words of two or three.
    pub events: Vec<(f64, String)>,
    /// Flags.
    pub flags: Vec<FlagAt>,
    /// The runway, while one is known.
    pub runway: Option<RunwayAhead>,
}

impl TrialPlot {
    /// A pen as unbroken runs: cut where readings are missing, and for water where it was out of the glass.
    pub(crate) fn runs(&self, pen: &[(f64, f64)], cuts: &[f64]) -> Vec<Vec<(f64, f64)>> {
        let gap = self.break_s.unwrap_or(900.0);
        let mut runs: Vec<Vec<(f64, f64)>> = Vec::new();
        for &point in pen {
            let joins = runs
                .last()
                .and_then(|run| run.last())
                .is_some_and(|last: &(f64, f64)| {
                    point.0 - last.0 <= gap
                        && !cuts.iter().any(|cut| *cut > last.0 && *cut <= point.0)
                });
            match runs.last_mut() {
                Some(run) if joins => run.push(point),
                _ => runs.push(vec![point]),
            }
        }
        runs
    }

    /// Times at which the water was not in the glass.
    pub(crate) fn cuts(&self) -> Vec<f64> {
        self.below.iter().chain(&self.above).copied().collect()
    }

    /// What the chart shows, in words: for those who cannot see it.
    pub(crate) fn says(&self) -> String {
        let mut says = Vec::new();
        let when = |t: f64| crate::scale::clock(t, self.starts_at_s);
        match self.pressure.iter().max_by(|a, b| a.1.total_cmp(&b.1)) {
            Some((t, bar)) => says.push(format!("Highest pressure {bar:.2} bar, at {}.", when(*t))),
            None => says.push("No pressure was read.".to_owned()),
        }
        match self.water.iter().min_by(|a, b| a.1.total_cmp(&b.1)) {
            Some((t, mm)) => says.push(format!("Lowest water read {mm:.1} mm, at {}.", when(*t))),
            None => says.push("No water level was read.".to_owned()),
        }
        if let Some(low) = self.low_mm {
            says.push(format!("Low mark {low:.0} mm."));
        }
        if let Some(t) = self.below.first() {
            says.push(format!(
                "Water out of sight below the glass at {}.",
                when(*t)
            ));
        }
        let count = |severity| self.flags.iter().filter(|f| f.severity == severity).count();
        says.push(format!(
            "Stops {}, cautions {}.",
            count(Severity::Stop),
            count(Severity::Caution)
        ));
        says.join(" ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pen_is_broken_over_a_long_gap_and_where_the_water_was_out_of_the_glass() {
        let plot = TrialPlot {
            water: vec![
                (0.0, 40.0),
                (100.0, 38.0),
                (1200.0, 30.0),
                (1300.0, 29.0),
                (1500.0, 31.0),
            ],
            below: vec![1400.0],
            break_s: Some(600.0),
            ..TrialPlot::default()
        };
        let runs = plot.runs(&plot.water, &plot.cuts());
        assert_eq!(runs.iter().map(Vec::len).collect::<Vec<_>>(), [2, 2, 1]);
    }

    #[test]
    fn the_words_name_the_peak_the_lowest_water_and_water_out_of_sight() {
        let plot = TrialPlot {
            starts_at_s: Some(36_000.0),
            pressure: vec![(0.0, 1.0), (600.0, 4.05), (700.0, 3.0)],
            water: vec![(0.0, 40.0), (660.0, 18.5)],
            below: vec![720.0],
            ..TrialPlot::default()
        };
        let says = plot.says();
        assert!(
            says.contains("Highest pressure 4.05 bar, at 10:10."),
            "{says}"
        );
        assert!(
            says.contains("Lowest water read 18.5 mm, at 10:11."),
            "{says}"
        );
        assert!(
            says.contains("out of sight below the glass at 10:12"),
            "{says}"
        );
    }
}
