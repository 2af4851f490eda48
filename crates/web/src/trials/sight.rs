//! What a trial's page shows of it: ready words and drawings, nothing left to reckon in a template.

use calc::trial::{Now, Water};
use papers::Svg;
use records::{Error, Store, defects};

use super::figures::{self, FigureShown};
pub(super) use super::flag_words::FlagShown;
use super::flag_words::{flags, latched, takes_the_screen};
use super::load::Judged;
use super::logbook::Line;
use super::look_next::{self, NextShown};
use super::press::{self, PressShown};
use super::{draw, events};

/// When the water is to be looked at next.
#[derive(Clone, Debug)]
pub(super) struct NextLook {
    pub(super) label: &'static str,
    pub(super) figure: String,
    /// Unix milliseconds, for a countdown worked out from stamps.
    pub(super) due_ms: i64,
    /// When the call for it is to be louder, unix milliseconds.
    pub(super) louder_ms: i64,
    pub(super) late: bool,
    /// Something unexpected was read: look again at once, whatever the countdown says.
    pub(super) again: bool,
}

/// Everything of a trial that its pages show.
pub(super) struct Sight {
    pub(super) hot: bool,
    pub(super) fire_lit: bool,
    pub(super) fire_was_lit: bool,
    pub(super) fire_out_at: String,
    pub(super) age: String,
    pub(super) runway: String,
    pub(super) runway_unit: &'static str,
    pub(super) runway_note: String,
    /// How the water moved over the last readings, in words.
    pub(super) trend: String,
    pub(super) next: Option<NextLook>,
    pub(super) glass: Option<Svg>,
    /// What a tap on the drawn glass needs: visible length, step and the last level, mm.
    pub(super) tap: Option<(f64, f64, Option<f64>)>,
    pub(super) chart: Svg,
    pub(super) stop: Option<FlagShown>,
    pub(super) other_stops: Vec<String>,
    pub(super) bands: Vec<FlagShown>,
    pub(super) flags: Vec<FlagShown>,
    pub(super) figures: Vec<FigureShown>,
    pub(super) lines: Vec<Line>,
    pub(super) keys: [events::Key; 3],
    pub(super) read_back: Option<String>,
    pub(super) entries: usize,
    pub(super) press: Option<PressShown>,
    pub(super) look_next: Vec<NextShown>,
    /// How many of them the log says nothing of.
    pub(super) untold: usize,
    pub(super) now_ms: i64,
}

impl Sight {
    /// Everything shown of a judged trial, with the defects that were made of its flags.
    pub(super) async fn with_defects(store: &Store, trial: &Judged) -> Result<Self, Error> {
        let mut sight = Self::of(trial);
        for defect in defects::of_job(store, trial.row.job_id).await? {
            let own = defect.trial_id == Some(trial.row.id) && defect.withdrawn_at.is_none();
            let raised = defect.raised_at_s.map(|t| t.to_string());
            for next in sight.look_next.iter_mut().filter(|_| own) {
                if defect.rule.as_deref() == Some(next.name) {
                    next.defect = defect.serial;
                }
            }
            for flag in sight.flags.iter_mut().filter(|_| own) {
                if defect.rule.as_deref() == Some(flag.rule)
                    && raised.as_ref() == Some(&flag.raised_at_s)
                {
                    flag.defect = defect.serial;
                }
            }
        }
        Ok(sight)
    }

    /// Everything shown of a judged trial.
    pub(super) fn of(trial: &Judged) -> Self {
        let now = &trial.judged.now;
        let flags = flags(trial);
        let standing: Vec<FlagShown> = flags.iter().filter(|f| f.stands).cloned().collect();
        let stop = standing
            .iter()
            .find(|f| f.mark == "stop" && f.seen_by.is_empty() && takes_the_screen(trial, f.rule))
            .cloned();
        let shouted = stop.as_ref().map(|s| (s.rule, s.raised_at_s.clone()));
        let rest = |f: &&FlagShown| shouted.as_ref() != Some(&(f.rule, f.raised_at_s.clone()));
        let (runway, runway_unit, runway_note) = runway(trial, now);
        Self {
            hot: now.hot,
            fire_lit: now.fire_lit,
            fire_was_lit: now.fire_lit_at_s.is_some(),
            fire_out_at: fire_out_at(trial),
            age: age(trial, now),
            runway,
            runway_unit,
            runway_note,
            trend: trend(trial),
            next: next_look(trial, now),
            glass: draw::glass(trial.file.trial()).map(|g| papers::glass::glass(&g)),
            tap: tap(trial),
            chart: papers::chart::trial(&plot(trial)),
            other_stops: standing
                .iter()
                .filter(rest)
                .filter(|f| f.mark == "stop")
                .map(|f| f.about.clone())
                .collect(),
            bands: standing
                .iter()
                .filter(rest)
                .filter(|f| f.mark != "note")
                .chain(latched(&flags))
                .cloned()
                .collect(),
            stop,
            flags,
            figures: figures::shown(trial),
            lines: trial.log.lines(),
            keys: events::first_keys(trial),
            read_back: trial.log.read_back(),
            entries: trial.log.len(),
            press: press::shown(trial),
            look_next: look_next::shown(trial),
            untold: look_next::untold(trial),
            now_ms: trial.now.millis(),
        }
    }
}

