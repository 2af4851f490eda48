//! Small stock: the list, one thing with what came and went of it, and drawing from it in a sitting.

mod draw;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::{Html, Response};
use axum::routing::{get, post};
use records::change::Subject;
use records::stock::{self, Moved, NewStock, Stock, StockMove};
use records::{Error, StockId, Write, fresh_key};
use serde::Deserialize;

use crate::changes::{self, Changes};
use crate::desk::Desk;
use crate::filters;
use crate::form::{Faults, Field, Pick, Posted, Reader};
use crate::form_page::FormPage;
use crate::layout::Layout;
use crate::paging::{Behind, LINES, Paging, asked};
use crate::parts::DRILLS;
use crate::problem::{Problem, page, refused, see};
use crate::put_back::{Kept, Way};
use crate::show::typed_pounds;

pub(crate) use draw::form as draw_form;

/// Every address of the stock.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/stock", get(list).post(create))
        .route("/stock/new", get(fresh))
        .route("/stock/{id}", get(show).post(update))
        .route("/stock/{id}/change", get(change))
        .route("/stock/{id}/moves", post(moves))
        .merge(draw::routes())
}

#[derive(Template)]
#[template(path = "stock/list.html")]
struct List {
    layout: Layout,
    stock: Vec<Stock>,
    paging: Paging,
    low: i64,
    drills: [(&'static str, &'static str); 4],
}

async fn list(
    State(desk): State<Desk>,
    Query(query): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let last = match query.behind {
        Some(id) => Some(stock::find(desk.store(), StockId::new(id)).await?),
        None => None,
    };
    let mut stock = stock::list(desk.store(), last.as_ref(), asked(LINES)).await?;
    let on = |s: &Stock| format!("/stock?behind={}", s.id);
    let paging = Paging::cut(&mut stock, LINES, "Further on by name", on).begins(
        last.is_some(),
        "/stock",
        "From the beginning",
    );
    page(&List {
        layout: desk.layout("Stock", "jobs").await?,
        low: stock::low(desk.store()).await?,
        stock,
        paging,
        drills: DRILLS,
    })
}

#[derive(Template)]
#[template(path = "stock/show.html")]
struct Sheet {
    layout: Layout,
    stock: Stock,
    moves: Vec<StockMove>,
    paging: Paging,
    changes: Changes,
    fields: Vec<Field>,
    faults: Faults,
    key: String,
}

impl Sheet {
    fn a_key(&self) -> String {
        fresh_key()
    }
}

async fn sheet(
    desk: &Desk,
    id: StockId,
    form: &MoveForm,
    behind: Option<i64>,
) -> Result<Sheet, Problem> {
    let stock = stock::find(desk.store(), id).await?;
    let at = format!("/stock/{id}");
    let mut moves = stock::moves(desk.store(), id, behind, asked(LINES)).await?;
    let on = |m: &StockMove| format!("{at}?behind={}#moves", m.id);
    let paging = Paging::cut(&mut moves, LINES, "Earlier ones", on).begins(
        behind.is_some(),
        &format!("{at}#moves"),
        "The newest",
    );
    let whats = vec![
        Pick::new("come in", "has come in: so many more"),
        Pick::new("counted", "was counted: so many are there"),
    ];
    Ok(Sheet {
        layout: desk.layout(&stock.name, "jobs").await?,
        moves,
        paging,
        changes: changes::of(desk, Subject::Stock, id.get(), at).await?,
        fields: vec![
            Field::new("pick", "what", "It", &form.what).picks(whats),
            Field::new("number", "count", "How many", &form.count).hint("a whole number"),
        ],
        faults: Faults::default(),
        key: fresh_key(),
        stock,
    })
}

async fn show(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    Query(query): Query<Behind>,
) -> Result<Html<String>, Problem> {
    let (id, form) = (StockId::new(id), MoveForm::default());
    page(&sheet(&desk, id, &form, query.behind).await?)
}

/// What came or was counted, as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct MoveForm {
    what: String,
    count: String,
}

impl MoveForm {
    fn read(&self) -> Result<Moved, Faults> {
        let mut read = Reader::default();
        let what = read.one_of("what", &self.what, &["come in", "counted"]);
        let least = i64::from(what == "come in");
        let count = read.whole("count", &self.count, least, 1_000_000, "how many");
        read.done(if what == "counted" {
            Moved::Counted(count)
        } else {
            Moved::ComeIn(count)
        })
    }
}

async fn moves(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<MoveForm>,
) -> Result<Response, Problem> {
    let id = StockId::new(id);
    let by = match posted.form.read() {
        Ok(by) => by,
        Err(faults) => {
            let again = sheet(&desk, id, &posted.form, None).await?;
            let key = posted.key;
            return refused(&Sheet {
                faults,
                key,
                ..again
            });
        }
    };
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            stock::moved(w, id, by).await?;
            Ok(format!("/stock/{id}"))
        })
    });
    Ok(see(&to.await?))
}

/// The form as typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct StockForm {
    name: String,
    unit: String,
    count: String,
    least: String,
    price: String,
    supplier: String,
    lies: String,
    note: String,
}

