//! Phones at a trial: entries with their own time, what they still hold, the code that lets one in, and paper.

use acceptance::{App, FromPhone, Page, Request};
use records::{Stamp, TrialId, log};

use crate::trials_hand::Hand;

const DEVICE: &str = "0123456789abcdef0123456789abcdef";

/// One entry out of a phone's outbox.
struct Kept<'a> {
    key: &'a str,
    at_ms: i64,
    n: i64,
    fields: &'a [(&'a str, &'a str)],
}

async fn sends(hand: &Hand, kept: &Kept<'_>) -> Page {
    let entry = FromPhone {
        device: DEVICE,
        key: kept.key,
        n: kept.n,
        at_ms: kept.at_ms,
        fields: kept.fields,
    };
    hand.app.send(entry.request(&hand.app.host())).await
}

async fn says(hand: &Hand, pending: i64) -> Page {
    let json = format!(r#"{{"device":"{DEVICE}","pending":{pending},"last_n":3}}"#);
    let request = Request::new("POST", "/trials/1/phones")
        .header("Origin", &format!("http://{}", hand.app.host()))
        .json(&json);
    hand.app.send(request).await
}

async fn texts(hand: &Hand) -> Vec<String> {
    let all = log::entries(hand.app.store(), TrialId::new(1), 0).await;
    all.expect("entries").into_iter().map(|e| e.text).collect()
}

#[tokio::test]
async fn an_entry_of_a_phone_is_answered_with_its_key_and_what_is_stored() {
    let hand = Hand::at_work().await;
    let key = records::fresh_key();
    let fields = [
        ("what", "reading"),
        ("pressure_bar", "3,20"),
        ("level_mm", "31"),
    ];
    let kept = Kept {
        key: &key,
        at_ms: Stamp::now().millis(),
        n: 1,
        fields: &fields,
    };
    let first = sends(&hand, &kept).await;
    first
        .is(201)
        .shows(&format!("\"key\":\"{key}\""))
        .shows("\"pressure_bar\": 3.20")
        .shows("\"clock\": \"device\"");
    sends(&hand, &kept).await.is(200).shows("\"again\":true");
    let other = [("what", "reading"), ("pressure_bar", "3.3")];
    sends(
        &hand,
        &Kept {
            fields: &other,
            ..kept
        },
    )
    .await
    .is(422);
    assert_eq!(hand.entries().await, 1);
    let bad = [("what", "reading"), ("pressure_bar", "3.2.")];
    let fresh = records::fresh_key();
    let refused = Kept {
        key: &fresh,
        fields: &bad,
        ..kept
    };
    sends(&hand, &refused)
        .await
        .is(422)
        .shows("\"field\":\"pressure_bar\"");
}

#[tokio::test]
async fn an_entry_carries_its_own_time_late_ones_are_marked_and_none_is_to_come() {
    let hand = Hand::at_work().await;
    let began = Stamp::now().millis() - 600_000;
    let lit = [("what", "event"), ("event", "fire-lit")];
    let reads = [("what", "reading"), ("level_mm", "31")];
    let keys: Vec<String> = (0..3).map(|_| records::fresh_key()).collect();
    for (n, (key, at_ms, fields)) in [
        (&keys[0], began, &lit),
        (&keys[1], began + 120_000, &reads),
        (&keys[2], Stamp::now().millis() + 3_600_000, &reads),
    ]
    .into_iter()
    .enumerate()
    {
        let n = i64::try_from(n).expect("few") + 1;
        sends(
            &hand,
            &Kept {
                key,
                at_ms,
                n,
                fields,
            },
        )
        .await
        .is(201);
    }
    let texts = texts(&hand).await;
    assert!(
        texts[0].contains("\"t_s\": 0,") && texts[0].contains("\"late\""),
        "{}",
        texts[0]
    );
    assert!(
        texts[1].contains("\"t_s\": 120,") && texts[1].contains("\"late\""),
        "{}",
        texts[1]
    );
    assert!(texts[2].contains("clock-jumped"), "{}", texts[2]);
    let t: f64 = serde_json::from_str::<serde_json::Value>(&texts[2]).expect("JSON")["t_s"]
        .as_f64()
        .expect("a time");
    assert!(
        (599.0..700.0).contains(&t),
        "what is to come is taken as received: {t}"
    );
    hand.get("/trials/1").await.shows("late");
    let report = log::verify::verify(hand.app.store(), None)
        .await
        .expect("read again");
    assert!(report.faults.is_empty(), "{:?}", report.faults);
}

#[tokio::test]
async fn a_trial_is_not_closed_while_a_phone_holds_entries_unless_a_reason_is_given() {
    let hand = Hand::at_work().await;
    hand.light().await;
    hand.enter(&[("what", "event"), ("event", "fire-out")])
        .await
        .is(303);
    hand.enter(&[("what", "event"), ("event", "pressure-released")])
        .await
        .is(303);
    says(&hand, 3)
        .await
        .is(200)
        .shows("\"name\":\"phone A\"")
        .shows("\"pending\":3");
    let whole = [("answer", "no"), ("note", "only lit"), ("sign", "yes")];
    hand.post("/trials/1/close", &whole)
        .await
        .is(409)
        .shows("3 entries on phone A (I. Fenwright, last seen")
        .shows("only lit");
    let mut given_up = whole.to_vec();
    given_up.push(("given_up", "it fell in the water butt"));
    hand.post("/trials/1/close", &given_up).await.is(303);
    let texts = texts(&hand).await;
    assert!(
        texts
            .iter()
            .any(|t| t.contains("phone-given-up") && t.contains("water butt")),
        "{texts:?}"
    );
}

#[tokio::test]
async fn a_number_that_a_phone_gave_and_that_never_came_is_named() {
    let hand = Hand::at_work().await;
    let reads = [("what", "reading"), ("level_mm", "31")];
    says(&hand, 0).await.is(200);
    for n in [1, 3] {
        let key = records::fresh_key();
        let at_ms = Stamp::now().millis();
        sends(
            &hand,
            &Kept {
                key: &key,
                at_ms,
                n,
                fields: &reads,
            },
        )
        .await
        .is(201);
    }
    hand.get("/trials/1/phones")
        .await
        .shows("entry 2 from phone A is missing");
}

#[tokio::test]
async fn what_stood_on_paper_is_kept_with_its_times_and_marked() {
    let hand = Hand::at_work().await;
    hand.light().await;
    let clock = |ago_s: i64| Stamp::now().plus_seconds(-ago_s).clock();
    let (now, soon) = (clock(0), clock(-3600));
    hand.post(
        "/trials/1/paper",
        &[
            ("time-1", &soon),
            ("level-1", "30"),
            ("time-2", &now),
            ("level-2", "3x"),
        ],
    )
    .await
    .is(422)
    .shows("is yet to come")
    .shows("line 2:")
    .shows("value=\"3x\"");
    let before = hand.entries().await;
    let sheet = [
        ("time-1", now.as_str()),
        ("pressure_bar-1", "1,5"),
        ("level-1", "30"),
        ("event-2", "feed-on"),
        ("time-2", now.as_str()),
    ];
    hand.post("/trials/1/paper", &sheet).await.is(303);
    let texts = texts(&hand).await;
    assert_eq!(texts.len(), before + 2);
    for text in &texts[before..] {
        assert!(
            text.contains("\"clock\": \"paper\"") && text.contains("from-paper"),
            "{text}"
        );
    }
    hand.get("/trials/1")
        .await
        .shows("from paper")
        .shows("timed on paper");
}

#[tokio::test]
async fn a_page_that_follows_is_told_of_an_entry() {
    let hand = Hand::at_work().await;
    let address = hand.app.host();
    let told = tokio::spawn(async move {
        use tokio::io::{AsyncReadExt, AsyncWriteExt};
        let mut stream = tokio::net::TcpStream::connect(&address)
            .await
            .expect("it listens");
        let ask = format!("GET /trials/1/follow HTTP/1.1\r\nHost: {address}\r\n\r\n");
        stream.write_all(ask.as_bytes()).await.expect("asked");
        let (mut all, mut bytes) = (String::new(), [0; 1024]);
        while !all.contains("event: entry") {
            let n = stream.read(&mut bytes).await.expect("told");
            assert!(n > 0, "the stream ended: {all}");
            all.push_str(&String::from_utf8_lossy(&bytes[..n]));
        }
    });
    for _ in 0..20 {
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
        hand.enter(&[("what", "reading"), ("level_mm", "31")])
            .await
            .is(303);
        if told.is_finished() {
            break;
        }
    }
    told.await.expect("it was told");
}

/// The trial behind its pass phrase, and the cookies of whoever comes in.
pub(crate) async fn behind_a_phrase(hand: Hand) -> (App, tempfile::TempDir) {
    let phrase = "three copper kettles";
    hand.post(
        "/workshop/pass-phrase",
        &[("phrase", phrase), ("again", phrase)],
    )
    .await
    .is(303);
    let folder = hand.app.stop().await.expect("the folder");
    (App::behind_its_door(folder.path()).await, folder)
}

/// Comes in by the pass phrase; the cookie.
pub(crate) async fn comes_in(app: &App, who: &str) -> String {
    let form = [
        ("who", who),
        ("phrase", "three copper kettles"),
        ("next", "/"),
    ];
    cookie(&app.post("/login", &form).await)
}

fn cookie(page: &Page) -> String {
    page.is(303);
    let set = page.header("set-cookie");
    set.split(';').next().unwrap_or_default().to_owned()
}

/// A form of somebody who is in.
pub(crate) async fn posts(app: &App, path: &str, who: &str, fields: &[(&str, &str)]) -> Page {
    let key = records::fresh_key();
    let mut all = fields.to_vec();
    all.push(("key", &key));
    let request = Request::new("POST", path)
        .header("Origin", &format!("http://{}", app.host()))
        .header("Cookie", who)
        .form(&all);
    app.send(request).await
}

/// A page as somebody who is in sees it.
pub(crate) async fn sees(app: &App, path: &str, who: &str) -> Page {
    app.send(Request::new("GET", path).header("Cookie", who))
        .await
}

#[tokio::test]
async fn a_code_lets_a_phone_in_to_one_trial_and_to_nothing_else() {
    let (app, _folder) = behind_a_phrase(Hand::at_work().await).await;
    let owner = comes_in(&app, "I. Fenwright").await;
    let sheet = posts(&app, "/trials/1/phones/code", &owner, &[]).await;
    sheet.is(200).shows("<svg");
    let token = sheet
        .between("/join/", "<")
        .expect("the address")
        .to_owned();
    let join = format!("/join/{token}");
    app.get(&join).await.is(200).shows("Wagtail");
    app.post(&join, &[("who", " ")])
        .await
        .is(422)
        .shows("Type your name");
    let phone = cookie(&app.post(&join, &[("who", "Piet")]).await);
    sees(&app, "/trials/1", &phone).await.is(200);
    posts(
        &app,
        "/trials/1/entries",
        &phone,
        &[("what", "reading"), ("level_mm", "30")],
    )
    .await
    .is(303);
    for elsewhere in [
        "/",
        "/jobs",
        "/trials",
        "/trials/2",
        "/workshop",
        "/trials/11",
    ] {
        sees(&app, elsewhere, &phone).await.leads_to("/trials/1");
    }
    // The signed paper, or the glass, is taken with that phone; pictures of anything else are not.
    sees(&app, "/pictures/new?of=trial-1&caption=signed", &phone)
        .await
        .is(200)
        .shows("Add a picture");
    for other in [
        "of=trial-11",
        "of=job-1",
        "of=job-1&caption=of=trial-1",
        "of=job-1&of=trial-1",
    ] {
        sees(&app, &format!("/pictures/new?{other}"), &phone)
            .await
            .leads_to("/trials/1");
    }
    posts(&app, "/jobs", &phone, &[("plant_name", "x")])
        .await
        .is(403);
    posts(&app, "/workshop/pass-phrase", &phone, &[("phrase", "x")])
        .await
        .is(403);
    app.get("/join/AAAA").await.is(404);
    app.post("/join/AAAA", &[("who", "Piet")]).await.is(404);
}
