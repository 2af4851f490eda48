//! Why a reckoner would not answer.

use std::fmt;

use calc::Unusable;
use calc::answer::Finding;

use super::{Form, all};
use crate::check::nearest;
use crate::tree::quoted;

/// One reason.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// A code that stays the same from version to version.
    pub code: String,
    /// The field; empty for the whole.
    pub field: String,
    /// What is wrong and how to mend it.
    pub says: String,
    /// Stop or not proven, where it is more than a slip.
    pub finding: Option<Finding>,
}

/// Everything that is wrong with what was asked; the first reason gives the code.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused {
    reasons: Vec<Reason>,
}

impl Refused {
    pub(crate) fn one(code: &str, field: &str, says: impl Into<String>) -> Self {
        Self::all(vec![Reason {
            code: code.to_owned(),
            field: field.to_owned(),
            says: says.into(),
            finding: None,
        }])
    }

    pub(crate) fn all(reasons: Vec<Reason>) -> Self {
        Self { reasons }
    }

    pub(crate) fn unknown_reckoner(name: &str) -> Self {
        let near = nearest(name, all().map(|r| r.name));
        let hint = near.map_or_else(String::new, |near| format!("; {near}?"));
        let short: String = name.chars().take(60).collect();
        Self::one(
            "unknown_reckoner",
            "",
            format!("there is no reckoner {short:?}{hint}"),
        )
    }

    /// What a calculation refused, a field's own code going before the general one.
    pub(crate) fn by(unusable: &Unusable, form: &Form) -> Self {
        let field = unusable.field();
        let own = form
            .inputs
            .iter()
            .find(|i| i.name == field)
            .and_then(|i| i.code)
            .filter(|_| matches!(unusable, Unusable::OutOfRange { .. }));
        Self::all(vec![Reason {
            code: own.map_or_else(|| unusable.code().into_owned(), str::to_owned),
            field: field.to_owned(),
            says: unusable.to_string(),
            finding: unusable.finding(),
        }])
    }

    /// The code of the first reason.
    pub fn code(&self) -> &str {
        self.reasons.first().map_or("refused", |r| &r.code)
    }

    /// Every reason, in the order of the fields.
    pub fn reasons(&self) -> &[Reason] {
        &self.reasons
    }

    /// As JSON: `error`, `says`, `field`, `verdict` where it is more than a slip, and `faults` where
    /// there are several.
    pub fn json(&self) -> String {
        let mut lines = Vec::new();
        let Some(first) = self.reasons.first() else {
            return "{\"error\": \"refused\"}".to_owned();
        };
        lines.push(format!("  \"error\": {}", quoted(&first.code)));
        lines.push(format!("  \"says\": {}", quoted(&first.says)));
        lines.push(format!("  \"field\": {}", quoted(&first.field)));
        if let Some(finding) = first.finding {
            lines.push(format!("  \"verdict\": {}", quoted(finding.word())));
        }
        if self.reasons.len() > 1 {
            let each: Vec<String> = self
                .reasons
                .iter()
                .map(|r| {
                    format!(
                        "    {{\"error\": {}, \"says\": {}, \"field\": {}}}",
                        quoted(&r.code),
                        quoted(&r.says),
                        quoted(&r.field)
                    )
                })
                .collect();
            lines.push(format!("  \"faults\": [\n{}\n  ]", each.join(",\n")));
        }
        format!("{{\n{}\n}}", lines.join(",\n"))
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let says: Vec<&str> = self.reasons.iter().map(|r| r.says.as_str()).collect();
        f.write_str(&says.join("\n"))
    }
}

impl std::error::Error for Refused {}
