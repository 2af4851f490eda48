//! From what was read to what is reckoned with: one entry.

use crate::tree::Tree;
use calc::trial::{
    Answer, Check, Cock, Entry, Event, EventName, LeakAt, Patch, Reading, Seen, Target, What,
};

/// An entry that was found good; `text` is its canonical text.
pub(crate) fn entry(e: &Tree, text: &str) -> Entry {
    let t_s = e.number("t_s").unwrap_or(0.0);
    Entry {
        id: e.text("id").map(str::to_owned),
        t_s,
        received_at_s: e.number("received_at_s").map_or(t_s, |r| r.max(t_s)),
        by: e.text("by").map(str::to_owned),
        what: what(e),
        text: text.to_owned(),
    }
}

fn what(e: &Tree) -> What {
    if let Some(target) = e.get("corrects") {
        return correction(e, target);
    }
    if let Some(reading) = e.get("reading") {
        let mut read = Reading::default();
        patch(reading).apply(&mut read);
        return What::Reading(Box::new(read));
    }
    if let Some(name) = e.text("event") {
        return What::Event(event(e, name));
    }
    if let Some(name) = e.text("check") {
        return What::Check(check(e, name));
    }
    if let Some(seen) = e.get("acknowledges") {
        return What::Acknowledges {
            rule: seen.text("rule").unwrap_or_default().to_owned(),
            raised_at_s: seen.number("raised_at_s").unwrap_or(0.0),
        };
    }
    if let Some(answer) = e.text("answer") {
        return What::Answer(match answer {
            "yes" => Answer::Yes,
            "no" => Answer::No,
            _ => Answer::NotSettled,
        });
    }
    if let Some(signs) = e.text("signs") {
        return What::Signs(signs.to_owned());
    }
    What::Keeps(e.text("keeps").unwrap_or_default().to_owned())
}

fn correction(e: &Tree, target: &Tree) -> What {
    let target = match target {
        Tree::Number(t) => Target::Time(t.value),
        Tree::Text(id) => Target::Id(id.clone()),
        _ => Target::Id(String::new()),
    };
    What::Correction {
        target,
        patch: Box::new(e.get("reading").map(patch).unwrap_or_default()),
        withdrawn: e.bool("withdrawn") == Some(true),
    }
}

fn event(e: &Tree, name: &str) -> Event {
    Event {
        name: event_name(name),
        amount_ml: e.number("amount_ml"),
        to_boiler: e.text("to") == Some("boiler"),
        growth_pct: e.number("growth_pct"),
        leak_at: match e.text("where") {
            Some("gas") => LeakAt::Gas,
            Some("seam") => LeakAt::Seam,
            Some("shell") => LeakAt::Shell,
            Some("union") => LeakAt::Union,
            Some("gasket") => LeakAt::Gasket,
            Some("fitting") => LeakAt::Fitting,
            Some("blank") => LeakAt::Blank,
            Some("gland") => LeakAt::Gland,
            _ => LeakAt::Unsaid,
        },
    }
}

fn check(e: &Tree, name: &str) -> Check {
    Check {
        name: name.to_owned(),
        done: e.bool("done") == Some(true),
        overridden: e.bool("override") == Some(true),
        reason: e.text("reason").map(str::to_owned),
        value: match e.get("value") {
            Some(Tree::Text(text)) => Some(text.clone()),
            Some(Tree::Number(typed)) => Some(typed.text.clone()),
            _ => None,
        },
    }
}

fn seen(word: &str) -> Seen {
    match word {
        "below" => Seen::Below,
        "above" => Seen::Above,
        _ => Seen::InGlass,
    }
}

fn cock(word: &str) -> Cock {
    match word {
        "water" => Cock::Water,
        "steam" => Cock::Steam,
        _ => Cock::Unclear,
    }
}

