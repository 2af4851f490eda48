//! A workshop of ten years, generated, and what its pages cost.
//!
//! `ten-years [TIMES] [--keep FOLDER]` furnishes 1,500 jobs, 3,000 trials, 300,000 log entries and 15,000 picture rows (so many
//! times: 10, or 0.1), starts the app on them as `main` does, and prints the p50 and the p99 of each page as a ratio to the
//! p50 of a bare response (a small file that asks nothing of the database) measured in between; and how many statements read
//! a large table from end to end. No absolute time is asserted. It fails where a page does not answer, where a chain is
//! not whole, or where a large table is read through. A folder that holds a book already is measured as it is.

use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Instant;

use acceptance::{App, Chance};
use records::{Store, plans, ten_years};

/// Times that each page is asked.
const ASKED: usize = 200;
/// Pages asked before anything is measured.
const WARM: usize = 2;
/// The same in the short form, of less than ten years.
const ASKED_SHORT: usize = 40;
#[tokio::main]
async fn main() -> ExitCode {
    let mut args = std::env::args().skip(1);
    let mut times = 1.0_f64;
    let mut keep = None;
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "--keep" => keep = args.next().map(PathBuf::from),
            other => match other.parse() {
                Ok(said) => times = said,
                Err(_) => {
                    eprintln!("{other} is no number; say: ten-years [TIMES] [--keep FOLDER]");
                    return ExitCode::from(2);
                }
            },
        }
    }
    let temporary = tempfile::tempdir().expect("a folder");
    let folder = keep.unwrap_or_else(|| temporary.path().to_owned());
    let there = records::file_of(&folder).exists();
    if !there && !generate(&folder, times).await {
        return ExitCode::FAILURE;
    }
    measure(&folder, if times < 1.0 { ASKED_SHORT } else { ASKED }).await;
    ExitCode::SUCCESS
}

/// Furnishes the folder and looks at what came of it.
async fn generate(folder: &std::path::Path, times: f64) -> bool {
    let began = Instant::now();
    let store = Store::open(folder).await.expect("the store opens");
    let made = ten_years::furnish(&store, times)
        .await
        .expect("the book is generated");
    println!(
        "ten-years × {times}: {} jobs, {} trials, {} entries, {} picture rows, generated in {:.0} s",
        made.jobs,
        made.trials,
        made.entries,
        made.pictures,
        began.elapsed().as_secs_f64()
    );
    let mut good = true;
    for trial in records::log::before(&store, None, 20)
        .await
        .expect("trials")
    {
        let Some(number) = &trial.number else {
            continue;
        };
        let report = records::log::verify::verify(&store, Some(number))
            .await
            .expect("verify");
        good &= report.faults.is_empty();
        if !report.faults.is_empty() {
            println!("{}", report.line());
        }
    }
    let scans = plans::scans(&store).await.expect("the plans");
    let scans: Vec<&plans::Scan> = scans
        .iter()
        .filter(|s| !plans::WHOLE.iter().any(|(name, _)| *name == s.statement))
        .collect();
    for scan in &scans {
        println!("{} reads {} from end to end", scan.statement, scan.reads);
    }
    println!(
        "verify of 20 records: {}; full scans of large tables: {} in {} statements",
        if good { "OK" } else { "WRONG" },
        scans.len(),
        plans::statements().len()
    );
    store.close().await;
    good && scans.is_empty()
}

/// One kind of page, and the addresses it is asked at.
struct Asked {
    name: &'static str,
    addresses: Vec<String>,
}

async fn measure(folder: &std::path::Path, asked: usize) {
    let app = App::on(folder).await;
    let first = app.get("/").await;
    let small = first
        .between("<script type=\"module\" src=\"", "\"")
        .expect("a small file");
    let kinds = pages(&app).await;
    let mut bare = Vec::new();
    let mut found: Vec<(f64, f64)> = Vec::new();
    for kind in &kinds {
        let mut took = Vec::new();
        for (n, address) in kind.addresses.iter().cycle().take(asked + WARM).enumerate() {
            let (blank, page) = (once(&app, small).await, once(&app, address).await);
            if n >= WARM {
                bare.push(blank);
                took.push(page);
            }
        }
        found.push((part(&mut took, 50), part(&mut took, 99)));
    }
    let (unit, worst) = (part(&mut bare, 50), part(&mut bare, 99));
    println!(
        "bare response: p50 1 ({:.2} ms here), p99 {:.1}; each page as a ratio to that p50",
        unit * 1e3,
        worst / unit
    );
    for (kind, (p50, p99)) in kinds.iter().zip(found) {
        println!(
            "{:<28} p50 {:>7.1}  p99 {:>7.1}",
            kind.name,
            p50 / unit,
            p99 / unit
        );
    }
    app.stop().await;
}

/// How long one page took, in seconds.
async fn once(app: &App, address: &str) -> f64 {
    let began = Instant::now();
    let page = app.get(address).await;
    let took = began.elapsed().as_secs_f64();
    page.is(200);
    took
}

/// The time below which so many of a hundred lie.
fn part(took: &mut [f64], of_hundred: usize) -> f64 {
    took.sort_by(f64::total_cmp);
    took[(took.len() * of_hundred / 100).min(took.len() - 1)]
}

/// What is asked: jobs and plants spread over all the years, searches for rare words and for words that stand everywhere.
async fn pages(app: &App) -> Vec<Asked> {
    let mut chance = Chance::new(7);
    let mut jobs = Vec::new();
    let mut after = None;
    loop {
        let some = records::jobs::gone(app.store(), after, 500)
            .await
            .expect("jobs");
        let Some(last) = some.last() else { break };
        after = Some((last.year, last.serial));
        jobs.extend(
            some.iter()
                .map(|j| (j.number(), j.plant_id, (j.year, j.serial))),
        );
    }
    let open = records::jobs::open(app.store()).await.expect("jobs");
    let middle = jobs[jobs.len() / 2].2;
    let all: Vec<usize> = (0..jobs.len()).collect();
    let mut some_of = |n: usize| -> Vec<usize> { (0..n).map(|_| chance.pick(&all)).collect() };
    let (these, those) = (some_of(60), some_of(60));
    let one = |name, address: &str| Asked {
        name,
        addresses: vec![address.to_owned()],
    };
    let many = |name, addresses| Asked { name, addresses };
    vec![
        one("bench", "/"),
        many(
            "a job that has gone home",
            these
                .iter()
                .map(|n| format!("/jobs/{}", jobs[*n].0))
                .collect(),
        ),
        many(
            "a job that is open",
            open.iter()
                .map(|j| format!("/jobs/{}", j.number()))
                .collect(),
        ),
        one("list of jobs", "/jobs"),
        many(
            "older jobs",
            vec![format!("/jobs?year={}&serial={}", middle.0, middle.1)],
        ),
        one("list of trials", "/trials"),
        one("list of plants", "/plants"),
        one("list of parts", "/parts"),
        one("gone home barred", "/no-steam"),
        one("list of customers", "/customers"),
        one("re-tests", "/retests"),
        many(
            "a plant",
            those
                .iter()
                .map(|n| format!("/plants/{}", jobs[*n].1))
                .collect(),
        ),
        one("search, a rare word", "/look-back?words=graphited+3.7"),
        one("search, a word everywhere", "/look-back?words=gland"),
        one("booking a job in", "/jobs/new"),
    ]
}
