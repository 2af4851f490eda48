//! The water's balance: what was fed, what stayed, and so what steam was made.

use crate::Unusable;
use crate::answer::{Answer, Finding, Limit};
use crate::properties;
use crate::quantity::{Absolute, Gauge, Temperature};
use crate::steam::Saturation;
use crate::unusable::{lasting, slip, within};
use crate::water::inside;

/// Feed and levels of one stretch of a trial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Balance {
    /// Fed, ml as it was measured in the tank.
    pub feed_ml: f64,
    /// Of the feed.
    pub feed: Temperature,
    /// Water in the boiler at the beginning, hot, ml.
    pub start_ml: f64,
    /// Water in the boiler at the end, hot, ml.
    pub end_ml: f64,
    /// At the beginning, on the gauge.
    pub start: Gauge,
    /// At the end, on the gauge; `None` where it stood the same.
    pub end: Option<Gauge>,
    /// Whole inside, ml; then the steam over the water counts too.
    pub total_ml: Option<f64>,
    /// Of the day.
    pub barometer: Absolute,
    /// How long, s.
    pub seconds: f64,
    /// Relative standard uncertainty of the feed.
    pub u_feed: f64,
    /// Standard uncertainty of each level, ml.
    pub u_level_ml: f64,
    /// The feed as another method has it, kg, where there is one.
    pub other_feed_kg: Option<f64>,
}

/// Steam made over a stretch, from feed and levels.
///
/// # Formula
/// `m_s = m_feed − (m_2 − m_1)`, `m_i = ρ_f,i V_i` and, where the whole inside is known,
/// `+ ρ_g,i (V_tot − V_i)`; `U = 2 √((u_feed m_feed)² + 2 (ρ_f u_V)²)`. Two ways of measuring the feed
/// agree where they differ by at most `2 √2 u_feed m_feed`.
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `feed_ml` | fed | ml | 0 to 10 000 000 |
/// | `feed` | temperature | °C | 0 to 99 and not above boiling |
/// | `start_ml`, `end_ml` | V_1, V_2 | ml | 0 to 10 000 000 |
/// | `seconds` | how long | s | above 0 |
/// | `u_feed`, `u_level_ml` | standard uncertainties | –, ml | 0 to 1; 0 to 100 000 |
///
/// # Errors
/// [`Unusable`] names the field; `duration_not_positive`, `feed_temperature_above_saturation`,
/// `level_over_boiler_volume`; `steam_made_negative` where it is under nothing for certain.
///
/// # Source
/// Balance of mass; densities of IAPWS R7-97(2012).
///
/// # Example
/// ```
/// use calc::balance::{Balance, steam_made};
/// use calc::quantity::{Absolute, Gauge, Temperature};
/// let answer = steam_made(&Balance {
///     feed_ml: 900.0,
///     feed: Temperature::from_celsius(60.0),
///     start_ml: 1200.0,
///     end_ml: 1400.0,
///     start: Gauge::from_bar(3.0),
///     end: None,
///     total_ml: None,
///     barometer: Absolute::STANDARD_ATMOSPHERE,
///     seconds: 1500.0,
///     u_feed: 0.02,
///     u_level_ml: 8.0,
///     other_feed_kg: None,
/// })?;
/// assert!(answer.number("steam_rate_kg_h").is_some_and(|r| (r - 1.681).abs() < 0.001));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn steam_made(asked: &Balance) -> Result<Answer, Unusable> {
    let hours = lasting("duration_s", asked.seconds)? / 3600.0;
    let feed_ml = within("feed_ml", asked.feed_ml, 0.0, 1e7)?;
    let u_feed = within("u_feed_rel", asked.u_feed, 0.0, 1.0)?;
    let u_ml = within("u_V_each_ml", asked.u_level_ml, 0.0, 1e5)?;
    let (_, first) = inside(asked.start, asked.barometer)?;
    let (_, last) = inside(asked.end.unwrap_or(asked.start), asked.barometer)?;
    within("T_feed_C", asked.feed.degrees(), -20.0, 250.0)?;
    if asked.feed.degrees() > first.temperature.degrees() {
        return Err(slip(
            "feed_temperature_above_saturation",
            "T_feed_C",
            "feed hotter than the boiling water would be steam",
        ));
    }
    let rho = 1.0 / properties::cold("T_feed_C", asked.feed)?.volume_m3_kg;
    let feed_kg = feed_ml * rho * 1e-6;
    let start_kg = mass("V_start_hot_ml", asked.start_ml, &first, asked.total_ml)?;
    let end_kg = mass("V_end_hot_ml", asked.end_ml, &last, asked.total_ml)?;
    let kept = end_kg - start_kg;
    let made = feed_kg - kept;
    let expanded = 2.0 * doubt(feed_kg, u_feed, u_ml, last.water_kg_m3);
    if made < -expanded {
        return Err(slip(
            "steam_made_negative",
            "feed_ml",
            "more water is in the boiler than was fed: look at the levels, the feed and a leaking check valve",
        ));
    }
    let mut answer = Answer::of("Balance of mass; densities of IAPWS R7-97(2012)");
    let symbols = [("V", feed_ml), ("ρ", rho)];
    answer.step("m_feed = V × ρ / 1000000", &symbols, feed_kg, "kg");
    let symbols = [("m_feed", feed_kg), ("m_2", end_kg), ("m_1", start_kg)];
    answer.step("m_s = m_feed − (m_2 − m_1)", &symbols, made, "kg");
    let symbols = [("m_s", made), ("t", asked.seconds)];
    answer.step("rate = m_s / t × 3600", &symbols, made / hours, "kg/h");
    answer.put_about("feed_kg", feed_kg, Some(2.0 * u_feed * feed_kg), "kg");
    answer.put("delta_boiler_kg", kept, "kg");
    answer.put_about("steam_made_kg", made, Some(expanded), "kg");
    answer.put_about(
        "steam_rate_kg_h",
        made / hours,
        Some(expanded / hours),
        "kg/h",
    );
    if let Some(other) = asked.other_feed_kg {
        let other = within("feed_other_kg", other, 0.0, 1e4)?;
        close(&mut answer, feed_kg, other, u_feed);
    }
    Ok(answer)
}

