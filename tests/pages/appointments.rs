//! Papers, re-tests, appointments and their calendar, on the pages.

use acceptance::App;
use icalendar::parser::{read_calendar, unfold};

async fn with_a_boiler(particulars: &[(&str, &str)]) -> App {
    let app = App::one_job().await;
    let mut boiler = vec![("name", "boiler")];
    boiler.extend_from_slice(particulars);
    app.post("/plants/1/components?kind=boiler", &boiler)
        .await
        .is(303);
    app
}

#[tokio::test]
async fn a_paper_is_written_down_with_a_picture_and_makes_a_re_test_due() {
    let app = with_a_boiler(&[("shell_material", "copper")]).await;
    app.get("/plants/1")
        .await
        .shows("none is due: that proves nothing");
    let paper = [
        ("kind", "water test"),
        ("number", "SQ <12>"),
        ("by_whom", "the club"),
        ("pressure_bar", "8,0"),
        ("on_day", "2020-03-02"),
        ("valid_until", "2023-03-02"),
    ];
    app.post("/plants/1/papers", &paper)
        .await
        .leads_to("/papers/1");
    app.get("/papers/1")
        .await
        .shows("SQ &#60;12&#62;")
        .shows("value=\"8.0\"")
        .shows("/pictures/new?of=paper-1");
    let mut bytes = std::io::Cursor::new(Vec::new());
    image::RgbImage::new(20, 10)
        .write_to(&mut bytes, image::ImageFormat::Png)
        .unwrap();
    app.send_files(
        "/pictures?of=paper-1",
        &[("caption", "the paper")],
        &[("chosen", "p.png", bytes.get_ref())],
    )
    .await
    .leads_to("/papers/1#pictures");
    app.get("/papers/1").await.shows("/pictures/file/");
    let plant = app.get("/plants/1").await;
    plant
        .shows("water test no. SQ &#60;12&#62; by the club")
        .shows("water test due 2 Mar 2023")
        .shows("overdue by");
    app.get("/")
        .await
        .shows("Sandmartin: water test")
        .shows("overdue by");
    app.get("/retests")
        .await
        .shows("2 Mar 2023")
        .shows("valid until then");
    app.get("/look-back?words=SQ")
        .await
        .shows("href=\"/papers/1\"");
    app.post("/withdraw/paper/1", &[("back", "/plants/1")])
        .await
        .is(303);
    app.get("/").await.lacks("Sandmartin: water test");
}

#[tokio::test]
async fn the_newest_water_test_stands_on_the_page_that_prepares_a_trial() {
    let app = with_a_boiler(&[
        ("hydraulic_pass.on", "2024-05-01"),
        ("hydraulic_pass.pressure_bar", "6"),
        ("hydraulic_pass.since_structural_work", "true"),
    ])
    .await;
    let prepares = async |on: &str, bar: &str, until: &str| {
        let page = app.get("/jobs/26-001/trials/new").await;
        for (key, value) in [("on", on), ("pressure_bar", bar), ("valid_until", until)] {
            page.shows(&format!(
                "name=\"plant-hydraulic_pass-{key}\" value=\"{value}\""
            ));
        }
        page.body
            .contains("<option value=\"true\" selected>yes, nothing structural since")
    };
    assert!(prepares("2024-05-01", "6", "").await);
    let paper = |on: &'static str| {
        [
            ("kind", "water test"),
            ("pressure_bar", "8"),
            ("on_day", on),
            ("valid_until", "2030-01-31"),
        ]
    };
    app.post("/plants/1/papers", &paper("2023-01-31"))
        .await
        .is(303);
    assert!(prepares("2024-05-01", "6", "").await, "an older paper");
    app.post("/plants/1/papers", &paper("2026-01-31"))
        .await
        .is(303);
    // Whether work was done since was said of the older test: it is asked anew.
    assert!(!prepares("2026-01-31", "8", "2030-01-31").await);
    app.post("/withdraw/paper/2", &[("back", "/plants/1")])
        .await
        .is(303);
    assert!(prepares("2024-05-01", "6", "").await, "a withdrawn paper");
}

