//! Procedures: the lists that are gone through in each kind of trial. Shipped as texts, edited by the owner, versioned; a trial
//! keeps the version that it was prepared with.
//!
//! A list runs from one pause to the next and holds at most nine items. Each item is an order with what should be seen
//! then; a must-see item takes an observation, never a bare tick. What is confirmed before the start stands in
//! [`super::holds`].

mod changed;
mod sheet;
mod shut_down;
mod text;

use calc::trial::Fuel;
use records::log::Trial;
use records::{Error, Store, Write, procedures};

pub(in crate::trials) use sheet::routes;
pub(in crate::trials) use shut_down::{ShutDown, shut_down};

use super::holds::MOST;
use super::tree::Tree;

/// What is observed at a must-see item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::trials) enum Observed {
    /// One of these.
    Choice(Vec<String>),
    /// A figure in this unit.
    Figure(String),
}

/// One item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::trials) struct Item {
    pub(in crate::trials) does: String,
    pub(in crate::trials) sees: String,
    pub(in crate::trials) must_see: Option<Observed>,
}

impl Item {
    /// What was seen at it, as it is kept: a must-see item takes an observation, the others take none.
    ///
    /// # Errors
    /// What is wanting.
    pub(in crate::trials) fn observed(&self, typed: &str) -> Result<String, String> {
        match &self.must_see {
            None => Ok(String::new()),
            Some(Observed::Choice(answers)) if answers.iter().any(|a| a == typed) => {
                Ok(typed.to_owned())
            }
            Some(Observed::Choice(_)) => {
                Err("say what you saw, choose one of the answers".to_owned())
            }
            Some(Observed::Figure(unit)) => {
                let bare = typed.strip_suffix(unit.as_str()).unwrap_or(typed);
                Ok(format!("{} {unit}", super::decimal::read(bare)?))
            }
        }
    }
}

/// What a list is for, where it is for one fuel only.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::trials) enum Burns {
    Gas,
    Spirit,
    Coal,
    Electric,
}

impl Burns {
    const ALL: [Self; 4] = [Self::Gas, Self::Spirit, Self::Coal, Self::Electric];

    /// Its word in a procedure's text.
    pub(in crate::trials) const fn word(self) -> &'static str {
        match self {
            Self::Gas => "gas",
            Self::Spirit => "spirit",
            Self::Coal => "coal",
            Self::Electric => "electric",
        }
    }

    fn read(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|b| b.word() == word)
    }

    /// What a fuel is gone about like; what nobody has said is gone about like gas.
    const fn of(fuel: Option<Fuel>) -> Self {
        match fuel {
            Some(Fuel::Spirit) => Self::Spirit,
            Some(Fuel::Coal | Fuel::Charcoal) => Self::Coal,
            Some(Fuel::Electric) => Self::Electric,
            _ => Self::Gas,
        }
    }
}

/// A list, from one pause to the next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::trials) struct List {
    pub(in crate::trials) name: String,
    pub(in crate::trials) title: String,
    /// Read and do, one item at a time; else done, then confirmed as a whole.
    pub(in crate::trials) in_order: bool,
    pub(in crate::trials) burns: Option<Burns>,
    pub(in crate::trials) items: Vec<Item>,
}

impl List {
    /// What its completion call begins with.
    pub(in crate::trials) fn call(&self) -> String {
        let how = if self.in_order {
            "read and done"
        } else {
            "done and confirmed"
        };
        format!("{}: {how}", self.title)
    }
}

/// The procedure that a trial was prepared with.
#[derive(Clone, Debug, Default)]
pub(in crate::trials) struct Procedure {
    lists: Vec<List>,
    /// Its kind, version and the first figures of its SHA-256, in words; empty where a trial names none.
    pub(in crate::trials) called: String,
    /// It was prepared with a text that is not in this book: the shipped lists are shown.
    pub(in crate::trials) is_missing: bool,
}

impl Procedure {
    /// The one that a trial was prepared with: that text, for ever. A trial that names no text has the shipped lists.
    pub(in crate::trials) async fn of(store: &Store, row: &Trial) -> Result<Self, Error> {
        let head = Tree::read(&row.head).unwrap_or_else(|_| Tree::empty());
        let sha256 = head.typed_at("procedure.sha256");
        let (name, version) = (
            head.typed_at("procedure.name"),
            head.typed_at("procedure.version"),
        );
        let shipped = || text::read(&shipped(&row.kind)).unwrap_or_default();
        if sha256.is_empty() {
            let called = if version.is_empty() {
                String::new()
            } else {
                format!("{name}, version {version}")
            };
            return Ok(Self {
                lists: shipped(),
                called,
                is_missing: false,
            });
        }
        let called = format!(
            "{name}, version {version}, SHA-256 {}…",
            sha256.get(..12).unwrap_or(&sha256)
        );
        let kept = procedures::by_content(store, &row.kind, &sha256).await?;
        Ok(match kept.and_then(|p| text::read(&p.text).ok()) {
            Some(lists) => Self {
                lists,
                called,
                is_missing: false,
            },
            None => Self {
                lists: shipped(),
                called,
                is_missing: true,
            },
        })
    }

