//! A workshop of ten years, generated: what the pages, the plans and the copies are tried on.
//!
//! The example workshop comes first, through the same functions that the pages use, and some long trials with it. The rest
//! is told from these by the database itself, with every trigger at work. So chains, words to be found and sums are whole.

mod trials;

use crate::error::Error;
use crate::example;
use crate::store::Store;
use crate::writer::Write;

/// Jobs of ten years that have gone home.
const JOBS: f64 = 1_470.0;
/// Jobs that are open beside the example's own; one person has no more at a time, however long the book is.
const OPEN: i64 = 30;
const TEN_YEARS_DAYS: i64 = 3_650;

const SIZE: &str = "create temp table size (customers integer, plants integer, jobs integer, open integer, trials integer,
    from_ms integer, to_ms integer, now_ms integer, by text, boiler text)";
const SET_SIZE: &str = "insert into size values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9,
    (select particulars from component where kind = 'boiler' order by length(particulars) desc limit 1))";
const HERE: &str = "create temp table here as select (select max(id) from customer) as customer, (select max(id) from plant) as plant,
    (select max(id) from job) as job, (select max(id) from trial) as trial";
const SAY: &str =
    "create temp table say (list text, at integer, words text, primary key (list, at))";
const SET_SAY: &str = "insert into say values (?1, ?2, ?3)";
const TEMPLATE: &str = "create temp table template (at integer primary key, id integer not null)";
const SET_TEMPLATE: &str = "insert into template values (?1, ?2)";
const FIRST: &str = "select job + 1 from here";
const BEHIND: &str = "update here set trial = (select max(id) from trial)";
const FILL: &str = include_str!("fill.sql");
const TRIALS: &str = include_str!("trials.sql");
const COUNTS: &str = "select (select count(*) from job), (select count(*) from trial), (select count(*) from entry), (select count(*) from picture)";

/// Words to tell with: all invented.
const WORDS: &[(&str, &[&str])] = &[
    ("title", &["Mr", "Mrs", "Miss"]),
    (
        "family",
        &[
            "Oxbrough",
            "Quillon",
            "Sedgeby",
            "Harlstone",
            "Tamber",
            "Wrenfield",
            "Lutterby",
            "Cobbing",
            "Marlhew",
            "Pennick",
            "Sallow",
        ],
    ),
    (
        "plant",
        &[
            "Bulrush", "Teasel", "Kestrel", "Bramble", "Sorrel", "Linnet", "Comfrey", "Plover",
            "Yarrow", "Siskin", "Campion", "Curlew", "Burdock",
        ],
    ),
    (
        "sort",
        &[
            "launch plant",
            "mill engine",
            "locomotive",
            "traction engine",
            "pumping plant",
        ],
    ),
    (
        "kind",
        &[
            "boiler",
            "engine",
            "feed-pump",
            "burner",
            "safety-valve",
            "glass",
            "lubricator",
            "fitting",
        ],
    ),
    (
        "words",
        &[
            "It will not hold its pressure",
            "It dies under load",
            "The pump does nothing when hot",
            "It spits water from the funnel",
            "It leaks where the glass sits",
            "Somebody tightened everything",
            "It ran well until last summer",
            "The flame goes out when it is windy",
            "It knocks on one side",
            "It has stood for years",
            "I should like to steam it in June",
            "The valve lifts far too soon",
        ],
    ),
    (
        "condition",
        &[
            "dry and clean",
            "brown water in the boiler",
            "glass cloudy",
            "tank empty, filler loose",
            "paint burnt at the funnel",
        ],
    ),
    ("stands", &["in", "opened up", "on the bench", "ready"]),
    (
        "next",
        &[
            "strip it",
            "pack the glands",
            "lap the valve",
            "order the tube",
            "try it on air",
            "ask about the lagging",
        ],
    ),
    (
        "done",
        &[
            "opened up and cleaned",
            "glands packed with graphited yarn",
            "valve lapped to its seat",
            "ports measured",
            "jet cleaned and tried",
            "tubes swept",
            "glass taken out, cocks lapped",
            "pump stripped, ball seated",
            "joint made with new gasket",
            "eccentric set",
        ],
    ),
    (
        "defect",
        &[
            "check valve passes back",
            "stay weeps when cold",
            "gland blows",
            "glass cock stiff",
            "jet half blocked",
            "crosshead slack",
            "safety valve lifts early",
            "seam stained, dry",
            "lubricator feeds too fast",
            "union thread worn",
        ],
    ),
    (
        "part",
        &[
            "ball, stainless",
            "tube, copper",
            "gland nut",
            "jet",
            "spring for the valve",
            "glass with rings",
            "stud and nut",
            "gasket, cut",
        ],
    ),
    (
        "state",
        &["to make", "to order", "on order", "in hand", "fitted"],
    ),
    (
        "supplier",
        &[
            "the tube stockist",
            "a fittings shop",
            "the spring maker",
            "the fastener counter",
        ],
    ),
    ("fitted", &["packing", "gasket", "oil", "jet"]),
    (
        "what",
        &[
            "graphited yarn 3 mm",
            "fibre washer",
            "steam oil, thick",
            "jet number 5",
            "thread M5 by 0.5",
            "sealant, high temperature",
        ],
    ),
    (
        "variation",
        &[
            "a second water glass",
            "new tubes",
            "lagging in hardwood",
            "a larger lubricator",
        ],
    ),
    (
        "news",
        &[
            "It is opened up; the tubes are sound.",
            "The glands are packed and it turns freely.",
            "We wait for a part.",
            "It held its water test.",
        ],
    ),
    (
        "caption",
        &[
            "as it came",
            "the seat after lapping",
            "glands, packed",
            "where it weeps",
            "on its board",
        ],
    ),
];

