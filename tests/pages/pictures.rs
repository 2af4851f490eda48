//! Pictures on the pages: taken in, shown where they belong, and for the customer only what was ticked.

use acceptance::{App, Page};

/// A JPEG of one colour.
pub(super) fn jpeg(width: u32, height: u32, colour: [u8; 3]) -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    image::RgbImage::from_pixel(width, height, image::Rgb(colour))
        .write_to(&mut bytes, image::ImageFormat::Jpeg)
        .expect("a JPEG is encoded");
    bytes.into_inner()
}

async fn add(app: &App, of: &str, caption: &str, colour: [u8; 3]) -> Page {
    let picture = jpeg(400, 300, colour);
    app.send_files(
        &format!("/pictures?of={of}"),
        &[("caption", caption), ("taken_on", "2026-11-04")],
        &[("taken", "IMG_1.jpg", &picture), ("chosen", "", b"")],
    )
    .await
}

/// The address of the first picture's file on a page.
fn file_on(page: &Page, before: &str) -> String {
    let rest = page
        .between(&format!("<img src=\"{before}"), "\"")
        .expect("a picture is shown");
    format!("{before}{rest}")
}

#[tokio::test]
async fn a_picture_is_added_to_whatever_it_is_of_and_found_on_the_job() {
    let app = App::one_job().await;
    let defect = [
        ("what", "Cock stiff"),
        ("bar", "watch"),
        ("found", "examination"),
    ];
    app.post("/jobs/26-001/defects", &defect).await.is(303);
    let sitting = [
        ("on_day", "2026-11-05"),
        ("minutes", "5"),
        ("done", "Looked"),
    ];
    app.post("/jobs/26-001/sittings", &sitting).await.is(303);
    app.post(
        "/jobs/26-001/parts",
        &[("name", "Cock"), ("state", "to make")],
    )
    .await
    .is(303);
    let more = [("what", "A second glass"), ("price", "74.00")];
    app.post("/jobs/26-001/variations", &more).await.is(303);
    app.post(
        "/plants/1/components?kind=fitting",
        &[("name", "Lower cock")],
    )
    .await
    .is(303);
    for (of, home) in [
        ("job-1", "/jobs/26-001#pictures"),
        ("defect-1", "/defects/1#pictures"),
        ("sitting-1", "/sittings/1#pictures"),
        ("part-1", "/parts/1#pictures"),
        ("variation-1", "/variations/1#pictures"),
        ("component-1", "/components/1#pictures"),
    ] {
        app.get(&format!("/pictures/new?of={of}"))
            .await
            .is(200)
            .shows("capture=\"environment\"");
        let caption = format!("of {of} <3>");
        add(&app, of, &caption, [9, 99, 9]).await.leads_to(home);
        app.get(home)
            .await
            .is(200)
            .shows(&format!("of {of} &#60;3&#62;"));
    }
    let job = app.get("/jobs/26-001").await;
    job.shows("<strong>defect 1</strong>: of defect-1")
        .lacks("of component-1");
    let trial = [("kind", "steam"), ("question", "Does it hold?")];
    app.post("/jobs/26-001/trials/new", &trial)
        .await
        .leads_to("/trials/1");
    add(&app, "trial-1", "of a trial", [9, 9, 99])
        .await
        .leads_to("/trials/1/record#pictures");
    app.get("/jobs/26-001")
        .await
        .shows("<strong>trial 1</strong>: of a trial");
    app.get("/pictures/2")
        .await
        .is(200)
        .shows("defect 1, Cock stiff")
        .shows("taken 4 Nov 2026");
    for nowhere in ["defect-9", "job-x", "paper-1", "", "customer-1"] {
        app.get(&format!("/pictures/new?of={nowhere}"))
            .await
            .is(404);
        assert!(
            matches!(add(&app, nowhere, "", [1, 1, 1]).await.status, 404),
            "{nowhere}"
        );
    }
}

