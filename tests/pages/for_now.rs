//! What a water test leaves off or plugged: offered on its page, kept in a press, a hold before steam until it is put back.

use acceptance::App;

/// A job with a plant of these components, and a water test prepared on it.
async fn water_test(components: &[(&str, &str)]) -> App {
    let app = App::one_job().await;
    for (kind, name) in components {
        app.post(
            &format!("/plants/1/components?kind={kind}"),
            &[("name", name)],
        )
        .await
        .is(303);
    }
    prepare(&app, "hydraulic", &["valve-and-glass-off", "vented"])
        .await
        .leads_to("/trials/1");
    app
}

async fn prepare(app: &App, kind: &str, holds: &[&str]) -> acceptance::Page {
    let mut form = vec![
        ("kind", kind),
        ("question", "Is it sound at 8 bar?"),
        ("plant-working_pressure_bar", "4"),
        ("instruments-pressure-full_scale_bar", "16"),
        ("instruments-pressure-accuracy_class", "0.6"),
        ("instruments-pressure-resolution_bar", "0.05"),
    ];
    if kind == "steam" {
        form.extend([
            ("plant-glass-visible_mm", "60"),
            ("plant-glass-low_mark_mm", "12"),
            ("plant-glass-high_mark_mm", "48"),
            ("instruments-level-resolution_mm", "1"),
        ]);
    }
    form.extend(holds.iter().map(|h| ("hold", *h)));
    app.post("/jobs/26-001/trials/new", &form).await
}

#[tokio::test]
async fn a_water_test_offers_what_it_creates_under_the_plants_own_names() {
    let app = water_test(&[
        ("safety-valve", "left pop valve"),
        ("safety-valve", "right pop valve"),
        ("boiler", "Boiler"),
    ])
    .await;
    app.get("/trials/1")
        .await
        .shows("left pop valve off, its bush plugged")
        .shows("right pop valve off, its bush plugged")
        .shows("water glass off, its bushes plugged")
        .shows("every other bush plugged")
        .shows("value=\"safety-valve-1\"");
    // Only a water test does.
    prepare(&app, "air", &[]).await.leads_to("/trials/2");
    app.get("/trials/2").await.lacks("for-now");
    app.post(
        "/trials/2/for-now",
        &[("offer", "safety-valve-1"), ("way", "off")],
    )
    .await
    .is(422);
    app.post("/trials/1/for-now", &[("offer", "whistle"), ("way", "off")])
        .await
        .is(422);
}