fn mass(
    field: &'static str,
    water_ml: f64,
    s: &Saturation,
    total_ml: Option<f64>,
) -> Result<f64, Unusable> {
    let water = within(field, water_ml, 0.0, 1e7)?;
    let steam_ml = match total_ml {
        None => 0.0,
        Some(total) if within("V_total_ml", total, 0.1, 1e7)? >= water => total - water,
        Some(_) => {
            return Err(slip(
                "level_over_boiler_volume",
                field,
                "there is more water than the boiler holds",
            ));
        }
    };
    Ok((water * s.water_kg_m3 + steam_ml * s.steam_kg_m3) * 1e-6)
}

fn doubt(feed_kg: f64, u_feed: f64, u_level_ml: f64, rho_f: f64) -> f64 {
    let level = rho_f * u_level_ml * 1e-6;
    ((u_feed * feed_kg).powi(2) + 2.0 * level * level).sqrt()
}

fn close(answer: &mut Answer, one: f64, other: f64, u: f64) {
    let limit = 2.0 * (u * one).hypot(u * other);
    let differ = (one - other).abs();
    answer.put("feed_difference_kg", differ, "kg");
    answer.limit = Some(Limit {
        is: "difference of two ways to measure the feed",
        value: limit,
        unit: "kg",
        source: "JCGM 100:2008, k = 2",
    });
    answer.verdict = Some(if differ <= limit {
        Finding::Ok
    } else {
        answer
            .say("The feed records disagree: look at the stroke count, the tank and its top-ups.");
        Finding::Caution
    });
}

/// Standard uncertainty of the steam made.
///
/// # Formula
/// `u = √((u_feed m)² + 2 (ρ_f u_V)²)`
///
/// | symbol | is | unit | accepted |
/// |---|---|---|---|
/// | `feed_kg` | m | kg | 0 to 10 000 |
/// | `u_feed` | relative | – | 0 to 1 |
/// | `u_level_ml` | u_V of each level | ml | 0 to 100 000 |
/// | `rho_f` | hot water | kg/m³ | 500 to 1100 |
///
/// # Errors
/// [`Unusable`] names the field.
///
/// # Source
/// JCGM 100:2008.
///
/// # Example
/// ```
/// let answer = calc::balance::steam_doubt(0.6, 0.02, 8.0, 915.19)?;
/// assert!(answer.number("u_steam_kg").is_some_and(|u| (u - 0.0158).abs() < 1e-4));
/// # Ok::<(), calc::Unusable>(())
/// ```
pub fn steam_doubt(
    feed_kg: f64,
    u_feed: f64,
    u_level_ml: f64,
    rho_f: f64,
) -> Result<Answer, Unusable> {
    let feed = within("feed_kg", feed_kg, 0.0, 1e4)?;
    let u_feed = within("u_feed_rel", u_feed, 0.0, 1.0)?;
    let u_ml = within("u_V_each_ml", u_level_ml, 0.0, 1e5)?;
    let rho = within("rho_f_kg_m3", rho_f, 500.0, 1100.0)?;
    let u = doubt(feed, u_feed, u_ml, rho);
    let mut answer = Answer::of("JCGM 100:2008");
    answer.step(
        "u = √((u_feed × m)^2 + 2 × (ρ_f × u_V / 1000000)^2)",
        &[("u_feed", u_feed), ("m", feed), ("ρ_f", rho), ("u_V", u_ml)],
        u,
        "kg",
    );
    answer.put("u_steam_kg", u, "kg");
    answer.put("U_steam_kg", 2.0 * u, "kg");
    Ok(answer)
}
