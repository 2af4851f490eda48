//! What was given to a reckoner, read and found good.

use calc::Unusable;
use calc::quantity::{Absolute, Gauge, Temperature};

/// One value.
#[derive(Clone, Debug, PartialEq)]
pub enum Got {
    /// A number.
    Number(f64),
    /// `true` or `false`.
    Truth(bool),
    /// A word of the field's list.
    Word(&'static str),
    /// Numbers in order.
    Numbers(Vec<f64>),
    /// Readings in order.
    Readings(Vec<calc::trend::Seen>),
    /// Intervals in order.
    Intervals(Vec<Option<(f64, f64)>>),
    /// Rows of a table.
    Table(Vec<(f64, f64)>),
    /// Limits by their keys.
    Limits(Vec<(&'static str, f64)>),
}

/// Everything that was given or assumed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Given {
    /// By field.
    pub(crate) values: Vec<(&'static str, Got)>,
    /// What was assumed because it was left out, in words.
    pub(crate) assumed: Vec<String>,
}

impl Given {
    fn get(&self, name: &str) -> Option<&Got> {
        self.values.iter().find(|(n, _)| *n == name).map(|(_, v)| v)
    }

    /// The number, or the refusal that nothing is proven without it.
    pub(crate) fn n(&self, field: &'static str) -> Result<f64, Unusable> {
        self.maybe(field).ok_or(Unusable::Missing { field })
    }

    /// The number, where there is one.
    pub(crate) fn maybe(&self, field: &str) -> Option<f64> {
        match self.get(field)? {
            Got::Number(value) => Some(*value),
            _ => None,
        }
    }

    /// Bar on a gauge.
    pub(crate) fn gauge(&self, field: &'static str) -> Result<Gauge, Unusable> {
        self.n(field).map(Gauge::from_bar)
    }

    /// Degrees Celsius.
    pub(crate) fn celsius(&self, field: &'static str) -> Result<Temperature, Unusable> {
        self.n(field).map(Temperature::from_celsius)
    }

    /// Degrees Celsius, where they were read.
    pub(crate) fn maybe_celsius(&self, field: &str) -> Option<Temperature> {
        self.maybe(field).map(Temperature::from_celsius)
    }

    /// A barometer in hPa.
    pub(crate) fn barometer(&self, field: &'static str) -> Result<Absolute, Unusable> {
        self.n(field).map(Absolute::from_hectopascals)
    }

    /// True or false, where it was said.
    pub(crate) fn truth(&self, field: &str) -> Option<bool> {
        match self.get(field)? {
            Got::Truth(value) => Some(*value),
            _ => None,
        }
    }

    /// A word, where it was said.
    pub(crate) fn word(&self, field: &str) -> Option<&'static str> {
        match self.get(field)? {
            Got::Word(value) => Some(value),
            _ => None,
        }
    }

    /// A list of numbers.
    pub(crate) fn numbers(&self, field: &'static str) -> Result<&[f64], Unusable> {
        match self.get(field) {
            Some(Got::Numbers(list)) => Ok(list),
            _ => Err(Unusable::Missing { field }),
        }
    }

    /// A list of readings.
    pub(crate) fn readings(&self, field: &'static str) -> Result<&[calc::trend::Seen], Unusable> {
        match self.get(field) {
            Some(Got::Readings(list)) => Ok(list),
            _ => Err(Unusable::Missing { field }),
        }
    }

    /// A list of intervals.
    pub(crate) fn intervals(&self, field: &'static str) -> Result<&[Option<(f64, f64)>], Unusable> {
        match self.get(field) {
            Some(Got::Intervals(list)) => Ok(list),
            _ => Err(Unusable::Missing { field }),
        }
    }

    /// A table, or the tubes as (outside diameter, height).
    pub(crate) fn table(&self, field: &'static str) -> Result<&[(f64, f64)], Unusable> {
        match self.get(field) {
            Some(Got::Table(list)) => Ok(list),
            _ => Err(Unusable::Missing { field }),
        }
    }

    /// One of a field's limits, where it was given.
    pub(crate) fn limit(&self, field: &str, key: &str) -> Option<f64> {
        match self.get(field)? {
            Got::Limits(list) => list.iter().find(|(k, _)| *k == key).map(|(_, v)| *v),
            _ => None,
        }
    }
}
