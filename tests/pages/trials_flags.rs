//! Flags on a trial's pages: what a stop says, what it never says, and what can be made of it.

use crate::trials_hand::Hand;

async fn no_water() -> Hand {
    let hand = Hand::at_work().await;
    hand.light().await;
    hand.enter(&[
        ("what", "reading"),
        ("pressure_bar", "3.0"),
        ("level_mm", "20"),
    ])
    .await
    .is(303);
    hand.enter(&[("what", "reading"), ("level_seen", "below")])
        .await
        .is(303);
    hand
}

/// What stands beside a hidden field of this name in a page.
fn hidden(page: &str, rule: &str) -> String {
    let start =
        format!(r#"name="rule" value="{rule}"><input type="hidden" name="raised_at_s" value=""#);
    let rest = page.split(&start).nth(1).expect("the flag has a form");
    rest.split('"').next().expect("a time").to_owned()
}

#[tokio::test]
async fn with_the_water_out_of_sight_the_page_says_do_not_feed_and_nothing_says_feed() {
    let hand = no_water().await;
    for path in ["/trials/1", "/trials/1/watch", "/trials/1/readings"] {
        let page = hand.get(path).await;
        page.is(200).shows("FIRE OUT").shows("DO NOT FEED");
        let words = page.words().to_lowercase().replace("do not feed", "");
        for order in ["feed now", "feed gently", "feed if", "feed and"] {
            assert!(!words.contains(order), "{path} says “{order}”");
        }
    }
    hand.get("/trials/1")
        .await
        .shows("Shut the gas at the tank")
        .shows("Put the fire out")
        .shows("NOT SEEN");
}

#[tokio::test]
async fn a_stop_that_was_seen_leaves_the_screen_but_stays_on_the_page() {
    let hand = no_water().await;
    let page = hand.get("/trials/1").await;
    page.shows("stop-screen");
    let raised = hidden(&page.body, "water-out-of-sight");
    let seen = [
        ("what", "acknowledges"),
        ("rule", "water-out-of-sight"),
        ("raised_at_s", raised.as_str()),
    ];
    hand.enter(&seen).await.is(303);
    hand.get("/trials/1")
        .await
        .lacks("stop-screen")
        .shows("stop: Water out of sight")
        .shows("seen by I. Fenwright");
}

#[tokio::test]
async fn a_flag_becomes_one_defect_that_bars_steam_and_keeps_its_link() {
    let hand = no_water().await;
    let raised = hidden(&hand.get("/trials/1").await.body, "water-out-of-sight");
    for _ in 0..2 {
        hand.post(
            "/trials/1/defects",
            &[("rule", "water-out-of-sight"), ("raised_at_s", &raised)],
        )
        .await
        .is(303);
    }
    hand.get("/trials/1").await.shows("defect 1");
    let job = records::jobs::find(hand.app.store(), &hand.job().await)
        .await
        .expect("the job");
    let defects = records::defects::of_job(hand.app.store(), job.id)
        .await
        .expect("defects");
    assert_eq!(defects.len(), 1);
    let defect = &defects[0];
    assert_eq!(
        (defect.bar.as_str(), defect.rule.as_deref()),
        ("no steam", Some("water-out-of-sight"))
    );
    assert_eq!(defect.raised_at_s.map(|t| t.to_string()), Some(raised));
    assert_eq!(defect.trial_serial, Some(1));
}

#[tokio::test]
async fn a_standing_bar_against_steam_cannot_be_signed_away_without_a_reason() {
    let hand = no_water().await;
    let raised = hidden(&hand.get("/trials/1").await.body, "water-out-of-sight");
    hand.post(
        "/trials/1/defects",
        &[("rule", "water-out-of-sight"), ("raised_at_s", &raised)],
    )
    .await
    .is(303);
    let number = hand.job().await;
    let form = [("question", "And now?"), ("hold", "no-steam-clear")];
    let second = hand
        .post(&format!("/jobs/{number}/trials/new"), &form)
        .await;
    let entries = format!("{}/entries", second.is(303).header("location"));
    hand.get(second.header("location"))
        .await
        .shows("Water out of sight")
        .shows("It cannot be signed");
    hand.post(&entries, &[("what", "check"), ("check", "no-steam-clear")])
        .await
        .is(409)
        .shows("a bar against steam stands");
    let on = [
        ("what", "check"),
        ("check", "no-steam-clear"),
        ("way", "override"),
        ("reason", "the boiler was looked over"),
    ];
    hand.post(&entries, &on).await.is(303);
}

#[tokio::test]
async fn what_a_person_wrote_is_shown_as_words_and_never_as_markup() {
    let hand = Hand::at_work().await;
    hand.enter(&[
        ("what", "event"),
        ("event", "note"),
        ("note", "<script>alert(1)</script>"),
    ])
    .await
    .is(303);
    for path in ["/trials/1/readings", "/trials/1/watch"] {
        hand.get(path)
            .await
            .shows("&#60;script&#62;")
            .lacks("<script>alert");
    }
}

#[tokio::test]
async fn no_page_of_a_trial_carries_style_script_or_an_address_elsewhere() {
    let hand = no_water().await;
    let number = hand.job().await;
    for path in [
        "/trials",
        "/trials/1",
        "/trials/1/watch",
        &format!("/jobs/{number}/trials/new"),
        "/trials/1/entries/a1/right",
    ] {
        let page = hand.get(path).await;
        page.is(200)
            .lacks(" style=")
            .lacks("<style")
            .lacks(" onclick")
            .lacks("https://");
        let bare = page.body.replace("http://www.w3.org/2000/svg", "");
        assert!(
            !bare.contains("http://"),
            "{path} names an address elsewhere"
        );
    }
}

#[tokio::test]
async fn the_watching_page_looks_again_without_scripts_and_has_no_box_to_lose() {
    let hand = no_water().await;
    let page = hand.get("/trials/1/watch").await;
    page.shows(r#"<noscript><meta http-equiv="refresh" content="15"></noscript>"#)
        .lacks("type=\"text\"");
    hand.get("/trials/1").await.lacks("http-equiv=\"refresh\"");
}

#[tokio::test]
async fn a_caution_is_made_quiet_with_a_reason_for_a_while_and_a_stop_never_is() {
    let hand = Hand::at_work().await;
    hand.light().await;
    for _ in 0..2 {
        let over = [
            ("what", "reading"),
            ("pressure_bar", "4.20"),
            ("level_mm", "40"),
        ];
        hand.enter(&over).await.is(303);
    }
    hand.get("/trials/1")
        .await
        .shows("caution: Pressure over")
        .shows("Make it quiet");
    let quiet = |minutes: &'static str, why: &'static str| {
        [
            ("what", "quieten"),
            ("rule", "pressure-high"),
            ("minutes", minutes),
            ("why", why),
        ]
    };
    hand.enter(&quiet("10", ""))
        .await
        .is(422)
        .shows("say why it is made quiet");
    hand.enter(&quiet("600", "the burner is down"))
        .await
        .is(422);
    hand.enter(&quiet("10", "the burner is down")).await.is(303);
    hand.get("/trials/1")
        .await
        .shows("caution: Pressure over")
        .shows("because: the burner is down")
        .shows("&#34;rule&#34;:&#34;pressure-high&#34;,&#34;severity&#34;:&#34;caution&#34;,&#34;seen&#34;:true");
    let stop = [
        ("what", "reading"),
        ("pressure_bar", "4.60"),
        ("level_mm", "40"),
    ];
    hand.enter(&stop).await.is(303);
    hand.enter(&quiet("10", "it annoys me"))
        .await
        .is(409)
        .shows("never made quiet");
    hand.get("/trials/1")
        .await
        .shows("&#34;severity&#34;:&#34;stop&#34;,&#34;seen&#34;:false");
    for event in ["fire-out", "pressure-released"] {
        hand.enter(&[("what", "event"), ("event", event)])
            .await
            .is(303);
    }
    let whole = [("answer", "no"), ("note", "over pressure"), ("sign", "yes")];
    hand.post("/trials/1/close", &whole).await.is(303);
    hand.get("/trials/1/record")
        .await
        .shows("Made quiet")
        .shows("because: the burner is down");
}

#[tokio::test]
async fn what_is_called_out_stands_on_a_page_with_what_to_do() {
    let hand = Hand::at_work().await;
    hand.app
        .get("/trials/1")
        .await
        .shows("href=\"/called-out\"");
    let page = hand.app.get("/called-out").await;
    let words = page.words().replace("&#39;", "'");
    for alarm in calc::trial::alarms::ALL {
        for part in [alarm.when, alarm.otherwise, alarm.act, alarm.within] {
            assert!(words.contains(part), "{:?}: {part}", alarm.rule);
        }
    }
}
