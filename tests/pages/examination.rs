//! The examination: component by component, sound or with its defect, a picture in the same press, all without script.

use acceptance::{App, Page};

use crate::pictures::jpeg;

/// A job whose plant has a boiler (1), a safety valve (2) and a glass (3).
async fn three_components() -> App {
    let app = App::one_job().await;
    for (kind, name) in [
        ("boiler", "Boiler"),
        ("safety-valve", "Safety valve"),
        ("glass", "Water glass"),
    ] {
        app.post(
            &format!("/plants/1/components?kind={kind}"),
            &[("name", name)],
        )
        .await
        .is(303);
    }
    app
}

async fn examine(app: &App, component: u8, fields: &[(&str, &str)]) -> Page {
    let to = format!("/jobs/26-001/examination/{component}");
    app.send_files(&to, fields, &[]).await
}

#[tokio::test]
async fn each_component_is_looked_at_in_turn_and_what_waits_is_seen() {
    let app = three_components().await;
    app.get("/jobs/26-001")
        .await
        .shows("<a href=\"/jobs/26-001/examination\">examined 0 of 3 components</a>");
    app.get("/jobs/26-001/examination")
        .await
        .is(200)
        .shows("Next to examine: Boiler")
        .shows("<em>not examined yet</em>");
    app.get("/jobs/26-001/examination/1")
        .await
        .shows("capture=\"environment\"")
        .shows("value=\"sound\"")
        .lacks("Sound in other respects");
    examine(
        &app,
        1,
        &[
            ("finding", "brushed, dry at every seam"),
            ("outcome", "sound"),
        ],
    )
    .await
    .leads_to("/jobs/26-001/examination");
    app.get("/jobs/26-001/examination")
        .await
        .shows("saved Boiler, sound");
    // One box of words is enough where it has a defect.
    let sticks = [
        ("finding", ""),
        ("outcome", "defect"),
        ("what", "It sticks"),
        ("bar", "no steam"),
    ];
    examine(&app, 2, &sticks).await.is(303);
    app.get("/jobs/26-001/examination")
        .await
        .shows("examined 2 of 3 components")
        .shows("Next to examine: Water glass")
        .shows("<strong>sound</strong>")
        .shows("<strong>1 defect, standing</strong>")
        .shows("brushed, dry at every seam")
        .shows("Wren Tarbet");
    // The defect is the job's, bars steam, and leads back to where it came from.
    app.get("/jobs/26-001")
        .await
        .shows("examined 2 of 3 components")
        .shows("no: a no-steam bar stands")
        .shows("<a href=\"/examinations/2\">examination</a>");
    // The bench says what waits, until the job is put further.
    app.get("/").await.shows("examined 2 of 3 components");
    app.post("/jobs/26-001/stands", &[("stands", "on the bench")])
        .await
        .is(303);
    app.get("/").await.lacks("components</a>");
    // All that happened to the valve, and the search.
    app.get("/components/2")
        .await
        .shows("<a href=\"/examinations/2\">examined by Wren Tarbet, defect: It sticks</a>");
    app.get("/look-back?words=seam")
        .await
        .shows("/examinations/1");
}

#[tokio::test]
async fn a_second_finding_stands_beside_the_first_and_the_next_visit_sees_the_last() {
    let app = three_components().await;
    for finding in ["sooted", "brushed bright"] {
        examine(&app, 1, &[("finding", finding), ("outcome", "sound")])
            .await
            .is(303);
    }
    let list = app.get("/jobs/26-001/examination").await;
    list.shows("brushed bright")
        .shows("sooted")
        .shows("before that");
    app.get("/jobs/26-001/examination/1")
        .await
        .shows("Found already");
    let again = [
        ("plant", "1"),
        ("came_in_on", "2026-11-20"),
        ("words", "again"),
    ];
    app.post("/jobs", &again).await.leads_to("/jobs/26-002");
    let next = app.get("/jobs/26-002/examination").await;
    next.shows("examined 0 of 3 components")
        .shows("brushed bright")
        .lacks("sooted");
    app.get("/jobs/26-002/examination/1")
        .await
        .shows("The time before, 26-001");
    // The earlier visit is not told by a later one.
    examine(&app, 1, &[("finding", "third"), ("outcome", "sound")])
        .await
        .is(303);
    let to = "/jobs/26-002/examination/1";
    app.send_files(to, &[("finding", "worn thin"), ("outcome", "sound")], &[])
        .await
        .is(303);
    app.get("/jobs/26-001/examination").await.lacks("worn thin");
}