#[tokio::test]
async fn the_file_is_a_jpeg_that_may_be_kept_for_ever_and_only_ours() {
    let app = App::one_job().await;
    add(&app, "job-1", "front", [200, 20, 20]).await.is(303);
    let address = file_on(&app.get("/jobs/26-001").await, "/pictures/file/");
    let file = app.get(&address).await;
    file.is(200);
    assert_eq!(file.header("content-type"), "image/jpeg");
    assert_eq!(file.header("x-content-type-options"), "nosniff");
    assert_eq!(
        file.header("cache-control"),
        "private, max-age=31536000, immutable"
    );
    let hash = address
        .trim_start_matches("/pictures/file/")
        .trim_end_matches(".jpg");
    assert_eq!(records::sha256(&file.bytes), hash);
    for other in [
        "0".repeat(64),
        "..%2f..%2fgaugeglass.sqlite".to_owned(),
        hash[..63].to_owned(),
    ] {
        app.get(&format!("/pictures/file/{other}.jpg"))
            .await
            .is(404);
    }
    app.get(&format!("/pictures/file/{hash}")).await.is(404);
}

#[tokio::test]
async fn what_is_no_picture_is_refused_with_its_reason_and_what_was_typed_stays() {
    let app = App::one_job().await;
    let send = async |name: &str, bytes: &[u8]| {
        app.send_files(
            "/pictures?of=job-1",
            &[("caption", "the <crown>")],
            &[("chosen", name, bytes)],
        )
        .await
    };
    let drawing = send("drawing.jpg", b"<svg onload=\"alert(1)\"></svg>").await;
    drawing
        .is(415)
        .shows("no JPEG, PNG or WebP")
        .shows("the &#60;crown&#62;")
        .lacks("<svg onload");
    let short = jpeg(400, 300, [1, 2, 3]);
    send("short.jpg", &short[..short.len() / 2])
        .await
        .is(422)
        .shows("cut short");
    app.send_files("/pictures?of=job-1", &[], &[("taken", "", b"")])
        .await
        .is(422)
        .shows("No picture came");
    let large = vec![0xFF; 20 * 1024 * 1024 + 1];
    send("large.jpg", &large)
        .await
        .is(413)
        .shows("larger than 20 MB")
        .shows("the &#60;crown&#62;");
    let day = app
        .send_files(
            "/pictures?of=job-1",
            &[("taken_on", "soon")],
            &[("taken", "a.jpg", &jpeg(9, 9, [0; 3]))],
        )
        .await;
    day.is(422).shows("“soon” is no day");
    app.get("/jobs/26-001").await.lacks("/pictures/file/");
    let left = std::fs::read_dir(app.store().folder().join("pictures/coming-in")).unwrap();
    assert_eq!(left.count(), 0, "nothing refused is left on the disk");
}

#[tokio::test]
async fn a_senders_file_name_goes_nowhere() {
    let app = App::one_job().await;
    let long = "n".repeat(300);
    for (n, name) in [
        "../../outside.jpg",
        "a\0b.jpg",
        long.as_str(),
        "\u{202e}gpj.exe",
        "C:\\x.jpg",
    ]
    .iter()
    .enumerate()
    {
        let colour = [u8::try_from(n * 40).unwrap(), 0, 0];
        let sent = app
            .send_files(
                "/pictures?of=job-1",
                &[],
                &[("taken", name, &jpeg(60, 40, colour))],
            )
            .await;
        assert!(
            matches!(sent.status, 303 | 422),
            "{name:?}: {}",
            sent.status
        );
    }
    let mut outside = Vec::new();
    let mut folders = vec![app.store().folder().to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            let ours =
                name.starts_with("gaugeglass.") || (name.len() == 68 && name.ends_with(".jpg"));
            if path.is_dir() {
                folders.push(path);
            } else if !ours {
                outside.push(name);
            }
        }
    }
    assert_eq!(outside, [""; 0]);
    assert!(
        !app.store()
            .folder()
            .parent()
            .unwrap()
            .join("outside.jpg")
            .exists()
    );
}

#[tokio::test]
async fn the_same_form_twice_is_one_picture_and_other_content_under_its_key_is_refused() {
    let app = App::one_job().await;
    let key = records::fresh_key();
    let (red, blue) = (jpeg(90, 60, [200, 0, 0]), jpeg(90, 60, [0, 0, 200]));
    let send = async |picture: &[u8]| {
        app.send_files(
            "/pictures?of=job-1",
            &[("key", key.as_str())],
            &[("taken", "a.jpg", picture)],
        )
        .await
    };
    send(&red).await.is(303);
    send(&red).await.is(303);
    send(&blue).await.is(422);
    let job = records::JobId::new(1);
    assert_eq!(
        records::pictures::of_job(app.store(), job)
            .await
            .unwrap()
            .len(),
        1
    );
    app.send_files(
        "/pictures?of=job-1",
        &[("key", "short")],
        &[("taken", "a.jpg", &red)],
    )
    .await
    .is(422);
}

