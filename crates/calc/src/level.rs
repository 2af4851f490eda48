//! How much water a level in the glass stands for.

use crate::Unusable;
use crate::unusable::within;

/// A flue or fire tube lying along a horizontal shell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LyingTube {
    /// Outside diameter, mm.
    pub od_mm: f64,
    /// Height of its centre above the lowest inside point of the shell, mm.
    pub centre_mm: f64,
    /// How many lie at that height.
    pub count: f64,
}

/// A tube standing in a vertical shell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandingTube {
    /// Outside diameter, mm.
    pub od_mm: f64,
    /// How many there are.
    pub count: f64,
}

/// The firebox at the foot of a vertical shell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Firebox {
    /// Outside diameter, mm.
    pub od_mm: f64,
    /// Height of its crown above the lowest inside point of the shell, mm.
    pub crown_mm: f64,
}

/// The shape that holds the water.
#[derive(Clone, Debug, PartialEq)]
pub enum WaterSpace {
    /// A lying cylinder with tubes along it.
    Horizontal {
        /// Inside diameter, mm.
        bore_mm: f64,
        /// Inside length, mm.
        length_mm: f64,
        /// Flues and tubes.
        tubes: Vec<LyingTube>,
    },
    /// A standing cylinder with tubes, and perhaps a firebox under them.
    Vertical {
        /// Inside diameter, mm.
        bore_mm: f64,
        /// Inside height, mm.
        height_mm: f64,
        /// Tubes; above the firebox crown where there is a firebox, else over the whole height.
        tubes: Vec<StandingTube>,
        /// The firebox, if the water stands round one.
        firebox: Option<Firebox>,
    },
    /// Levels in the glass with the water poured for each, ml; both strictly rising.
    Calibrated {
        /// (level above the glass's zero, mm; water in the boiler, ml).
        points: Vec<(f64, f64)>,
    },
}

impl WaterSpace {
    /// Checks the shape once, so that reckoning with it cannot fail later.
    ///
    /// # Errors
    /// [`Unusable`] for a measure that is not above 0 (or over 10 m), a tube that is not inside the
    /// shell, a firebox wider than the shell, a table with under two points or not strictly rising.
    ///
    /// ```
    /// use calc::level::WaterSpace;
    /// let drum = WaterSpace::Horizontal { bore_mm: 100.0, length_mm: 200.0, tubes: vec![] };
    /// assert!(drum.check().is_ok());
    /// ```
    pub fn check(&self) -> Result<(), Unusable> {
        match self {
            Self::Horizontal {
                bore_mm,
                length_mm,
                tubes,
            } => {
                within("bore_mm", *bore_mm, 1.0, 10_000.0)?;
                within("length_mm", *length_mm, 1.0, 10_000.0)?;
                tubes
                    .iter()
                    .try_for_each(|tube| check_lying(tube, *bore_mm))
            }
            Self::Vertical {
                bore_mm,
                height_mm,
                tubes,
                firebox,
            } => {
                within("bore_mm", *bore_mm, 1.0, 10_000.0)?;
                within("height_mm", *height_mm, 1.0, 10_000.0)?;
                for tube in tubes {
                    within("tubes.od_mm", tube.od_mm, 0.1, *bore_mm)?;
                    within("tubes.count", tube.count, 1.0, 10_000.0)?;
                }
                if let Some(firebox) = firebox {
                    within("firebox.od_mm", firebox.od_mm, 1.0, *bore_mm)?;
                    within("firebox.crown_mm", firebox.crown_mm, 0.1, *height_mm)?;
                }
                let tubes_mm2: f64 = tubes.iter().map(|t| t.count * disc(t.od_mm)).sum();
                if tubes_mm2 >= disc(*bore_mm) {
                    return Err(Unusable::Contradiction {
                        field: "tubes",
                        says: "the tubes fill the whole shell",
                    });
                }
                Ok(())
            }
            Self::Calibrated { points } => check_table(points),
        }
    }

