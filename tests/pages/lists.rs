//! Long lists go on by key, and no line of them is lost between two pages, nor shown on both.

use std::fmt::Write as _;

use acceptance::{App, Page};

/// Follows a list from its first page to its last by the words of its link.
async fn all_pages(app: &App, first: &str, words: &str) -> Vec<Page> {
    let mut pages = vec![app.get(first).await];
    loop {
        let page = pages.last().expect("a page");
        page.is(200);
        let Some(before) = page.body.split_once(&format!("\">{words}</a>")) else {
            return pages;
        };
        let on = before.0.rsplit_once("href=\"").expect("an address").1;
        let on = on.replace("&#38;", "&");
        assert!(pages.len() < 9, "it goes on for ever: {on}");
        pages.push(app.get(&on).await);
    }
}

/// Each of these words stands on one of the pages, once.
fn each_once(pages: &[Page], words: impl Iterator<Item = String>) {
    let mut wrong = String::new();
    for word in words {
        let times: usize = pages.iter().map(|p| p.body.matches(&word).count()).sum();
        if times != 1 {
            let _ = write!(wrong, "{word}: {times} times; ");
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[tokio::test]
async fn parts_of_all_jobs_go_on_and_their_sums_are_of_all() {
    let app = App::one_job().await;
    for n in 1..=230 {
        let (name, price) = (format!("Part {n:03}."), format!("{n}.00"));
        let (state, supplier) = match n % 5 {
            0 => ("to make", ""),
            1 => ("in hand", "Bow Bearings"),
            2 => ("to order", "bow bearings"),
            3 => ("on order", ""),
            _ => ("on order", "Wick & Sons"),
        };
        let promised = if n % 3 == 0 { "2026-12-24" } else { "" };
        let part = [
            ("name", name.as_str()),
            ("state", state),
            ("supplier", supplier),
            ("price", &price),
            ("promised_on", promised),
        ];
        app.post("/jobs/26-001/parts", &part).await.is(303);
    }
    let pages = all_pages(&app, "/parts", "Further on").await;
    assert_eq!(pages.len(), 3);
    each_once(&pages, (1..=230).map(|n| format!("Part {n:03}.")));
    // 2 + 7 + … + 227, on whichever page its parts stand.
    pages[0].shows("46 parts, £5,267.00 with carriage");
    pages[0].shows("In hand, to be fitted <span class=\"said\">46</span>");
    pages[0]
        .shows("On a later page.")
        .lacks("From the beginning");
    pages[2].shows("From the beginning").lacks("Further on");
    // A press leads back to the page it was made on, and that page still begins where it began.
    let second = &pages[1];
    let at = second
        .between("name=\"back\" value=\"", "\"")
        .expect("this page")
        .replace("&#38;", "&");
    let last = pages[0]
        .body
        .rsplit_once("action=\"/parts/")
        .expect("a key")
        .1;
    let last = last.split_once("/moves").expect("a key").0;
    app.post(
        &format!("/parts/{last}/moves"),
        &[("state", "in hand"), ("back", &at)],
    )
    .await
    .leads_to(&at);
    let again = app.get(&at).await;
    let first_of = |page: &Page| page.between("Part ", ".").expect("a part").to_owned();
    assert_eq!(first_of(second), first_of(&again));
    app.stop().await;
}

#[tokio::test]
async fn stock_goes_on_by_name_and_its_moves_by_time() {
    let app = App::workshop().await;
    for n in 1..=130 {
        let name = format!("{} {n:03}.", if n % 2 == 0 { "packing" } else { "Jet" });
        let low = if n == 130 { "0" } else { "" };
        let stock = [("name", name.as_str()), ("least", low)];
        app.post("/stock", &stock).await.is(303);
    }
    app.post("/withdraw/stock/1", &[("back", "/stock")])
        .await
        .is(303);
    let pages = all_pages(&app, "/stock", "Further on by name").await;
    assert_eq!(pages.len(), 2);
    each_once(
        &pages,
        (1..=130).map(|n| format!("{} {n:03}.", if n % 2 == 0 { "packing" } else { "Jet" })),
    );
    // What is to be bought is counted over all of it; what was withdrawn stands at the end.
    pages[0].shows("1 to be bought").lacks("Jet 001.");
    pages[1].shows("Jet 001.").shows("From the beginning");
    for n in 1..=130 {
        let came = [("what", "come in"), ("count", &format!("{}", 1000 + n))];
        app.post("/stock/2/moves", &came).await.is(303);
    }
    let pages = all_pages(&app, "/stock/2", "Earlier ones").await;
    assert_eq!(pages.len(), 2);
    each_once(
        &pages,
        (1..=130).map(|n| format!("+{} </td>", 1000 + n).replace(" <", "<")),
    );
    pages[0].shows("+1130<").lacks("+1001<");
    app.stop().await;
}

#[tokio::test]
async fn sittings_of_a_job_go_on_behind_those_on_its_sheet() {
    let app = App::one_job().await;
    for n in 1..=140 {
        let done = format!("Lapped seat {n:03}.");
        let sitting = [
            ("on_day", "2026-11-05"),
            ("minutes", "1"),
            ("done", done.as_str()),
        ];
        app.post("/jobs/26-001/sittings", &sitting).await.is(303);
    }
    let sheet = app.get("/jobs/26-001").await;
    sheet.shows("Lapped seat 140.").shows("Lapped seat 111.");
    sheet.lacks("Lapped seat 110.").shows("140 min");
    let pages = all_pages(&app, "/jobs/26-001", "Earlier sittings").await;
    assert_eq!(pages.len(), 3);
    each_once(&pages, (1..=140).map(|n| format!("Lapped seat {n:03}.")));
    let pages = all_pages(&app, "/jobs/26-001/sittings", "Earlier sittings").await;
    assert_eq!(pages.len(), 2);
    each_once(&pages, (1..=140).map(|n| format!("Lapped seat {n:03}.")));
    app.stop().await;
}

#[tokio::test]
async fn what_was_changed_goes_on_too() {
    let app = App::one_job().await;
    let part = |n: i32| format!("Ball {n:03}.");
    for n in 0..=130 {
        let name = part(n);
        let fields = [("name", name.as_str()), ("state", "to order")];
        let to = if n == 0 {
            "/jobs/26-001/parts"
        } else {
            "/parts/1"
        };
        app.post(to, &fields).await.is(303);
    }
    let to = |n| format!("<strong>{}</strong>", part(n));
    for first in [
        "/parts/1",
        "/changes/part/1",
        "/jobs/26-001",
        "/jobs/26-001/changes",
    ] {
        let pages = all_pages(&app, first, "Earlier changes").await;
        assert_eq!(pages.len(), 2, "{first}");
        each_once(&pages, (1..=130).map(to));
        // The list of a job says which part.
        let made = if first.starts_with("/jobs") {
            "part “Ball 130.” entered"
        } else {
            "part entered"
        };
        pages[1].shows(made).shows("The newest");
        // What is put back from a later page leads to the list.
        pages[1].shows("Put it back as it was");
    }
    app.get("/changes/nothing/1").await.is(404);
    app.stop().await;
}
