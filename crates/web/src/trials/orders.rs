//! What a flag is called, in large letters, and the order in which flags come.
//!
//! What to do is the flag's own (`todo`); here are only the words that can be read from three metres.

/// The large words of a stop: a first line, and a second under it.
pub(super) struct Shout {
    pub(super) first: &'static str,
    pub(super) second: &'static str,
    /// Are they the two largest sizes (four short words), or a longer sentence?
    pub(super) huge: bool,
}

/// What a stop shouts.
///
/// With the water out of sight no other stop is shouted, so that nothing near those words says *feed*.
pub(super) fn shout(rule: &str, has_fire: bool) -> Shout {
    let (first, second, huge) = match rule {
        "not-cleared-for-pressure" if !has_fire => ("AIR OFF", "No water test in date", false),
        "check-missed" if !has_fire => ("HOLD", "Pressure before the checks", false),
        "over-target" => ("LET IT DOWN", "Over what it may bear", false),
        "trapped-air" => ("STAND CLEAR", "Air left in the shell", false),
        "water-out-of-sight" => ("FIRE OUT", "DO NOT FEED", true),
        "water-below-mark" => ("FIRE OUT", "Water at or under the low mark", false),
        "water-falling" => ("LOOK NOW", "The water is falling", false),
        "water-unseen" => ("FIRE OUT", "The water cannot be seen", false),
        "glass-suspect" => ("FIRE OUT", "The glass may lie", false),
        "glasses-disagree" => ("FIRE OUT", "The glasses disagree", false),
        "pressure-high" => ("FIRE OUT", "Pressure over", false),
        "safety-valve-silent" => ("IS IT BLOWING?", "Look at the safety valve", false),
        "carbon-monoxide" => ("ALL OUT", "To fresh air, first", false),
        "poor-combustion" => ("FIRE OUT", "The flame makes poison", false),
        "leak-seen" => ("STAND BACK", "Leak", false),
        "flame-lost" => ("GAS OFF", "The flame is lost", false),
        "over-speed" => ("SHUT STEAM", "Too fast", false),
        "reading-overdue" => ("LOOK NOW", "Nobody has looked", false),
        "not-cleared-for-pressure" => ("FIRE OUT", "No water test in date", false),
        "check-missed" => ("HOLD", "Lit before the checks", false),
        "no-limit-known" => ("HOLD", "No working pressure known", false),
        _ => ("STOP", "", false),
    };
    Shout {
        first,
        second,
        huge,
    }
}

/// What a flag is about, in a few words.
pub(crate) fn about(rule: &str) -> String {
    let words = match rule {
        "water-out-of-sight" => "Water out of sight",
        "water-below-mark" => "Water at or under the low mark",
        "water-falling" => "The water is falling",
        "water-unseen" => "The water cannot be seen",
        "glass-suspect" => "The glass may lie",
        "glasses-disagree" => "The glasses disagree",
        "water-over-mark" => "Water over the high mark",
        "feed-not-gaining" => "The feed is not gaining",
        "feed-tank-low" => "The feed tank is low",
        "pressure-high" => "Pressure over",
        "safety-valve-silent" => "The safety valve is silent",
        "valve-not-reseating" => "The safety valve does not shut",
        "reading-overdue" => "Look at the glass",
        "carbon-monoxide" => "Carbon monoxide",
        "poor-combustion" => "The flame makes poison",
        "flame-lost" => "The flame is lost",
        "over-speed" => "Too fast",
        "not-cleared-for-pressure" => "Not cleared for pressure",
        "over-target" => "Over what it may bear",
        "trapped-air" => "Air left in the shell",
        "pressure-falling" => "The pressure is falling",
        "temperature-drift" => "The temperature drifts",
        "gauge-too-coarse" => "The gauge is too coarse",
        "gauges-disagree" => "The gauges disagree",
        "gauge-out-of-date" => "A gauge is out of date",
        "leak-seen" => "Leak seen",
        "check-missed" => "A check was missed",
        "no-limit-known" => "No working pressure known",
        other => return other.replace('-', " "),
    };
    words.to_owned()
}

/// Rank of a flag among those of one severity: the water is always first.
pub(super) fn rank(rule: &str) -> u8 {
    match rule {
        "water-out-of-sight" => 0,
        "water-below-mark" => 1,
        "carbon-monoxide" => 2,
        "leak-seen" => 3,
        "water-falling" => 4,
        "water-unseen" | "glass-suspect" | "glasses-disagree" => 5,
        "pressure-high" | "over-target" | "trapped-air" => 6,
        "safety-valve-silent" => 7,
        "flame-lost" | "poor-combustion" => 8,
        "reading-overdue" => 9,
        "over-speed" => 10,
        _ => 11,
    }
}

/// Is this flag about the water or the look at it?
pub(super) fn is_about_water(rule: &str) -> bool {
    rule.starts_with("water-")
        || matches!(
            rule,
            "glass-suspect" | "glasses-disagree" | "feed-not-gaining" | "reading-overdue"
        )
}

/// Which lane of the chart a flag is drawn in.
pub(super) fn lane(rule: &str) -> papers::Lane {
    match rule {
        "pressure-high"
        | "safety-valve-silent"
        | "valve-not-reseating"
        | "gauges-disagree"
        | "no-limit-known"
        | "not-cleared-for-pressure"
        | "over-speed"
        | "over-target"
        | "trapped-air"
        | "pressure-falling"
        | "temperature-drift"
        | "gauge-too-coarse"
        | "gauge-out-of-date" => papers::Lane::Pressure,
        "carbon-monoxide" | "poor-combustion" | "flame-lost" => papers::Lane::CarbonMonoxide,
        _ => papers::Lane::Water,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_stop_shouts_feed_but_to_forbid_it() {
        let rules = [
            "water-out-of-sight",
            "water-below-mark",
            "water-falling",
            "water-unseen",
            "glass-suspect",
            "glasses-disagree",
            "pressure-high",
            "safety-valve-silent",
            "carbon-monoxide",
            "leak-seen",
            "reading-overdue",
        ];
        for rule in rules {
            let shout = shout(rule, true);
            let words = format!("{} {}", shout.first, shout.second).to_uppercase();
            assert!(
                !words.contains("FEED") || words.contains("DO NOT FEED"),
                "{rule}: {words}"
            );
        }
    }

    #[test]
    fn water_comes_before_everything() {
        assert!(rank("water-out-of-sight") < rank("carbon-monoxide"));
        assert!(rank("water-below-mark") < rank("pressure-high"));
    }
}