#[tokio::test]
async fn one_press_makes_it_a_steam_trial_stops_at_it_and_one_press_puts_it_back() {
    let app = water_test(&[("safety-valve", "pop valve")]).await;
    let off = [("offer", "safety-valve-1"), ("way", "off")];
    app.post("/trials/1/for-now", &off)
        .await
        .leads_to("/trials/1#for-now");
    // Pressed twice, on two phones: it is one.
    app.post("/trials/1/for-now", &off).await.is(303);
    let states = records::states::standing(app.store(), records::PlantId::new(1))
        .await
        .expect("states");
    let kept: Vec<_> = states
        .iter()
        .map(|s| {
            (
                s.what.as_str(),
                s.bar.as_str(),
                s.ends_it.as_str(),
                s.trial_serial,
            )
        })
        .collect();
    assert_eq!(
        kept,
        [(
            "pop valve off, its bush plugged",
            "no steam",
            "pop valve back on and tried by hand, after the water test",
            Some(1)
        )]
    );
    app.get("/trials/1")
        .await
        .shows("<strong>pop valve off, its bush plugged</strong>")
        .shows("Put back");
    app.get("/jobs/26-001")
        .await
        .shows("<a href=\"/trials/1\">trial 1</a>")
        .shows("no: a no-steam bar stands");
    app.get("/").await.shows("pop valve off, its bush plugged");
    // The steam trial's hold cannot be signed while it is off.
    prepare(&app, "steam", &["temporary-states-ended"])
        .await
        .leads_to("/trials/2");
    let sign = [
        ("what", "check"),
        ("check", "temporary-states-ended"),
        ("value", ""),
    ];
    app.get("/trials/2")
        .await
        .shows("It cannot be signed")
        .shows("pop valve off, its bush plugged");
    app.post("/trials/2/entries", &sign).await.is(409);
    // The close of the test says that it stands, and puts it back in a press.
    let note = [("what", "event"), ("event", "note"), ("note", "pumped up")];
    app.post("/trials/1/entries", &note).await.is(303);
    app.get("/trials/1/close")
        .await
        .shows("1 of what this test left off or plugged is not put back.")
        .shows("Put back");
    let back = [
        ("offer", "safety-valve-1"),
        ("way", "back"),
        ("page", "close"),
    ];
    app.post("/trials/1/for-now", &back)
        .await
        .leads_to("/trials/1/close#for-now");
    app.get("/trials/1/close")
        .await
        .lacks("is not put back.")
        .shows("put back ")
        .shows("So again");
    app.get("/trials/2").await.lacks("It cannot be signed");
    app.post("/trials/2/entries", &sign).await.is(303);
    // Off once more is the same one, standing again.
    app.post("/trials/1/for-now", &off).await.is(303);
    let states = records::states::of_job(app.store(), records::JobId::new(1))
        .await
        .expect("states");
    assert_eq!(states.len(), 1);
    assert!(states[0].ended_at.is_none());
    // Withdrawn on its own page, it is offered anew.
    app.get("/trials/1")
        .await
        .lacks("It is so: note it<span class=\"seen-by-reader\">: pop valve");
    app.post("/withdraw/temporary-state/1", &[("back", "/")])
        .await
        .is(303);
    app.get("/trials/1")
        .await
        .shows("It is so: note it<span class=\"seen-by-reader\">: pop valve");
    app.post("/trials/1/for-now", &off).await.is(303);
    app.get("/").await.shows("pop valve off, its bush plugged");
}

#[tokio::test]
async fn what_is_still_off_stands_beside_the_sealed_record_until_it_is_back() {
    let app = water_test(&[]).await;
    app.post("/trials/1/for-now", &[("offer", "glass"), ("way", "off")])
        .await
        .is(303);
    let gone = [("what", "event"), ("event", "pressure-released")];
    app.post("/trials/1/entries", &gone).await.is(303);
    app.get("/trials/1")
        .await
        .shows("<strong>water glass off, its bushes plugged</strong>");
    let close = [
        ("answer", "not-settled"),
        ("note", "given up for today"),
        ("sign", "yes"),
    ];
    app.post("/trials/1/close", &close)
        .await
        .leads_to("/trials/1/record");
    app.get("/trials/1/record")
        .await
        .shows("Still so on the plant today")
        .shows("water glass off, its bushes plugged")
        .lacks("It is so: note it");
    let back = [("offer", "glass"), ("way", "back"), ("page", "record")];
    app.post("/trials/1/for-now", &back)
        .await
        .leads_to("/trials/1/record#for-now");
    app.get("/trials/1/record")
        .await
        .lacks("Still so on the plant today")
        .lacks("water glass off");
}

#[tokio::test]
async fn what_else_is_off_on_the_plant_is_named_beside_the_offers() {
    let app = water_test(&[]).await;
    let noted = [
        ("what", "whistle"),
        ("how", "left off"),
        ("bar", "no handover"),
        ("ends_it", "whistle back"),
    ];
    app.post("/jobs/26-001/states", &noted).await.is(303);
    app.get("/trials/1")
        .await
        .shows("Not ended on this plant besides:")
        .shows("whistle, left off");
    // The preparing page of a water test says where they are offered.
    app.get("/jobs/26-001/trials/new?kind=hydraulic")
        .await
        .shows("offered on its own page");
    app.get("/jobs/26-001/trials/new?kind=steam")
        .await
        .lacks("offered on its own page");
}