#[tokio::test]
async fn a_faulty_paper_and_a_faulty_rule_are_refused_with_what_was_typed() {
    let app = App::one_job().await;
    let bad = [
        ("kind", "poem"),
        ("number", "<12>"),
        ("pressure_bar", "eight"),
        ("on_day", "2026-03-02"),
        ("valid_until", "2026-03-01"),
    ];
    let refused = app.post("/plants/1/papers", &bad).await;
    refused
        .is(422)
        .shows("3 entries are at fault")
        .shows("&#60;12&#62;")
        .shows("before the day on it");
    let rule = [
        ("copper_months", "0"),
        ("other_months", "24"),
        ("steam_months", "a year"),
        ("ahead_days", "60"),
    ];
    app.post("/retests/rule", &rule)
        .await
        .is(422)
        .shows("value=\"a year\"")
        .shows("2 entries are at fault");
    let rule = [
        ("copper_months", "60"),
        ("other_months", "24"),
        ("steam_months", "14"),
        ("ahead_days", "90"),
    ];
    app.post("/retests/rule", &rule).await.leads_to("/retests");
    app.get("/retests")
        .await
        .shows("name=\"steam_months\" value=\"14\"");
    app.get("/papers/9").await.is(404);
    app.get("/plants/9/papers/new").await.is(404);
}

#[tokio::test]
async fn the_sheet_of_a_visit_says_what_is_tested_and_to_what_pressure() {
    let app = with_a_boiler(&[("working_pressure_bar", "4.0")]).await;
    let gauge = [
        ("kind", "pressure gauge"),
        ("mark", "G9"),
        ("full_scale", "16"),
        ("accuracy", "0.6"),
        ("due_on", "2199-01-01"),
    ];
    app.post("/instruments", &gauge).await.is(303);
    app.get("/appointments/new?job=26-001")
        .await
        .is(200)
        .shows("<option value=\"to be looked at\" selected>");
    let visit = [
        ("on_day", "2199-12-02"),
        ("at_time", "14:30"),
        ("who", "the <inspector>"),
        ("place", "here"),
        ("at_hand", "pump\nblanks"),
        ("job-1", "water test, the first"),
    ];
    app.post("/appointments", &visit)
        .await
        .leads_to("/appointments/1");
    let sheet = app.get("/appointments/1").await;
    sheet
        .shows("the &#60;inspector&#62;")
        .shows("Raise to 8.00 bar, not above 8.48 bar, hold 10 min")
        .shows("G9: 0 to 16 bar")
        .shows("<li>blanks</li>");
    app.get("/").await.shows("2 Dec 2199, 14:30");
    app.get("/jobs/26-001")
        .await
        .shows("href=\"/appointments/1\"");
    let repeat = [
        ("on_day", "2199-12-02"),
        ("who", "the inspector"),
        ("job-1", "water test, a repeat"),
    ];
    app.post("/appointments/1", &repeat)
        .await
        .leads_to("/appointments/1");
    let coarse = [
        ("kind", "pressure gauge"),
        ("mark", "G9"),
        ("full_scale", "40"),
    ];
    app.post("/instruments/1", &coarse).await.is(303);
    app.get("/appointments/1")
        .await
        .shows("Raise to 6.00 bar, not above 6.36 bar")
        .shows("No gauge of the workshop fits");
    app.get("/appointments/1/change")
        .await
        .shows("<option value=\"water test, a repeat\" selected>");
    app.post("/withdraw/appointment/1", &[("back", "/appointments/1")])
        .await
        .is(303);
    app.get("/").await.lacks("2 Dec 2199");
}

#[tokio::test]
async fn without_a_working_pressure_no_test_pressure_is_made_up() {
    let app = App::one_job().await;
    let visit = [
        ("on_day", "2199-12-02"),
        ("who", "the inspector"),
        ("job-1", "water test, the first"),
    ];
    app.post("/appointments", &visit).await.is(303);
    app.get("/appointments/1")
        .await
        .shows("To what pressure is not known")
        .lacks("Raise to");
    let bad = [
        ("on_day", ""),
        ("at_time", "half two"),
        ("who", ""),
        ("job-1", "a dance"),
        ("note", "kept <1>"),
    ];
    let refused = app.post("/appointments", &bad).await;
    refused
        .is(422)
        .shows("4 entries are at fault")
        .shows("kept &#60;1&#62;")
        .shows("value=\"half two\"");
    app.get("/appointments/9").await.is(404);
}