#[tokio::test]
async fn the_words_are_changed_and_a_picture_is_withdrawn_and_put_back() {
    let app = App::one_job().await;
    add(&app, "job-1", "front", [1, 2, 200]).await.is(303);
    app.post(
        "/pictures/1",
        &[("caption", "the back"), ("taken_on", "2026-11-02")],
    )
    .await
    .leads_to("/pictures/1");
    app.get("/pictures/1")
        .await
        .shows("the back; taken 2 Nov 2026");
    app.post("/pictures/1", &[("caption", "kept"), ("taken_on", "never")])
        .await
        .is(422)
        .shows("value=\"kept\"");
    app.post("/withdraw/picture/1", &[("back", "/pictures/1")])
        .await
        .leads_to("/pictures/1");
    app.get("/jobs/26-001")
        .await
        .lacks("/pictures/file/")
        .shows("Withdrawn: <a href=\"/pictures/1\">");
    app.post(
        "/withdraw/picture/1",
        &[("undo", "yes"), ("back", "/pictures/1")],
    )
    .await
    .is(303);
    app.get("/jobs/26-001")
        .await
        .shows("/pictures/file/")
        .shows("picture “the back” put back");
}

#[tokio::test]
async fn the_customer_sees_only_ticked_pictures_and_only_once_they_agreed() {
    let app = App::one_job().await;
    add(&app, "job-1", "SECRET caption", [1, 2, 200])
        .await
        .is(303);
    add(&app, "job-1", "SECRET other", [200, 2, 1])
        .await
        .is(303);
    let made = app.post("/jobs/26-001/links", &[]).await;
    let link = format!(
        "/progress/{}",
        made.between("<a href=\"/progress/", "\"").unwrap()
    );
    let pictures = records::pictures::of_job(app.store(), records::JobId::new(1))
        .await
        .unwrap();
    let files: Vec<String> = pictures
        .iter()
        .flat_map(|p| [&p.small_sha256, &p.page_sha256])
        .map(|hash| format!("{link}/pictures/{hash}.jpg"))
        .collect();
    let tick = [("picture", "1"), ("picture-words-1", "The front of it")];
    app.post("/jobs/26-001/publish", &tick).await.is(303);
    // Ticked, but they have not agreed.
    app.get("/jobs/26-001/publish")
        .await
        .shows("has not agreed that pictures are put up");
    app.get(&link)
        .await
        .is(200)
        .lacks("<img")
        .lacks("The front of it");
    for file in &files {
        app.get(file).await.is(404);
    }
    let agreed = [
        ("name", "T. Penrow"),
        ("agreed_on", "2026-11-03"),
        ("agreed_how", "by letter"),
    ];
    app.post("/customers/1", &agreed).await.is(303);
    app.get("/customers/1")
        .await
        .shows("Agreed 3 Nov 2026")
        .shows("by letter");
    app.get(&link)
        .await
        .shows("The front of it")
        .lacks("SECRET");
    let seen: Vec<u16> = [
        app.get(&files[0]).await.status,
        app.get(&files[1]).await.status,
        app.get(&files[2]).await.status,
        app.get(&files[3]).await.status,
    ]
    .to_vec();
    assert_eq!(seen, [200, 200, 404, 404], "only the one that is ticked");
    let file = app.get(&files[0]).await;
    assert_eq!(
        (file.header("cache-control"), file.header("content-type")),
        ("no-store", "image/jpeg")
    );
    // Of another job's link, and after a withdrawal, it is not there.
    app.post("/withdraw/picture/1", &[("back", "/")])
        .await
        .is(303);
    app.get(&files[0]).await.is(404);
    app.get(&link).await.lacks("<img");
    app.post("/withdraw/picture/1", &[("back", "/"), ("undo", "yes")])
        .await
        .is(303);
    app.get(&files[0]).await.is(200);
    app.post("/customers/1", &[("name", "T. Penrow")])
        .await
        .is(303);
    app.get(&files[0]).await.is(404);
}
