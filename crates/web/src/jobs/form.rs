//! The forms of a job: booking in, and changing.

use records::customers::{self, Customer, NewCustomer};
use records::jobs::{Job, NewJob};
use records::plants::{self, NewPlant, Plant};
use records::{CustomerId, Day, Error, JobId, PlantId, Write};
use serde::Deserialize;

use crate::form::{Faults, Field, Pick, Reader};
use crate::jobs::WhichPlant;
use crate::show::typed_pounds;

/// What is written of a job, as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct JobForm {
    words: String,
    condition: String,
    contents: String,
    came_in_on: String,
    promised_on: String,
    next_time: String,
    return_of: String,
    estimate: String,
    private_note: String,
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
        let returns: Vec<&Job> = earlier.iter().filter(|j| Some(j.id) != own).collect();
        if !returns.is_empty() {
            let mut picks = vec![Pick::new("", "a job of its own")];
            picks.extend(returns.into_iter().map(|j| Pick::new(j.id, j.number())));
            fields
                .push(Field::new("pick", "return_of", "A return of", &self.return_of).picks(picks));
        }
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
        fields
    }

    pub(crate) fn read(&self) -> Result<NewJob, Faults> {
        let mut read = Reader::default();
        let job = self.read_with(&mut read);
        read.done(job)
            .and_then(|job| job.ok_or_else(Faults::default))
    }

    /// Reads with a reader that has read other fields already. `None` only together with a fault.
    fn read_with(&self, read: &mut Reader) -> Option<NewJob> {
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
            estimate_pence,
            private_note,
        })
    }
}

/// Booking a job in: the plant may be new, and so may its customer.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct BookForm {
    plant: String,
    plant_name: String,
    boiler_mark: String,
    customer: String,
    customer_name: String,
    reach: String,
    agreed: String,
    words: String,
    condition: String,
    contents: String,
    came_in_on: String,
    promised_on: String,
    next_time: String,
    estimate: String,
}

/// A plant that has to be written down first.
#[derive(Clone, Debug)]
pub(crate) struct PlantToMake {
    name: String,
    boiler_mark: String,
    customer: Result<CustomerId, NewCustomer>,
}

/// A booking as read.
pub(crate) struct Booking {
    pub(crate) plant: WhichPlant,
    pub(crate) job: NewJob,
}

impl BookForm {
    /// An empty form for a day, perhaps for a known plant.
    pub(crate) fn on(day: &str, plant: String) -> Self {
        Self {
            plant,
            came_in_on: day.to_owned(),
            ..Self::default()
        }
    }

    pub(crate) fn fields(&self, plants: &[Plant], customers: &[Customer]) -> Vec<Field> {
        let mut known = vec![Pick::new("", "a new plant, written below")];
        known.extend(
            plants
                .iter()
                .map(|p| Pick::new(p.id, format!("{}, {}", p.name, p.customer))),
        );
        let mut whose = vec![Pick::new("", "a new customer, written below")];
        whose.extend(customers.iter().map(|c| Pick::new(c.id, c.name.clone())));
        let mut fields = vec![
            Field::new("head", "the-plant", "The plant", "")
                .hint("one that has been here before, or a new one"),
            Field::new("pick", "plant", "Plant", &self.plant).picks(known),
            Field::new("text", "plant_name", "New plant's name", &self.plant_name)
                .hint("only for a new plant"),
            Field::new(
                "text",
                "boiler_mark",
                "Mark on its boiler",
                &self.boiler_mark,
            )
            .hint("only for a new plant; may stay empty"),
            Field::new("pick", "customer", "New plant's customer", &self.customer).picks(whose),
            Field::new(
                "text",
                "customer_name",
                "New customer's name",
                &self.customer_name,
            )
            .hint("only for a new customer"),
            Field::new("long", "reach", "Ways to reach them", &self.reach)
                .hint("one a line; only for a new customer"),
            Field::new("tick", "agreed", "Pictures", &self.agreed)
                .hint("a new customer agreed that pictures are put up for them"),
            Field::new("head", "the-job", "The job", ""),
        ];
        let job = self.job();
        fields.extend(
            job.fields(&[], None)
                .into_iter()
                .filter(|f| f.id != "private_note"),
        );
        fields
    }

    fn job(&self) -> JobForm {
        let form = self.clone();
        JobForm {
            words: form.words,
            condition: form.condition,
            contents: form.contents,
            came_in_on: form.came_in_on,
            promised_on: form.promised_on,
            next_time: form.next_time,
            estimate: form.estimate,
            ..JobForm::default()
        }
    }

    pub(crate) fn read(&self) -> Result<Booking, Faults> {
        let mut read = Reader::default();
        let plant = match read.row("plant", &self.plant) {
            Some(id) => Ok(PlantId::new(id)),
            None => Err(self.read_plant(&mut read)),
        };
        let job = self.job().read_with(&mut read);
        read.done(job)
            .and_then(|job| job.ok_or_else(Faults::default))
            .map(|job| Booking { plant, job })
    }

    fn read_plant(&self, read: &mut Reader) -> PlantToMake {
        let name = read.needed(
            "plant_name",
            &self.plant_name,
            "Choose a plant above, or give the new plant's name.",
        );
        let boiler_mark = read.words("boiler_mark", &self.boiler_mark);
        let customer = match read.row("customer", &self.customer) {
            Some(id) => Ok(CustomerId::new(id)),
            None => Err(NewCustomer {
                name: read.needed(
                    "customer_name",
                    &self.customer_name,
                    "Choose a customer above, or give the new customer's name.",
                ),
                reach: read.words("reach", &self.reach),
                pictures_agreed_on: (self.agreed == "yes")
                    .then(|| Day::read(&self.came_in_on))
                    .flatten(),
                pictures_agreed_how: if self.agreed == "yes" {
                    "said so when it was brought".to_owned()
                } else {
                    String::new()
                },
                ..NewCustomer::default()
            }),
        };
        PlantToMake {
            name,
            boiler_mark,
            customer,
        }
    }
}

/// Writes a new plant down, and its customer where that is new too.
pub(crate) async fn make_plant(w: &mut Write, new: PlantToMake) -> Result<PlantId, Error> {
    let customer_id = match new.customer {
        Ok(known) => known,
        Err(customer) => customers::make(w, &customer).await?,
    };
    let plant = NewPlant {
        name: new.name,
        customer_id,
        boiler_mark: new.boiler_mark,
        note: String::new(),
    };
    plants::make(w, &plant).await
}