impl StockForm {
    fn of(s: &Stock) -> Self {
        Self {
            name: s.name.clone(),
            unit: s.unit.clone(),
            count: String::new(),
            least: s.least.map_or_else(String::new, |n| n.to_string()),
            price: typed_pounds(s.price_pence),
            supplier: s.supplier.clone(),
            lies: s.lies.clone(),
            note: s.note.clone(),
        }
    }

    fn fields(&self, new: bool) -> Vec<Field> {
        let mut fields = vec![
            Field::new("text", "name", "What it is", &self.name)
                .hint("with its size: graphited yarn 3 mm, jet 0.20 mm"),
            Field::new("text", "unit", "Counted in", &self.unit)
                .hint("cm, pieces …; empty: by the piece"),
        ];
        if new {
            fields.push(
                Field::new("number", "count", "How many are there", &self.count)
                    .hint("may stay empty"),
            );
        }
        fields.extend([
            Field::new("number", "least", "Buy more at", &self.least)
                .hint("at this count or under it stands out; may stay empty"),
            Field::new("number", "price", "One costs", &self.price).money(),
            Field::new("text", "supplier", "Comes from", &self.supplier),
            Field::new("text", "lies", "Lies in", &self.lies).hint("drawer, tin, shelf"),
            Field::new("long", "note", "Note", &self.note).hint("what it is used for"),
        ]);
        fields
    }

    fn read(&self) -> Result<(NewStock, i64), Faults> {
        let mut read = Reader::default();
        let count = |read: &mut Reader, field: &str, typed: &str| {
            let typed = typed.trim();
            (!typed.is_empty()).then(|| read.whole(field, typed, 0, 1_000_000, "how many"))
        };
        let name = read.needed("name", &self.name, "Say what it is.");
        let unit = read.words("unit", &self.unit);
        if unit.chars().count() > 20 {
            read.fault("unit", "A unit has twenty letters at most.");
        }
        let there = count(&mut read, "count", &self.count).unwrap_or(0);
        let new = NewStock {
            name,
            unit,
            least: count(&mut read, "least", &self.least),
            price_pence: read.money("price", &self.price),
            supplier: read.words("supplier", &self.supplier),
            lies: read.words("lies", &self.lies),
            note: read.words("note", &self.note),
        };
        read.done((new, there))
    }
}

/// What of stock can be put back as it was.
pub(crate) const WAYS: &[Way] = &[Way::by::<StockForm>(Subject::Stock)];

impl Kept for StockForm {
    type Row = Stock;
    type New = NewStock;

    const WRITES: &'static [&'static str] = &[
        "name",
        "unit",
        "least",
        "price_pence",
        "supplier",
        "lies",
        "note",
    ];

    async fn find(desk: &Desk, id: i64) -> Result<Stock, Error> {
        stock::find(desk.store(), StockId::new(id)).await
    }

    fn written(row: &Stock) -> Result<Self::New, Faults> {
        Ok(Self::of(row).read()?.0)
    }

    async fn change(w: &mut Write, id: i64, new: &Self::New) -> Result<(), Error> {
        stock::change(w, StockId::new(id), new).await
    }
}

async fn form_page(
    desk: &Desk,
    known: Option<&Stock>,
    form: &StockForm,
) -> Result<FormPage, Problem> {
    let (title, action, back) = match known {
        None => ("Keep in stock", "/stock".to_owned(), "/stock".to_owned()),
        Some(s) => (
            "Change what is in stock",
            format!("/stock/{}", s.id),
            format!("/stock/{}", s.id),
        ),
    };
    let layout = desk.layout(title, "jobs").await?;
    let page = FormPage::fresh(layout, form.fields(known.is_none()), action, "Save", back);
    Ok(match known {
        Some(s) => {
            page.withdrawable("stock", s.id.get(), s.withdrawn_at.is_some())
                .with_changes(desk)
                .await?
        }
        None => page,
    })
}

async fn fresh(State(desk): State<Desk>) -> Result<Html<String>, Problem> {
    page(&form_page(&desk, None, &StockForm::default()).await?)
}

async fn create(State(desk): State<Desk>, posted: Posted<StockForm>) -> Result<Response, Problem> {
    let (new, there) = match posted.form.read() {
        Ok(read) => read,
        Err(faults) => {
            let again = form_page(&desk, None, &posted.form).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            let id = stock::make(w, &new).await?;
            if there > 0 {
                stock::moved(w, id, Moved::Counted(there)).await?;
            }
            Ok("/stock".to_owned())
        })
    });
    Ok(see(&to.await?))
}

async fn change(State(desk): State<Desk>, Path(id): Path<i64>) -> Result<Html<String>, Problem> {
    let known = stock::find(desk.store(), StockId::new(id)).await?;
    page(&form_page(&desk, Some(&known), &StockForm::of(&known)).await?)
}

async fn update(
    State(desk): State<Desk>,
    Path(id): Path<i64>,
    posted: Posted<StockForm>,
) -> Result<Response, Problem> {
    let known = stock::find(desk.store(), StockId::new(id)).await?;
    let new = match posted.form.read() {
        Ok((new, _)) => new,
        Err(faults) => {
            let again = form_page(&desk, Some(&known), &posted.form).await?;
            return refused(&again.again(faults, &posted.key));
        }
    };
    let to = desk.once(&posted, move |w| {
        Box::pin(async move {
            stock::change(w, known.id, &new).await?;
            Ok(format!("/stock/{}", known.id))
        })
    });
    Ok(see(&to.await?))
}
