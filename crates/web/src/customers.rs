//! Customers: the list, one customer's sheet, and erasing what is known of them.

mod ways;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::change::Subject;
use records::customers::{self, Customer, NewCustomer};
use records::plants::{self, Plant};
use records::{CustomerId, Error, Write, fresh_key};
use serde::Deserialize;

use crate::desk::Desk;
use crate::form::{Faults, Field, Posted, Reader};
use crate::form_page::FormPage;
use crate::layout::Layout;
use crate::paging::{LINES, Paging, asked};
use crate::problem::{Problem, page, refused, see};
use crate::put_back::{Kept, Way};

pub(crate) use ways::{WaysForm, link};

/// Every address that is about customers.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/customers", get(list).post(create))
        .route("/customers/new", get(fresh))
        .route("/customers/{id}", get(show).post(update))
        .route("/customers/{id}/change", get(change))
        .route("/customers/{id}/erase", post(erase))
}

#[derive(Template)]
#[template(path = "customers/list.html")]
struct CustomerList {
    layout: Layout,
    customers: Vec<Customer>,
    paging: Paging,
}

/// Where the list goes on: behind the customer of this row.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Behind {
    behind: Option<i64>,
}

#[derive(Template)]
#[template(path = "customers/show.html")]
struct CustomerSheet {
    layout: Layout,
    customer: Customer,
    plants: Vec<Plant>,
    key: String,
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct CustomerForm {
    name: String,
    #[serde(flatten)]
    ways: WaysForm,
    note: String,
    agreed_on: String,
    agreed_how: String,
}

impl CustomerForm {
    fn of(known: &Customer) -> Self {
        Self {
            name: known.name.clone(),
            ways: WaysForm::of(&known.ways),
            note: known.note.clone(),
            agreed_on: known
                .pictures_agreed_on
                .as_ref()
                .map_or_else(String::new, |d| d.iso().to_owned()),
            agreed_how: known.pictures_agreed_how.clone(),
        }
    }

    fn read(&self) -> Result<NewCustomer, Faults> {
        let mut read = Reader::default();
        let new = NewCustomer {
            name: read.needed("name", &self.name, "Give the customer's name."),
            ways: self.ways.read(&mut read),
            note: read.words("note", &self.note),
            pictures_agreed_on: read.day("agreed_on", &self.agreed_on),
            pictures_agreed_how: read.words("agreed_how", &self.agreed_how),
        };
        read.done(new)
    }
}

/// What of a customer can be put back as it was.
pub(crate) const WAYS: &[Way] = &[Way::by::<CustomerForm>(Subject::Customer)];

impl Kept for CustomerForm {
    type Row = Customer;
    type New = NewCustomer;

    const WRITES: &'static [&'static str] = &[
        "name",
        "reach",
        "note",
        "pictures_agreed_on",
        "pictures_agreed_how",
        "telephone",
        "email",
        "letter",
        "prefers",
    ];

    async fn find(desk: &Desk, id: i64) -> Result<Customer, Error> {
        customers::find(desk.store(), CustomerId::new(id)).await
    }

    fn written(row: &Customer) -> Result<Self::New, Faults> {
        Self::of(row).read()
    }

    async fn change(w: &mut Write, id: i64, new: &Self::New) -> Result<(), Error> {
        customers::change(w, CustomerId::new(id), new).await
    }
}

async fn form_page(
    desk: &Desk,
    known: Option<&Customer>,
    form: &CustomerForm,
) -> Result<FormPage, Problem> {
    let mut fields = vec![Field::new("text", "name", "Name", &form.name)];
    fields.extend(form.ways.fields());
    fields.extend([
        Field::new(
            "date",
            "agreed_on",
            "Agreed to pictures on",
            &form.agreed_on,
        )
        .hint("pictures are put up for them only then; empty while they have not agreed"),
        Field::new("text", "agreed_how", "How they agreed", &form.agreed_how)
            .hint("by letter, on the receipt …"),
        Field::new("long", "note", "Private note", &form.note).hint("never shown to the customer"),
    ]);
    let (title, action) = match known {
        None => ("A new customer", "/customers".to_owned()),
        Some(c) => ("Change the customer", format!("/customers/{}", c.id)),
    };
    let layout = desk.layout(title, "jobs").await?;
    let back = action.clone();
    let page = FormPage::fresh(layout, fields, action, "Save", back);
    Ok(match known {
        Some(c) => {
            page.withdrawable("customer", c.id.get(), c.withdrawn_at.is_some())
                .with_changes(desk)
                .await?
        }
        None => page,
    })
}

async fn list(
    State(desk): State<Desk>,
    Query(query): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let last = match query.behind {
        Some(id) => Some(customers::find(desk.store(), CustomerId::new(id)).await?),
        None => None,
    };
    let after = last.as_ref().map(|c| (c.name.as_str(), c.id));
    let mut customers = customers::list(desk.store(), after, asked(LINES)).await?;
    let on = |c: &Customer| format!("/customers?behind={}", c.id);
    let paging = Paging::cut(&mut customers, LINES, "Further on by name", on).begins(
        last.is_some(),
        "/customers",
        "From the beginning",
    );
    page(&CustomerList {
        layout: desk.layout("Customers", "jobs").await?,
        customers,
        paging,
    })
}

async fn show(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let customer = customers::find(desk.store(), CustomerId::new(id)).await?;
    let plants = plants::of_customer(desk.store(), customer.id).await?;
    page(&CustomerSheet {
        layout: desk.layout(&customer.name, "jobs").await?,
        customer,
        plants,
        key: fresh_key(),
    })
}

async fn fresh(State(desk): State<Desk>) -> Result<Html<String>, Problem> {
    page(&form_page(&desk, None, &CustomerForm::default()).await?)
}

async fn create(
    State(desk): State<Desk>,
    posted: Posted<CustomerForm>,
) -> Result<Response, Problem> {
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            return refused(
                &form_page(&desk, None, &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move { Ok(format!("/customers/{}", customers::make(w, &new).await?)) })
        })
        .await?;
    Ok(see(&to))
}

async fn change(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let known = customers::find(desk.store(), CustomerId::new(id)).await?;
    page(&form_page(&desk, Some(&known), &CustomerForm::of(&known)).await?)
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<CustomerForm>,
) -> Result<Response, Problem> {
    let known = customers::find(desk.store(), CustomerId::new(id)).await?;
    let new = match posted.form.read() {
        Ok(new) => new,
        Err(faults) => {
            return refused(
                &form_page(&desk, Some(&known), &posted.form)
                    .await?
                    .again(faults, &posted.key),
            );
        }
    };
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                customers::change(w, known.id, &new).await?;
                Ok(format!("/customers/{}", known.id))
            })
        })
        .await?;
    Ok(see(&to))
}

/// What must be ticked before anything is erased.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct EraseForm {
    sure: String,
}

/// The one thing that cannot be undone: it wants a tick and a press.
async fn erase(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<EraseForm>,
) -> Result<Response, Problem> {
    let id = CustomerId::new(id);
    if posted.form.sure != "yes" {
        return Err(Problem::Unreadable(
            "erasing cannot be undone: tick that you are sure, then press again".to_owned(),
        ));
    }
    let to = desk
        .once(&posted, move |w| {
            Box::pin(async move {
                customers::erase(w, id).await?;
                Ok(format!("/customers/{id}"))
            })
        })
        .await?;
    Ok(see(&to))
}