    /// Water in the boiler when it stands at `height_mm`, ml.
    ///
    /// # Formula
    /// Horizontal: `L [A(R, h) − Σ A(r, h − (y − r))]` with
    /// `A(R, h) = R² acos((R − h)/R) − (R − h) √(2Rh − h²)`. Vertical: cross-section times height,
    /// less firebox up to its crown and tubes above it. Table: straight lines between points.
    ///
    /// | symbol | is | unit | accepted |
    /// |---|---|---|---|
    /// | `height_mm` | surface above the lowest inside point (a table: above the glass's zero) | mm | any; held to the shape's ends |
    ///
    /// # Source
    /// Geometry; JCGM 100 for what a level's uncertainty does to it.
    ///
    /// # Example
    /// ```
    /// use calc::level::WaterSpace;
    /// let drum = WaterSpace::Horizontal { bore_mm: 100.0, length_mm: 200.0, tubes: vec![] };
    /// assert!((drum.volume_ml(50.0) - 785.4).abs() < 0.1);
    /// ```
    pub fn volume_ml(&self, height_mm: f64) -> f64 {
        match self {
            Self::Horizontal {
                bore_mm,
                length_mm,
                tubes,
            } => {
                let shell = segment(bore_mm / 2.0, height_mm);
                let lost: f64 = tubes
                    .iter()
                    .map(|t| {
                        let radius = t.od_mm / 2.0;
                        t.count * segment(radius, height_mm - (t.centre_mm - radius))
                    })
                    .sum();
                (shell - lost) * length_mm / 1000.0
            }
            Self::Vertical {
                bore_mm,
                height_mm: top,
                tubes,
                firebox,
            } => {
                let h = height_mm.clamp(0.0, *top);
                let crown = firebox.map_or(0.0, |f| f.crown_mm);
                let round_firebox = firebox.map_or(0.0, |f| disc(f.od_mm) * h.min(crown));
                let tubes_mm2: f64 = tubes.iter().map(|t| t.count * disc(t.od_mm)).sum();
                (disc(*bore_mm) * h - round_firebox - tubes_mm2 * (h - crown).max(0.0)) / 1000.0
            }
            Self::Calibrated { points } => interpolate(points, height_mm),
        }
    }

    /// The whole inside as far as the shape tells, ml: full shell, or the table's last point.
    pub fn full_ml(&self) -> f64 {
        match self {
            Self::Horizontal { bore_mm, .. } => self.volume_ml(*bore_mm),
            Self::Vertical { height_mm, .. } => self.volume_ml(*height_mm),
            Self::Calibrated { points } => points.last().map_or(0.0, |p| p.1),
        }
    }

    /// Height of the shape, mm: bore of a lying shell, height of a standing one, last table level.
    pub fn height_mm(&self) -> f64 {
        match self {
            Self::Horizontal { bore_mm, .. } => *bore_mm,
            Self::Vertical { height_mm, .. } => *height_mm,
            Self::Calibrated { points } => points.last().map_or(0.0, |p| p.0),
        }
    }
}

fn check_lying(tube: &LyingTube, bore_mm: f64) -> Result<(), Unusable> {
    within("tubes.od_mm", tube.od_mm, 0.1, bore_mm)?;
    within("tubes.count", tube.count, 1.0, 10_000.0)?;
    let radius = tube.od_mm / 2.0;
    within("tubes.centre_mm", tube.centre_mm, radius, bore_mm - radius)?;
    Ok(())
}

fn check_table(points: &[(f64, f64)]) -> Result<(), Unusable> {
    if points.len() < 2 {
        return Err(Unusable::Contradiction {
            field: "calibrated",
            says: "a table needs at least two levels",
        });
    }
    for (level, ml) in points {
        within("calibrated.level_mm", *level, -1000.0, 10_000.0)?;
        within("calibrated.ml", *ml, 0.0, 1e7)?;
    }
    if points
        .windows(2)
        .any(|w| w[1].0 <= w[0].0 || w[1].1 <= w[0].1)
    {
        return Err(Unusable::Contradiction {
            field: "calibrated",
            says: "levels and ml must both rise from each row to the next",
        });
    }
    Ok(())
}