    /// The lists for a fuel, in their order.
    pub(in crate::trials) fn lists(&self, fuel: Option<Fuel>) -> Vec<&List> {
        let fits = |l: &&List| l.burns.is_none_or(|b| b == Burns::of(fuel));
        self.lists.iter().filter(fits).collect()
    }

    /// A list by its name.
    pub(in crate::trials) fn find(&self, fuel: Option<Fuel>, name: &str) -> Option<&List> {
        self.lists(fuel).into_iter().find(|l| l.name == name)
    }
}

/// What is written into the head of a trial: which procedure it was prepared with.
pub(in crate::trials) struct Prepared {
    pub(in crate::trials) version: i64,
    pub(in crate::trials) sha256: String,
}

/// The newest procedure of a kind: version 1 is the shipped one, whether or not it was written down yet.
pub(in crate::trials) async fn newest(store: &Store, kind: &str) -> Result<Prepared, Error> {
    Ok(match procedures::newest(store, kind).await? {
        Some(p) => Prepared {
            version: p.version,
            sha256: p.sha256,
        },
        None => Prepared {
            version: 1,
            sha256: records::sha256(shipped(kind).as_bytes()),
        },
    })
}

/// Writes the shipped text of a kind down as its version 1, where there is none yet.
pub(in crate::trials) async fn begin(w: &mut Write, kind: &str) -> Result<(), Error> {
    procedures::begin(w, kind, &shipped(kind)).await
}

/// The shipped text of a kind.
pub(in crate::trials) fn shipped(kind: &str) -> String {
    const LIGHTING: &str = include_str!("shipped/lighting-up.txt");
    let parts: &[&str] = match kind {
        "hydraulic" => &[include_str!("shipped/water-test.txt")],
        "air" => &[include_str!("shipped/air-test.txt")],
        "safety-valve" => &[LIGHTING, include_str!("shipped/levelled-out.txt")],
        "feed-pump" => &[include_str!("shipped/catch.txt")],
        "burner" => &[LIGHTING, include_str!("shipped/burning.txt")],
        "engine-run" => &[include_str!("shipped/running-in.txt")],
        _ => &[LIGHTING, include_str!("shipped/blow-down.txt")],
    };
    parts.join("\n")
}

/// Does this begin with what is to be done?
#[cfg(test)]
pub(in crate::trials) fn is_order(words: &str) -> bool {
    const ORDERS: &[&str] = &[
        "Count", "Empty", "Enter", "Feel", "Fill", "Hold", "Lay", "Let", "Lift", "Light", "Look",
        "Measure", "Oil", "Open", "Point", "Press", "Pump", "Put", "Read", "Run", "See", "Set",
        "Shut", "Soap", "Stand", "Stop", "Take", "Tilt", "Turn", "Wait", "Watch", "Weigh",
    ];
    let first = words.split([' ', ',']).next().unwrap_or_default();
    ORDERS.contains(&first) && words.contains(' ')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_text_is_canonical_and_every_item_says_what_to_do_and_see() {
        for kind in triallog::schema::KINDS {
            let text = shipped(kind);
            let lists = text::read(&text).unwrap_or_else(|wrong| panic!("{kind}: {wrong:?}"));
            assert_eq!(text::write(&lists), text, "{kind}");
            let items: Vec<&Item> = lists.iter().flat_map(|l| &l.items).collect();
            for item in &items {
                assert!(is_order(&item.does), "no order: {}", item.does);
            }
            assert!(
                items.iter().any(|i| i.must_see.is_some()),
                "{kind} has nothing that must be seen"
            );
        }
    }

    #[test]
    fn each_fuel_has_one_way_of_lighting_up_and_it_is_read_and_done() {
        let lists = text::read(&shipped("steam")).unwrap_or_default();
        let procedure = Procedure {
            lists,
            ..Procedure::default()
        };
        for (fuel, first) in [
            (None, "lighting-up-gas"),
            (Some(Fuel::Butane), "lighting-up-gas"),
            (Some(Fuel::Spirit), "lighting-up-spirit"),
            (Some(Fuel::Charcoal), "lighting-up-coal-or-charcoal"),
            (Some(Fuel::Electric), "switching-on"),
        ] {
            let all = procedure.lists(fuel);
            let names: Vec<&str> = all.iter().map(|l| l.name.as_str()).collect();
            assert_eq!(names, [first, "blow-down"]);
            assert!(all.iter().all(|l| l.in_order));
        }
        assert!(
            procedure
                .find(Some(Fuel::Spirit), "lighting-up-gas")
                .is_none()
        );
    }
}