/// What a reading, or the reading of a correction, says key by key.
fn patch(r: &Tree) -> Patch {
    let number = |key: &str| match r.get(key) {
        Some(Tree::Number(typed)) => Some(Some(typed.value)),
        Some(Tree::Null) => Some(None),
        _ => None,
    };
    fn word<T>(r: &Tree, key: &str, of: fn(&str) -> T) -> Option<Option<T>> {
        match r.get(key) {
            Some(Tree::Text(text)) => Some(Some(of(text))),
            Some(Tree::Null) => Some(None),
            _ => None,
        }
    }
    Patch {
        pressure_bar: number("pressure_bar"),
        pressure_second_bar: number("pressure_second_bar"),
        level_mm: number("level_mm"),
        level_seen: word(r, "level_seen", seen),
        level_second_mm: number("level_second_mm"),
        level_second_seen: word(r, "level_second_seen", seen),
        cock_top: word(r, "cock_top", cock),
        cock_middle: word(r, "cock_middle", cock),
        cock_bottom: word(r, "cock_bottom", cock),
        water_c: number("water_c"),
        shell_c: number("shell_c"),
        ambient_c: number("ambient_c"),
        tank_c: number("tank_c"),
        bearing_c: number("bearing_c"),
        feed_strokes: number("feed_strokes"),
        feed_tank_ml: number("feed_tank_ml"),
        catch_ml: number("catch_ml"),
        catch_s: number("catch_s"),
        pumped_ml: number("pumped_ml"),
        co_ppm: number("co_ppm"),
        co2_pct: number("co2_pct"),
        rpm: number("rpm"),
        strokes_per_min: number("strokes_per_min"),
        gas_g: number("gas_g"),
        condensate_ml: number("condensate_ml"),
    }
}

fn event_name(word: &str) -> EventName {
    match word {
        "fire-lit" => EventName::FireLit,
        "fire-out" => EventName::FireOut,
        "flame-lost" => EventName::FlameLost,
        "flame-unsteady" => EventName::FlameUnsteady,
        "gas-off" => EventName::GasOff,
        "fired" => EventName::Fired,
        "blower-open" => EventName::BlowerOpen,
        "blower-shut" => EventName::BlowerShut,
        "feed-on" => EventName::FeedOn,
        "feed-off" => EventName::FeedOff,
        "bypass-open" => EventName::BypassOpen,
        "bypass-shut" => EventName::BypassShut,
        "stop-valve-open" => EventName::StopValveOpen,
        "stop-valve-shut" => EventName::StopValveShut,
        "engine-running" => EventName::EngineRunning,
        "engine-stopped" => EventName::EngineStopped,
        "pump-stalled" => EventName::PumpStalled,
        "pump-raced" => EventName::PumpRaced,
        "safety-valve-lifted" => EventName::SafetyValveLifted,
        "safety-valve-reseated" => EventName::SafetyValveReseated,
        "blow-down" => EventName::BlowDown,
        "blow-down-ended" => EventName::BlowDownEnded,
        "glass-blown-through" => EventName::GlassBlownThrough,
        "glass-sluggish" => EventName::GlassSluggish,
        "carry-over" => EventName::CarryOver,
        "water-added" => EventName::WaterAdded,
        "tank-filled" => EventName::TankFilled,
        "tank-empty" => EventName::TankEmpty,
        "drains-open" => EventName::DrainsOpen,
        "drains-shut" => EventName::DrainsShut,
        "lubricator-filled" => EventName::LubricatorFilled,
        "adjusted" => EventName::Adjusted,
        "co-alarm" => EventName::CoAlarm,
        "fumes-noticed" => EventName::FumesNoticed,
        "symptom-felt" => EventName::SymptomFelt,
        "leak-seen" => EventName::LeakSeen,
        "leak-stopped" => EventName::LeakStopped,
        "hold-started" => EventName::HoldStarted,
        "hold-ended" => EventName::HoldEnded,
        "pressure-released" => EventName::PressureReleased,
        "set-measured" => EventName::SetMeasured,
        "look-by-picture" => EventName::LookByPicture,
        _ => EventName::Note,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema::EVENTS;

    #[test]
    fn every_event_of_the_schema_is_known_by_its_own_name() {
        for word in EVENTS {
            assert_eq!(
                *word == "note",
                event_name(word) == EventName::Note,
                "{word}"
            );
        }
    }
}
