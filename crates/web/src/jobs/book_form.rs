//! Booking a job in: the plant may be one that was here before, or new, and so may its customer.

use records::customers::{self, Customer, NewCustomer};
use records::jobs::{Job, NewJob};
use records::plants::{self, NewPlant, Plant};
use records::{CustomerId, Day, Error, PlantId, Write};
use serde::Deserialize;

use super::form::JobForm;
use crate::customers::WaysForm;
use crate::form::{Faults, Field, Pick, Reader};
use crate::jobs::WhichPlant;

/// Booking a job in: the plant may be new, and so may its customer.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct BookForm {
    pub(super) plant: String,
    plant_name: String,
    boiler_mark: String,
    pub(super) customer: String,
    customer_name: String,
    #[serde(flatten)]
    ways: WaysForm,
    agreed: String,
    words: String,
    condition: String,
    contents: String,
    came_in_on: String,
    promised_on: String,
    next_time: String,
    return_of: String,
    came_back: String,
    back_through: String,
    back_charged: String,
    steam_to_bar: String,
    estimate: String,
    /// Of which plant it was asked whether this is a return; empty where the form was not ours.
    asked_of: String,
}

/// No plant was chosen yet when the form was shown.
const NOBODY: &str = "none";
/// What is asked of a return stands right under the plant.
const OF_A_RETURN: [&str; 5] = [
    "the-return",
    "return_of",
    "came_back",
    "back_through",
    "back_charged",
];

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

    /// The plant that is chosen.
    pub(crate) fn plant(&self) -> Option<PlantId> {
        self.plant.trim().parse().ok().map(PlantId::new)
    }

    /// Whether the plant was chosen only on the form that is sent, so that nobody was asked yet if it is a return.
    pub(crate) fn must_ask(&self) -> Option<PlantId> {
        let asked = self.asked_of.is_empty() || self.asked_of == self.plant.trim();
        self.plant().filter(|_| !asked)
    }

    /// The lines; `earlier` are the jobs of the plant that is chosen. Of a known plant nothing is asked that is known.
    pub(crate) fn fields(
        &self,
        plants: &[Plant],
        customers: &[Customer],
        earlier: &[Job],
    ) -> Vec<Field> {
        let words = |p: &Plant| format!("{}, {}", p.name, p.customer);
        let chosen = plants.iter().find(|p| Some(p.id) == self.plant());
        let mut known = match chosen {
            Some(_) => Vec::new(),
            None => vec![Pick::new("", "a new plant, written below")],
        };
        known.extend(plants.iter().map(|p| Pick::new(p.id, words(p))));
        let plant = Field::new("pick", "plant", "Plant", &self.plant).picks(known);
        let head = Field::new("head", "the-plant", "The plant", "");
        let job = self.job().fields(earlier, None).into_iter();
        let (of_a_return, job): (Vec<Field>, Vec<Field>) = job
            .filter(|f| f.id != "private_note")
            .partition(|f| OF_A_RETURN.contains(&f.id));
        let mut fields = vec![head, plant];
        match chosen {
            Some(_) => fields.extend(of_a_return),
            None => fields.extend(self.new_fields(customers)),
        }
        fields.push(Field::new("head", "the-job", "The job", ""));
        fields.extend(job);
        let asked = chosen.map_or_else(|| NOBODY.to_owned(), |plant| plant.id.to_string());
        fields.push(Field::new("hidden", "asked_of", "", &asked));
        fields
    }

    /// What is asked of a new plant, and of its customer.
    fn new_fields(&self, customers: &[Customer]) -> Vec<Field> {
        let mut whose = vec![Pick::new("", "a new customer, written below")];
        whose.extend(customers.iter().map(|c| Pick::new(c.id, c.name.clone())));
        let mut fields = vec![
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
            Field::new("head", "the-customer", "The customer", "").hint("only a new one"),
            Field::new(
                "text",
                "customer_name",
                "New customer's name",
                &self.customer_name,
            ),
        ];
        fields.extend(self.ways.fields());
        fields.push(
            Field::new("tick", "agreed", "Pictures", &self.agreed)
                .hint("a new customer agreed that pictures are put up for them"),
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
            return_of: form.return_of,
            came_back: form.came_back,
            back_through: form.back_through,
            back_charged: form.back_charged,
            steam_to_bar: form.steam_to_bar,
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
                ways: self.ways.read(read),
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