/// What the last readings say of the water, as they were read: `3 mm less in 4 min`.
fn trend(trial: &Judged) -> String {
    let read = super::known::waters(trial);
    let numbers: Vec<(i64, f64)> = read
        .iter()
        .rev()
        .filter_map(|w| Some((w.at_ms, w.mm?)))
        .take(3)
        .collect();
    let [(at, mm), .., before] = numbers.as_slice() else {
        return String::new();
    };
    let over = calc::show::span(f64::from(
        i32::try_from((at - before.0) / 1000).unwrap_or(i32::MAX),
    ));
    let moved = mm - before.1;
    let figure = calc::show::fixed(moved.abs(), if moved.fract().abs() > 1e-9 { 1 } else { 0 });
    match moved {
        m if m < 0.0 => format!("{figure} mm less in {over}"),
        m if m > 0.0 => format!("{figure} mm more in {over}"),
        _ => format!("as before for {over}"),
    }
}

fn tap(trial: &Judged) -> Option<(f64, f64, Option<f64>)> {
    let file = trial.file.trial();
    let visible = file.plant.glass.and_then(|g| g.visible_mm)?;
    let step = file.instruments.level.as_ref().and_then(|i| i.resolution);
    let last = match trial.judged.now.water {
        Water::Level(mm) => Some(mm),
        _ => None,
    };
    Some((visible, step.unwrap_or(1.0), last))
}

/// What the chart and the strip of a trial are drawn from.
pub(super) fn plot(trial: &Judged) -> papers::TrialPlot {
    let now = &trial.judged.now;
    let frame = draw::Frame {
        title: format!(
            "{} {}, {} trial",
            trial.row.label(),
            trial.row.plant,
            trial.row.kind.replace('-', " ")
        ),
        starts_at_s: seconds_of_day(&trial.started().clock()),
        now_s: trial.now_s,
        running: trial.row.state == "running",
        runway: now.runway_s.map(|least| (least, now.runway_likely_s)),
    };
    draw::plot(trial.file.trial(), &trial.judged, frame)
}

fn seconds_of_day(clock: &str) -> Option<f64> {
    let mut parts = clock.split(':').map(|p| p.parse::<f64>().ok());
    let (h, m, s) = (parts.next()??, parts.next()??, parts.next()??);
    Some(h * 3600.0 + m * 60.0 + s)
}

/// The runway at the least, in one figure, or in words why there is none.
fn runway(trial: &Judged, now: &Now) -> (String, &'static str, String) {
    let in_sight = !matches!(now.water, Water::Below | Water::Above);
    let Some(least) = now.runway_s.filter(|_| now.hot && in_sight) else {
        let words = match (now.hot, now.water) {
            (_, Water::Below) => "water out of sight",
            (_, Water::Above) => "above the glass: no proof of water",
            (false, _) => "not in steam",
            (true, Water::Unknown) => "not known: look at the water",
            (true, Water::Level(_)) => "no fall seen",
        };
        return (words.to_owned(), "", String::new());
    };
    let span = calc::show::span(least);
    let (figure, unit) = span.split_once(' ').unwrap_or((span.as_str(), ""));
    let unit = if unit == "s" { "s" } else { "min" };
    let note = now.water_read_s.map_or_else(String::new, |t| {
        format!("look {} ago", clock_span(trial.now_s - t))
    });
    (figure.to_owned(), unit, note)
}

fn next_look(trial: &Judged, now: &Now) -> Option<NextLook> {
    let due = now.next_look_at_s.filter(|_| now.hot)?;
    let late = due < trial.now_s;
    let millis = |s: f64| super::logbook::moment(trial.started(), s).millis();
    let label = match (now.look_again, late) {
        (true, _) => "unexpected: look again now",
        (false, true) => "water reading late by",
        (false, false) => "next water reading in",
    };
    Some(NextLook {
        label,
        figure: clock_span((due - trial.now_s).abs()),
        due_ms: millis(due),
        louder_ms: millis(now.louder_at_s.unwrap_or(due)),
        late: late || now.look_again,
        again: now.look_again,
    })
}

/// Minutes and seconds, hours where it takes them: `3:12`, `1:03:12`.
pub(super) fn clock_span(seconds: f64) -> String {
    let s = seconds.max(0.0).floor();
    let (h, m, s) = ((s / 3600.0).floor(), (s / 60.0).floor() % 60.0, s % 60.0);
    if h > 0.0 {
        format!("{h:.0}:{m:02.0}:{s:02.0}")
    } else {
        format!("{m:.0}:{s:02.0}")
    }
}

fn age(trial: &Judged, now: &Now) -> String {
    match (now.fire_lit_at_s, trial.row.started_at) {
        (Some(lit), _) => format!("lit {} ago", clock_span(trial.now_s - lit)),
        (None, Some(_)) => format!("begun {}", trial.started().clock()),
        (None, None) => "not begun".to_owned(),
    }
}

fn fire_out_at(trial: &Judged) -> String {
    if trial.judged.now.fire_lit {
        return String::new();
    }
    let out = |what: &calc::trial::What| matches!(what, calc::trial::What::Event(e) if e.name == calc::trial::EventName::FireOut);
    let last = draw::corrected(trial.file.trial())
        .iter()
        .rev()
        .find(|(_, what)| out(what))
        .map(|(t, _)| *t);
    last.map_or_else(String::new, |t| trial.clock(t))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_is_written_as_a_stop_watch_shows_it() {
        assert_eq!(clock_span(192.9), "3:12");
        assert_eq!(clock_span(3792.0), "1:03:12");
        assert_eq!(clock_span(-4.0), "0:00");
    }

    #[test]
    fn the_day_is_reckoned_from_the_clock() {
        assert_eq!(seconds_of_day("10:52:07"), Some(39_127.0));
        assert_eq!(seconds_of_day("soon"), None);
    }
}
