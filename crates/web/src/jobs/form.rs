//! The form of a job: what is written of it, when it is booked in and when it is changed.

use records::JobId;
use records::jobs::{BACK_CHARGED, BACK_THROUGH, Back, Job, NewJob};
use serde::Deserialize;

use crate::form::{Faults, Field, Pick, Reader};
use crate::show::typed_pounds;
use crate::trials::decimal;

/// What is written of a job, as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct JobForm {
    pub(super) words: String,
    pub(super) condition: String,
    pub(super) contents: String,
    pub(super) came_in_on: String,
    pub(super) promised_on: String,
    pub(super) next_time: String,
    pub(super) return_of: String,
    pub(super) came_back: String,
    pub(super) back_through: String,
    pub(super) back_charged: String,
    pub(super) steam_to_bar: String,
    pub(super) estimate: String,
    pub(super) private_note: String,
}

impl JobForm {
    /// What is stored, as it would be typed.
    pub(crate) fn of(job: &Job) -> Self {
        Self {
            words: job.words.clone(),
            condition: job.condition.clone(),
            contents: job.contents.clone(),
            came_in_on: job.came_in_on.iso().to_owned(),
            promised_on: job
                .promised_on
                .as_ref()
                .map_or_else(String::new, |d| d.iso().to_owned()),
            next_time: job.next_time.clone(),
            return_of: job.return_of.map_or_else(String::new, |r| r.to_string()),
            came_back: job.came_back.clone(),
            back_through: job.back_through.clone().unwrap_or_default(),
            back_charged: job.back_charged.clone().unwrap_or_default(),
            steam_to_bar: job.steam_to_bar.clone(),
            estimate: typed_pounds(job.estimate_pence),
            private_note: job.private_note.clone(),
        }
    }

    /// The lines of the form; `earlier` are the plant's jobs, of which it may be a return.
    pub(crate) fn fields(&self, earlier: &[Job], own: Option<JobId>) -> Vec<Field> {
        let mut fields = vec![
            Field::new("long", "words", "The customer's own words", &self.words)
                .hint("as they were said or written"),
            Field::new("long", "condition", "Condition on arrival", &self.condition),
            Field::new("long", "contents", "What came with it", &self.contents)
                .hint("a line a piece makes a list on the receipt"),
            Field::new("date", "came_in_on", "Came in", &self.came_in_on),
            Field::new("date", "promised_on", "Promised for", &self.promised_on)
                .hint("may stay empty"),
            Field::new("text", "next_time", "Next time", &self.next_time)
                .hint("what to do first at the next sitting"),
        ];
        fields.push(
            Field::new(
                "number",
                "steam_to_bar",
                "May be steamed up to",
                &self.steam_to_bar,
            )
            .hint("gauge, as the customer agreed; 0: not at all; empty: nothing was said")
            .unit("bar"),
        );
        fields.extend([
            Field::new(
                "number",
                "estimate",
                "Estimate, the one sum named",
                &self.estimate,
            )
            .hint("hours, parts and what it takes for granted: on the estimate's own page")
            .money(),
            Field::new("long", "private_note", "Private note", &self.private_note)
                .hint("never shown to the customer"),
        ]);
        let returns: Vec<&Job> = earlier.iter().filter(|j| Some(j.id) != own).collect();
        fields.extend(self.return_fields(&returns));
        fields
    }

    /// What is asked of a plant that was here before.
    fn return_fields(&self, returns: &[&Job]) -> Vec<Field> {
        if returns.is_empty() {
            return Vec::new();
        }
        let mut picks = vec![Pick::new("", "a job of its own")];
        picks.extend(returns.iter().map(|j| {
            Pick::new(
                j.id,
                format!("{}, came in {}", j.number(), j.came_in_on.full()),
            )
        }));
        let or_not = |words: &[&str]| {
            let mut picks = vec![Pick::new("", "not settled yet")];
            picks.extend(Pick::words(words));
            picks
        };
        vec![
            Field::new("head", "the-return", "It was here before", ""),
            Field::new("pick", "return_of", "A return of", &self.return_of).picks(picks),
            Field::new("text", "came_back", "What came back", &self.came_back)
                .hint("what was put right and is wrong again; may stay empty"),
            Field::new("pick", "back_through", "Through", &self.back_through)
                .picks(or_not(&BACK_THROUGH)),
            Field::new("pick", "back_charged", "Charged", &self.back_charged)
                .picks(or_not(&BACK_CHARGED)),
        ]
    }

    /// What is said of a return; nothing may be said of a job that is none.
    fn read_back(&self, read: &mut Reader) -> Back {
        let mut one_of = |field: &str, typed: &str, all: &[&str]| {
            (!typed.is_empty()).then(|| read.one_of(field, typed, all))
        };
        let through = one_of("back_through", &self.back_through, &BACK_THROUGH);
        let charged = one_of("back_charged", &self.back_charged, &BACK_CHARGED);
        let back = Back {
            what: read.words("came_back", &self.came_back),
            through,
            charged,
        };
        if self.return_of.trim().is_empty() && back != Back::default() {
            read.fault("return_of", "Choose the job that it is a return of.");
        }
        back
    }

    /// A pressure that may be left out.
    fn read_steam_to(&self, read: &mut Reader) -> String {
        let typed = self.steam_to_bar.trim();
        match decimal::read_positive(typed) {
            _ if typed.is_empty() => String::new(),
            Ok(figure) => figure,
            Err(says) => {
                read.fault("steam_to_bar", says);
                String::new()
            }
        }
    }

    pub(crate) fn read(&self) -> Result<NewJob, Faults> {
        let mut read = Reader::default();
        let job = self.read_with(&mut read);
        read.done(job)
            .and_then(|job| job.ok_or_else(Faults::default))
    }

    /// Reads with a reader that has read other fields already. `None` only together with a fault.
    pub(super) fn read_with(&self, read: &mut Reader) -> Option<NewJob> {
        let words = read.words("words", &self.words);
        let condition = read.words("condition", &self.condition);
        let contents = read.words("contents", &self.contents);
        let came_in_on = read.needed_day("came_in_on", &self.came_in_on);
        let promised_on = read.day("promised_on", &self.promised_on);
        if let (Some(came), Some(promised)) = (&came_in_on, &promised_on)
            && promised < came
        {
            read.fault(
                "promised_on",
                format!("It came in on {}: promise a later day.", came.full()),
            );
        }
        let next_time = read.words("next_time", &self.next_time);
        let return_of = read.row("return_of", &self.return_of).map(JobId::new);
        let (back, steam_to_bar) = (self.read_back(read), self.read_steam_to(read));
        let estimate_pence = read.money("estimate", &self.estimate);
        let private_note = read.words("private_note", &self.private_note);
        Some(NewJob {
            words,
            condition,
            contents,
            came_in_on: came_in_on?,
            promised_on,
            next_time,
            return_of,
            back,
            steam_to_bar,
            estimate_pence,
            private_note,
        })
    }
}
