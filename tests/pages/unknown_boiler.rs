//! A boiler of unknown history, on the pages: unknown, refused, and never agreed without a water test.

use acceptance::App;

async fn begun() -> App {
    let app = App::one_job().await;
    app.get("/jobs/26-001")
        .await
        .shows("Its boiler's history is unknown");
    app.post("/jobs/26-001/unknown-boiler/begin", &[])
        .await
        .leads_to("/jobs/26-001/unknown-boiler");
    app
}

#[tokio::test]
async fn until_it_is_agreed_it_is_unknown_and_no_steam_stands() {
    let app = begun().await;
    app.get("/")
        .await
        .shows("history is unknown, and no working pressure is agreed");
    app.get("/jobs/26-001")
        .await
        .shows("no: a no-steam bar stands")
        .shows("href=\"/jobs/26-001/unknown-boiler\">unknown");
    let page = app.get("/jobs/26-001/unknown-boiler").await;
    page.shows("A soft-soldered seam melts")
        .shows("may hold asbestos")
        .shows("No working pressure is proposed yet");
    let found = [
        ("material", "copper"),
        ("seams", "silver solder"),
        ("plate", "pitted <at the foot>"),
        ("proposed_bar", "3,0"),
        ("proposed_by", "Wren"),
    ];
    app.post("/jobs/26-001/unknown-boiler", &found)
        .await
        .leads_to("/jobs/26-001/unknown-boiler");
    app.get("/jobs/26-001/unknown-boiler")
        .await
        .shows("pitted &#60;at the foot&#62;")
        .shows("3.0 bar is proposed by Wren; nobody has agreed to it")
        .lacks("A soft-soldered seam melts");
    // Neither a sitting nor a withdrawal takes the bar away.
    let sitting = [
        ("on_day", "2026-11-05"),
        ("minutes", "5"),
        ("done", "Looked"),
    ];
    app.post("/jobs/26-001/sittings", &sitting).await.is(303);
    app.post("/withdraw/defect/1", &[("back", "/")])
        .await
        .is(409)
        .shows("no steam stands until");
    app.get("/look-back?words=pitted")
        .await
        .shows("href=\"/jobs/26-001/unknown-boiler\"");
    app.post("/jobs/26-001/unknown-boiler/begin", &[])
        .await
        .is(409)
        .shows("begun already");
    app.get("/jobs/26-002/unknown-boiler").await.is(404);
}

#[tokio::test]
async fn a_decision_says_who_and_why_and_agreeing_needs_its_water_test() {
    let app = begun().await;
    let at = "/jobs/26-001/unknown-boiler/decide";
    let bare = app
        .post(at, &[("outcome", "agreed"), ("why", "kept <1>")])
        .await;
    bare.is(422)
        .shows("2 entries are at fault")
        .shows("Choose the water test")
        .shows("kept &#60;1&#62;");
    app.post(at, &[("outcome", "refused"), ("by", "Wren")])
        .await
        .is(422)
        .shows("Say why");
    app.post(at, &[("outcome", "maybe")]).await.is(422);
    let found = [
        ("material", ""),
        ("seams", ""),
        ("proposed_bar", "3"),
        ("proposed_by", "Wren"),
    ];
    app.post("/jobs/26-001/unknown-boiler", &found)
        .await
        .is(303);
    let without = [
        ("outcome", "agreed"),
        ("by", "the inspector"),
        ("trial", "7"),
    ];
    app.post(at, &without)
        .await
        .is(409)
        .shows("needs a water test");
    let refusal = [
        ("outcome", "refused"),
        ("by", "the inspector"),
        ("why", "the crown is <bulged>"),
    ];
    app.post(at, &refusal)
        .await
        .leads_to("/jobs/26-001/unknown-boiler");
    app.get("/jobs/26-001/unknown-boiler")
        .await
        .shows("It is not to be steamed.")
        .shows("because: the crown is &#60;bulged&#62;")
        .shows("Boiler of unknown history: refused");
    app.get("/jobs/26-001")
        .await
        .shows("no: a no-steam bar stands");
    app.post("/jobs/26-001/unknown-boiler", &found)
        .await
        .is(409)
        .shows("say that it is unknown again");
    let wrong = [
        ("material", "tin"),
        ("seams", ""),
        ("proposed_bar", "400"),
        ("measured", "kept <2>"),
    ];
    app.post("/jobs/26-001/unknown-boiler", &wrong)
        .await
        .is(422)
        .shows("not over 40 bar")
        .shows("kept &#60;2&#62;");
}

#[tokio::test]
async fn what_holds_the_seams_is_written_down_with_the_boiler_and_may_be_unknown() {
    let app = App::one_job().await;
    app.get("/plants/1/components/new?kind=boiler")
        .await
        .shows("Joints: what holds the seams")
        .shows("melts near 180 °C");
    app.get("/plants/1/components/new?kind=engine")
        .await
        .lacks("what holds the seams");
    let make = "/plants/1/components?kind=boiler";
    app.post(
        make,
        &[("name", "kept as typed"), ("joints", "chewing gum")],
    )
    .await
    .is(422)
    .shows("kept as typed");
    app.post(make, &[("name", "Boiler"), ("joints", "")])
        .await
        .is(303);
    app.get("/plants/1").await.lacks("Joints");
    app.post(
        "/components/1",
        &[("name", "Boiler"), ("joints", "soft solder")],
    )
    .await
    .is(303);
    app.get("/plants/1")
        .await
        .shows("Joints")
        .shows("soft solder");
}