#[tokio::test]
async fn the_calendar_is_read_back_by_another_reader() {
    let app = with_a_boiler(&[("shell_material", "copper")]).await;
    let paper = [
        ("kind", "water test"),
        ("on_day", "2026-03-02"),
        ("by_whom", "the club; of Sedge, Quay"),
    ];
    app.post("/plants/1/papers", &paper).await.is(303);
    let long = format!("{} Überdruck", "pump, blanks and a pen; ".repeat(6));
    let visit = [
        ("on_day", "2199-12-02"),
        ("at_time", "14:30"),
        ("who", "the inspector"),
        ("at_hand", long.as_str()),
    ];
    app.post("/appointments", &visit).await.is(303);
    let whole = [
        ("on_day", "2199-12-31"),
        ("who", "the customer"),
        ("job-1", "to be looked at"),
    ];
    app.post("/appointments", &whole).await.is(303);
    let feed = app.get("/calendar.ics").await;
    feed.is(200);
    assert_eq!(feed.header("content-type"), "text/calendar; charset=utf-8");
    let text = String::from_utf8(feed.bytes.clone()).unwrap();
    assert!(
        text.split("\r\n")
            .all(|l| l.len() <= 75 && !l.contains('\n')),
        "{text}"
    );
    let unfolded = unfold(&text);
    let calendar = read_calendar(&unfolded).unwrap();
    let event = |n: usize, name: &str| {
        let found = calendar.components[n].find_prop(name);
        found.map_or_else(String::new, |p| p.val.as_str().to_owned())
    };
    assert_eq!(calendar.components.len(), 3);
    assert_eq!(
        (
            event(0, "UID").as_str(),
            event(0, "DTSTART").as_str(),
            event(0, "DTEND").as_str()
        ),
        ("retest-1-water-test@gaugeglass", "20300302", "20300303")
    );
    assert_eq!(
        (event(1, "DTSTART").as_str(), event(1, "SEQUENCE").as_str()),
        ("21991202T143000", "0")
    );
    assert!(
        event(1, "DESCRIPTION").ends_with("Überdruck"),
        "{}",
        event(1, "DESCRIPTION")
    );
    assert_eq!(
        (event(2, "DTSTART").as_str(), event(2, "DTEND").as_str()),
        ("21991231", "22000101")
    );
    app.post("/appointments/1", &visit).await.is(303);
    app.get("/calendar.ics").await.shows("SEQUENCE:1");
}

#[tokio::test]
async fn the_calendars_private_address_opens_it_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let app = App::on(folder.path()).await;
    app.post(
        "/start/empty",
        &[("name", "Hazel Row Works"), ("owner", "Wren Tarbet")],
    )
    .await
    .is(303);
    let made = app.post("/retests/calendar", &[]).await;
    let address = format!(
        "/calendar/{}",
        made.between("<a href=\"/calendar/", "\"").unwrap()
    );
    app.get("/retests")
        .await
        .lacks(&address)
        .shows("open since");
    let phrase = [
        ("phrase", "a few plain words"),
        ("again", "a few plain words"),
    ];
    app.post("/workshop/pass-phrase", &phrase).await.is(303);
    app.stop().await;
    // Behind the door, a calendar program cannot come in; its address is the key to this one thing.
    let shut = App::behind_its_door(folder.path()).await;
    assert_ne!(shut.get("/calendar.ics").await.status, 200);
    let feed = shut.get(&address).await;
    feed.is(200).shows("BEGIN:VCALENDAR");
    assert_eq!(feed.header("referrer-policy"), "no-referrer");
    shut.get(&format!("{address}x")).await.is(404);
    shut.get("/calendar/").await.lacks("VCALENDAR");
}