fn disc(diameter: f64) -> f64 {
    std::f64::consts::PI * diameter * diameter / 4.0
}

/// Area under the chord at `height` in a circle of `radius`, the height held to the circle.
fn segment(radius: f64, height: f64) -> f64 {
    let h = height.clamp(0.0, 2.0 * radius);
    let below_centre = radius - h;
    radius * radius * (below_centre / radius).clamp(-1.0, 1.0).acos()
        - below_centre * (2.0 * radius * h - h * h).max(0.0).sqrt()
}

fn interpolate(points: &[(f64, f64)], level: f64) -> f64 {
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return 0.0;
    };
    if level <= first.0 {
        return first.1;
    }
    if level >= last.0 {
        return last.1;
    }
    let after = points
        .iter()
        .position(|p| p.0 > level)
        .unwrap_or(points.len() - 1);
    let (a, b) = (points[after.saturating_sub(1)], points[after]);
    a.1 + (b.1 - a.1) * (level - a.0) / (b.0 - a.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flue_takes_its_share_of_a_lying_shell() {
        let tube = LyingTube {
            od_mm: 44.0,
            centre_mm: 46.0,
            count: 1.0,
        };
        let bare = WaterSpace::Horizontal {
            bore_mm: 102.0,
            length_mm: 210.0,
            tubes: vec![],
        };
        let flued = WaterSpace::Horizontal {
            bore_mm: 102.0,
            length_mm: 210.0,
            tubes: vec![tube],
        };
        let lost = bare.full_ml() - flued.full_ml();
        assert!((lost - disc(44.0) * 210.0 / 1000.0).abs() < 1e-9);
        assert_eq!(
            bare.volume_ml(20.0),
            flued.volume_ml(20.0),
            "under the flue nothing is lost"
        );
    }

    #[test]
    fn a_standing_shell_changes_slope_at_the_crown() {
        let boiler = WaterSpace::Vertical {
            bore_mm: 127.0,
            height_mm: 200.0,
            tubes: vec![StandingTube {
                od_mm: 12.0,
                count: 19.0,
            }],
            firebox: Some(Firebox {
                od_mm: 110.0,
                crown_mm: 80.0,
            }),
        };
        let under = boiler.volume_ml(70.0) - boiler.volume_ml(60.0);
        let over = boiler.volume_ml(110.0) - boiler.volume_ml(100.0);
        assert!((under - 10.0 * (disc(127.0) - disc(110.0)) / 1000.0).abs() < 1e-9);
        assert!((over - 10.0 * (disc(127.0) - 19.0 * disc(12.0)) / 1000.0).abs() < 1e-9);
    }

    #[test]
    fn a_table_is_straight_between_its_points_and_never_carried_past_them() {
        let table = WaterSpace::Calibrated {
            points: vec![(0.0, 640.0), (10.0, 742.0)],
        };
        assert!((table.volume_ml(5.0) - 691.0).abs() < 1e-9);
        assert_eq!(table.volume_ml(99.0), 742.0);
        assert_eq!(table.volume_ml(-5.0), 640.0);
    }

    #[test]
    fn shapes_that_cannot_be_are_refused() {
        let outside = LyingTube {
            od_mm: 44.0,
            centre_mm: 10.0,
            count: 1.0,
        };
        let flued = WaterSpace::Horizontal {
            bore_mm: 102.0,
            length_mm: 210.0,
            tubes: vec![outside],
        };
        assert!(
            flued
                .check()
                .unwrap_err()
                .to_string()
                .starts_with("tubes.centre_mm")
        );
        let level = WaterSpace::Calibrated {
            points: vec![(0.0, 640.0), (0.0, 742.0)],
        };
        assert!(level.check().is_err());
    }
}