/// What was generated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Made {
    /// Jobs.
    pub jobs: i64,
    /// Trials.
    pub trials: i64,
    /// Log entries.
    pub entries: i64,
    /// Picture rows.
    pub pictures: i64,
}

/// Furnishes an empty store with so many times ten years of one workshop: 1,500 jobs, 3,000 trials, 300,000 entries,
/// 15,000 picture rows for once.
///
/// # Errors
/// Only the database's.
pub async fn furnish(store: &Store, times: f64) -> Result<Made, Error> {
    store
        .write("", |w| Box::pin(async move { example::furnish(w).await }))
        .await?;
    example::pictures::hang(store).await?;
    let (jobs, open) = sizes(times);
    store
        .write("the generator", move |w| {
            Box::pin(async move { tell(w, jobs, open).await })
        })
        .await?;
    let (jobs, trials, entries, pictures) =
        sqlx::query_as(COUNTS).fetch_one(store.readers()).await?;
    Ok(Made {
        jobs,
        trials,
        entries,
        pictures,
    })
}

/// How many jobs have gone home, and how many are open.
fn sizes(times: f64) -> (i64, i64) {
    // Counted up by tens, for floats are not cast.
    let mut jobs = 10;
    let mut counted = 10.0;
    while counted + 10.0 <= JOBS * times {
        jobs += 10;
        counted += 10.0;
    }
    (jobs, OPEN.min(jobs))
}

async fn tell(w: &mut Write, jobs: i64, open: i64) -> Result<(), Error> {
    let now = w.now();
    let (from, to) = (now.plus_days(-TEN_YEARS_DAYS), now.plus_days(-150));
    sqlx::query(SIZE).execute(w.conn()).await?;
    let by = w.by().to_owned();
    sqlx::query(SET_SIZE)
        .bind((jobs / 5).max(1))
        .bind((jobs * 4 / 15).max(1))
        .bind(jobs)
        .bind(open)
        .bind(jobs * 2 + open * 2)
        .bind(from)
        .bind(to)
        .bind(now)
        .bind(by)
        .execute(w.conn())
        .await?;
    sqlx::query(HERE).execute(w.conn()).await?;
    sqlx::query(SAY).execute(w.conn()).await?;
    for (list, words) in WORDS {
        for (at, words) in (0_i64..).zip(*words) {
            sqlx::query(SET_SAY)
                .bind(*list)
                .bind(at)
                .bind(*words)
                .execute(w.conn())
                .await?;
        }
    }
    sqlx::raw_sql(FILL).execute(w.conn()).await?;
    let first = sqlx::query_scalar(FIRST).fetch_one(w.conn()).await?;
    let templates = trials::templates(w, first, now).await?;
    sqlx::query(TEMPLATE).execute(w.conn()).await?;
    for (at, id) in (0_i64..).zip(templates) {
        sqlx::query(SET_TEMPLATE)
            .bind(at)
            .bind(id)
            .execute(w.conn())
            .await?;
    }
    // The templates stand before the copies.
    sqlx::query(BEHIND).execute(w.conn()).await?;
    sqlx::raw_sql(TRIALS).execute(w.conn()).await?;
    Ok(())
}