#[tokio::test]
async fn sound_over_a_standing_defect_is_asked_again_and_nothing_typed_is_lost() {
    let app = three_components().await;
    let sticks = [
        ("finding", "It sticks"),
        ("outcome", "defect"),
        ("bar", "watch"),
    ];
    examine(&app, 2, &sticks).await.is(303);
    app.get("/jobs/26-001/examination/2")
        .await
        .shows("Not cleared")
        .shows("Sound in other respects");
    let typed = [("finding", "spring is good & clean"), ("outcome", "sound")];
    examine(&app, 2, &typed)
        .await
        .is(422)
        .shows("defect 1 of 26-001 is standing")
        .shows("sound in other respects")
        .shows("spring is good &#38; clean");
    app.get("/jobs/26-001/examination")
        .await
        .lacks("spring is good");
    let asked = [
        ("finding", "spring is good"),
        ("outcome", "sound in other respects"),
    ];
    examine(&app, 2, &asked).await.is(303);
    app.get("/jobs/26-001/examination")
        .await
        .shows("1 defect, standing; sound in other respects");
    app.get("/defects/1").await.shows("It sticks");
    // What is on no component is not left out of the picture.
    app.get("/jobs/26-001/examination")
        .await
        .lacks("on the plant as a whole");
    let whole = [("what", "It smells of gas"), ("bar", "no steam")];
    app.post("/jobs/26-001/defects", &whole).await.is(303);
    app.get("/jobs/26-001/examination")
        .await
        .shows("on the plant as a whole")
        .shows("It smells of gas");
    app.get("/jobs/26-001")
        .await
        .shows("<strong>standing</strong>");
}

#[tokio::test]
async fn faults_name_their_place_and_keep_what_was_typed() {
    let app = three_components().await;
    examine(&app, 1, &[("finding", " "), ("outcome", "sound")])
        .await
        .is(422)
        .shows("Say what you found.")
        .shows("href=\"#finding\"");
    let both = [
        ("finding", "looked all round"),
        ("outcome", "sound"),
        ("what", "a weep at the bush"),
        ("bar", "no handover"),
    ];
    examine(&app, 1, &both)
        .await
        .is(422)
        .shows("Words of a defect stand here")
        .shows("looked all round")
        .shows("a weep at the bush")
        .shows("<option value=\"no handover\" selected>");
    examine(
        &app,
        1,
        &[("finding", "x"), ("outcome", "defect"), ("bar", "never")],
    )
    .await
    .is(422)
    .shows("href=\"#bar\"");
    let words = [("finding", "as it is in the picture"), ("outcome", "sound")];
    app.send_files(
        "/jobs/26-001/examination/1",
        &words,
        &[("taken", "seat.jpg", b"no picture")],
    )
    .await
    .is(415)
    .shows("as it is in the picture")
    .shows("href=\"#taken\"");
    app.get("/jobs/26-001/examination")
        .await
        .shows("examined 0 of 3 components");
    // A component of another plant, or of none.
    examine(&app, 9, &words).await.is(404);
}

