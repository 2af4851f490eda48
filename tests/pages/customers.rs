//! Whose a plant is: ways to reach them, and a plant that comes back.

use acceptance::App;

use crate::trials_hand::Hand;

#[tokio::test]
async fn a_plant_that_was_here_before_is_booked_in_as_a_return() {
    let app = App::one_job().await;
    let page = app.get("/jobs/new?plant=1").await;
    page.shows("26-001, came in")
        .lacks("New customer's name")
        .lacks("a new plant, written below");
    app.get("/jobs/new").await.lacks("back_through");
    let back = [
        ("plant", "1"),
        ("came_in_on", "2028-11-05"),
        ("return_of", "1"),
        ("came_back", "the gland <weeps>"),
        ("back_through", "our fault"),
        ("back_charged", "not charged"),
        ("steam_to_bar", "3,5"),
    ];
    app.post("/jobs", &back).await.leads_to("/jobs/28-001");
    app.get("/jobs/28-001")
        .await
        .shows("<a href=\"/jobs/26-001\">26-001</a>: the gland &#60;weeps&#62;; our fault; <strong>not charged</strong>")
        .shows("up to <strong class=\"nowrap\">3.5 bar</strong>");
    app.get("/jobs/28-001/receipt")
        .await
        .shows("<strong>3.5 bar</strong>, as ");
    app.get("/jobs/28-001/trials/new")
        .await
        .shows("it may be steamed up to 3.5 bar");
    app.get("/look-back?words=weeps")
        .await
        .shows("href=\"/jobs/28-001\"");
    let none = [
        ("plant", "1"),
        ("came_in_on", "2028-11-05"),
        ("came_back", "kept <1>"),
        ("steam_to_bar", "-1"),
    ];
    app.post("/jobs", &none)
        .await
        .is(422)
        .shows("Choose the job that it is a return of.")
        .shows("is under nothing")
        .shows("kept &#60;1&#62;");
    let second = [
        ("plant_name", "Turnstone"),
        ("customer_name", "E. Quill"),
        ("came_in_on", "2028-11-06"),
        ("return_of", "1"),
    ];
    app.post("/jobs", &second)
        .await
        .is(409)
        .shows("of the same plant");
}

#[tokio::test]
async fn a_plant_chosen_on_the_general_form_is_asked_whether_it_is_a_return() {
    let app = App::one_job().await;
    let page = app.get("/jobs/new").await;
    page.shows("name=\"asked_of\" value=\"none\"");
    let asked = app
        .post(
            "/jobs",
            &[
                ("asked_of", "none"),
                ("plant", "1"),
                ("came_in_on", "2028-11-05"),
                ("words", "It knocks <again>"),
                ("key", "one-booking-of-this-plant"),
            ],
        )
        .await;
    asked
        .is(200)
        .shows("is it a return?")
        .shows("26-001, came in")
        .shows("name=\"asked_of\" value=\"1\"")
        .shows("It knocks &#60;again&#62;")
        .shows("value=\"2028-11-05\"")
        .shows("name=\"key\" value=\"one-booking-of-this-plant\"");
    app.get("/jobs").await.lacks("28-001");
    let told = [
        ("asked_of", "1"),
        ("plant", "1"),
        ("came_in_on", "2028-11-05"),
        ("words", "It knocks <again>"),
        ("return_of", "1"),
        ("key", "one-booking-of-this-plant"),
    ];
    app.post("/jobs", &told).await.leads_to("/jobs/28-001");
    app.get("/jobs/28-001")
        .await
        .shows("<a href=\"/jobs/26-001\">26-001</a>");
    // A job of its own is as good an answer; another plant is asked of anew, one that never was here is not.
    let own = [
        ("asked_of", "1"),
        ("plant", "1"),
        ("came_in_on", "2028-11-06"),
    ];
    app.post("/jobs", &own).await.leads_to("/jobs/28-002");
    let other = [("name", "Turnstone"), ("customer", "1")];
    app.post("/plants", &other).await.leads_to("/plants/2");
    let fresh = [
        ("asked_of", "none"),
        ("plant", "2"),
        ("came_in_on", "2028-11-07"),
    ];
    app.post("/jobs", &fresh).await.leads_to("/jobs/28-003");
    let changed = [
        ("asked_of", "1"),
        ("plant", "2"),
        ("came_in_on", "2028-11-08"),
    ];
    app.post("/jobs", &changed)
        .await
        .is(200)
        .shows("28-003, came in");
    app.stop().await;
}

#[tokio::test]
async fn a_customer_is_reached_in_several_ways_and_one_comes_first() {
    let app = App::workshop().await;
    let new = [
        ("name", "T. Penrow"),
        ("telephone", "0555 1\n+44 555 2"),
        ("email", "t@penrow.example"),
        ("letter", "1 Mill Lane\nFennel"),
        ("reach", "his <sister>"),
        ("prefers", "letter"),
    ];
    app.post("/customers", &new).await.leads_to("/customers/1");
    let page = app.get("/customers/1").await;
    page.shows("1 Mill Lane, Fennel <strong>first</strong>")
        .shows("<a href=\"tel:+445552\">+44 555 2</a>")
        .shows("<a href=\"mailto:t@penrow.example\">")
        .shows("his &#60;sister&#62;");
    app.get("/customers/1/change")
        .await
        .shows("0555 1\n+44 555 2</textarea>")
        .shows("<option value=\"letter\" selected>letter");
    app.get("/look-back?words=Mill").await.shows("/customers/1");
    let bad = [
        ("name", "E. Quill"),
        ("email", "no address"),
        ("prefers", "telephone"),
    ];
    app.post("/customers", &bad)
        .await
        .is(422)
        .shows("is no e-mail address")
        .shows("Nothing is written down for that way");
}

#[tokio::test]
async fn a_trial_shows_up_to_what_pressure_its_customer_agreed_and_what_is_over_that() {
    let hand = Hand::at_work().await;
    let number = hand.job().await;
    let path = format!("/jobs/{number}");
    let agrees = async |bar: &str| {
        let job = [
            ("came_in_on", "2026-11-03"),
            ("words", "It dies."),
            ("steam_to_bar", bar),
        ];
        hand.post(&path, &job).await.is(303);
    };
    hand.get("/trials/1").await.lacks("Agreed with");
    agrees("0").await;
    hand.get("/trials/1")
        .await
        .shows("Agreed with Mr Oakshott: it is not to be steamed.");
    agrees("3").await;
    hand.light().await;
    let reads = async |bar: &str| {
        hand.enter(&[
            ("what", "reading"),
            ("pressure_bar", bar),
            ("level_mm", "40"),
        ])
        .await
        .is(303);
        hand.get("/trials/1").await
    };
    reads("2.9")
        .await
        .shows("up to 3 bar.")
        .lacks("turn the fire down");
    reads("3.1")
        .await
        .shows("up to 3 bar. It stands at 3.10 bar: turn the fire down.");
}