#[tokio::test]
async fn the_same_press_twice_is_one_finding_one_defect_and_one_picture() {
    let app = three_components().await;
    let seat = jpeg(40, 30, [90, 60, 30]);
    let key = records::fresh_key();
    let fields = [
        ("key", key.as_str()),
        ("finding", "pitted"),
        ("outcome", "defect"),
        ("bar", "no handover"),
    ];
    for _ in 0..2 {
        app.send_files(
            "/jobs/26-001/examination/2",
            &fields,
            &[("taken", "seat.jpg", &seat)],
        )
        .await
        .leads_to("/jobs/26-001/examination");
    }
    let list = app.get("/jobs/26-001/examination").await;
    list.shows("1 defect, standing")
        .shows("; 1 picture")
        .lacks("before that");
    app.get("/examinations/1").await.shows("/pictures/file/");
    app.get("/defects/1").await.shows("/pictures/file/");
    app.get("/jobs/26-001")
        .await
        .shows("<strong>defect 1</strong>");
    // Sound with a picture: it is of the component, and stands on the job as well.
    let sound = [("finding", "bright"), ("outcome", "sound")];
    let shell = jpeg(40, 30, [10, 60, 130]);
    app.send_files(
        "/jobs/26-001/examination/1",
        &sound,
        &[("chosen", "shell.jpg", &shell)],
    )
    .await
    .is(303);
    app.get("/jobs/26-001")
        .await
        .shows("<strong>component Boiler</strong>");
    app.get("/components/1").await.shows("/pictures/file/");
    app.get("/jobs/26-001/receipt")
        .await
        .lacks("/pictures/file/");
    // One more, from the finding's own page.
    let page = app.get("/examinations/2").await;
    let add = page
        .between("href=\"/pictures/new?", "\"")
        .expect("a way to add one")
        .replace("&#38;", "&");
    app.get(&format!("/pictures/new?{add}")).await.is(200);
    let end = jpeg(40, 30, [10, 160, 30]);
    app.send_files(
        &format!("/pictures?{add}"),
        &[("caption", "the other end")],
        &[("taken", "end.jpg", &end)],
    )
    .await
    .leads_to("/examinations/2#pictures");
    app.get("/examinations/2").await.shows("the other end");
    app.get("/jobs/26-001/examination")
        .await
        .shows("; 2 pictures");
}

#[tokio::test]
async fn a_finding_is_put_right_withdrawn_and_put_back_and_may_have_more_defects() {
    let app = three_components().await;
    let weeps = [
        ("finding", "weeps"),
        ("outcome", "defect"),
        ("bar", "no steam"),
    ];
    examine(&app, 3, &weeps).await.is(303);
    let more = [("what", "cock stiff"), ("bar", "watch")];
    app.post("/examinations/1/defects", &[("what", ""), ("bar", "watch")])
        .await
        .is(422)
        .shows("Say what is wrong.");
    app.post("/examinations/1/defects", &more)
        .await
        .leads_to("/jobs/26-001/examination#component-3");
    app.get("/jobs/26-001/examination")
        .await
        .shows("2 defects: 2 standing")
        .shows("cock stiff");
    app.post("/examinations/1", &[("finding", "")])
        .await
        .is(422)
        .shows("Say what was found.");
    app.post("/examinations/1", &[("finding", "weeps at the lower nut")])
        .await
        .is(303);
    app.get("/examinations/1")
        .await
        .shows("weeps at the lower nut")
        .shows("What was changed, by whom")
        .shows("defect 2, standing: cock stiff");
    // A slip of the hand, and what was there put back in one press.
    app.post("/examinations/1", &[("finding", "sleeps")])
        .await
        .is(303);
    let page = app.get("/examinations/1").await;
    let press = page.between("action=\"/put-back/", "\"").expect("a key");
    app.post(
        &format!("/put-back/{press}"),
        &[("back", "/examinations/1")],
    )
    .await
    .leads_to("/examinations/1");
    app.get("/examinations/1")
        .await
        .shows("lower nut</textarea>");
    let back = [("back", "/jobs/26-001/examination")];
    app.post("/withdraw/examination/1", &back).await.is(303);
    app.get("/jobs/26-001/examination")
        .await
        .shows("examined 0 of 3 components")
        .shows("2 defects: 2 standing")
        .lacks("lower nut");
    app.post(
        "/withdraw/examination/1",
        &[("back", "/jobs/26-001/examination"), ("undo", "yes")],
    )
    .await
    .is(303);
    app.get("/jobs/26-001/examination").await.shows("lower nut");
}

#[tokio::test]
async fn a_plant_without_components_says_how_to_add_them() {
    let app = App::one_job().await;
    app.get("/jobs/26-001")
        .await
        .shows("no component is written down yet");
    app.get("/jobs/26-001/examination")
        .await
        .is(200)
        .shows("nothing to examine one by one. On <a href=\"/plants/1#components\">")
        .lacks("Next to examine");
}
