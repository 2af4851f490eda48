//! A trial on its pages, from the hold points to the sealed record.

use crate::trials_hand::{Hand, SIGNED};

#[tokio::test]
async fn a_trial_goes_from_its_hold_points_to_a_sealed_record() {
    let hand = Hand::at_work().await;
    hand.get("/trials/1")
        .await
        .shows("Before the fire")
        .shows("0 of 9 signed");
    hand.light().await;
    hand.enter(&[
        ("what", "reading"),
        ("pressure_bar", "0,20"),
        ("level_mm", "40"),
    ])
    .await
    .is(303);
    hand.get("/trials/1")
        .await
        .shows("0.20 bar, 40 mm")
        .shows("Put the fire out");
    hand.get("/trials/1/close")
        .await
        .is(409)
        .shows("put it out");
    hand.enter(&[("what", "event"), ("event", "fire-out")])
        .await
        .is(303);
    hand.get("/trials/1/close").await.is(409).shows("still hot");
    hand.enter(&[("what", "event"), ("event", "pressure-released")])
        .await
        .is(303);
    hand.get("/trials/1/close")
        .await
        .is(200)
        .shows("not proven");
    let bare = hand.post("/trials/1/close", &[]).await;
    bare.is(422)
        .shows("Answer the trial")
        .shows("Put your name under it");
    let whole = [
        ("answer", "no"),
        ("note", "it was only lit"),
        ("sign", "yes"),
    ];
    assert_eq!(
        hand.post("/trials/1/close", &whole)
            .await
            .is(303)
            .header("location"),
        "/trials/1/record"
    );
    let record = hand.get("/trials/1/record").await;
    record
        .is(200)
        .shows("not proven")
        .shows("Answer: <strong>no</strong>")
        .shows("not a certificate")
        .shows("signed");
    hand.enter(&[("what", "reading"), ("pressure_bar", "1")])
        .await
        .is(409)
        .shows("sealed");
    let report = records::log::verify::verify(hand.app.store(), None)
        .await
        .expect("read again");
    assert!(report.faults.is_empty(), "{:?}", report.faults);
}

#[tokio::test]
async fn the_same_press_twice_is_one_entry_and_other_content_is_refused() {
    let hand = Hand::at_work().await;
    let key = records::fresh_key();
    let press = [
        ("what", "reading"),
        ("pressure_bar", "0.2"),
        ("key", key.as_str()),
    ];
    for _ in 0..3 {
        hand.enter(&press).await.is(303);
    }
    assert_eq!(hand.entries().await, 1);
    let other = [
        ("what", "reading"),
        ("pressure_bar", "0.3"),
        ("key", key.as_str()),
    ];
    hand.enter(&other)
        .await
        .is(422)
        .shows("nothing was overwritten");
    assert_eq!(hand.entries().await, 1);
}

#[tokio::test]
async fn facts_are_taken_before_the_hold_points_and_the_record_says_what_was_missed() {
    let hand = Hand::at_work().await;
    hand.enter(&[("what", "event"), ("event", "fire-lit")])
        .await
        .is(303);
    hand.enter(&[
        ("what", "reading"),
        ("pressure_bar", "0.5"),
        ("level_mm", "30"),
    ])
    .await
    .is(303);
    hand.get("/trials/1").await.shows("Lit before the checks");
    assert_eq!(hand.entries().await, 2);
}

#[tokio::test]
async fn a_hold_point_out_of_order_is_refused_and_leaves_nothing_behind() {
    let hand = Hand::at_work().await;
    let late = [
        ("what", "check"),
        ("check", "water-in-glass-seen"),
        ("value", "40"),
    ];
    hand.enter(&late).await.is(409).shows("comes before it");
    let script = format!(
        r#"{{"key":"{}","entry":{{"check":"safety-valve-tried","done":true}}}}"#,
        records::fresh_key()
    );
    hand.script(&script).await.is(409);
    assert_eq!(hand.entries().await, 0);
}

#[tokio::test]
async fn skipping_and_going_on_take_a_reason_and_are_told_apart() {
    let hand = Hand::at_work().await;
    let (name, _) = SIGNED[0];
    hand.enter(&[("what", "check"), ("check", name), ("way", "skip")])
        .await
        .is(422)
        .shows("give the reason");
    hand.enter(&[
        ("what", "check"),
        ("check", name),
        ("way", "skip"),
        ("reason", "no list here"),
    ])
    .await
    .is(303);
    hand.get("/trials/1")
        .await
        .shows("skipped: no list here")
        .shows("0 of 9 signed");
    let (name, _) = SIGNED[1];
    hand.enter(&[
        ("what", "check"),
        ("check", name),
        ("way", "override"),
        ("reason", "seen by two"),
    ])
    .await
    .is(303);
    hand.get("/trials/1")
        .await
        .shows("gone on against it: seen by two");
}

#[tokio::test]
async fn a_bad_sight_is_kept_and_does_not_sign() {
    let hand = Hand::at_work().await;
    for (name, value) in &SIGNED[..6] {
        hand.enter(&[("what", "check"), ("check", name), ("value", value)])
            .await
            .is(303);
    }
    hand.enter(&[
        ("what", "check"),
        ("check", "safety-valve-tried"),
        ("value", "It did not lift"),
    ])
    .await
    .is(303);
    hand.get("/trials/1")
        .await
        .shows("Seen: It did not lift")
        .shows("6 of 9 signed");
}

#[tokio::test]
async fn a_refused_reading_keeps_what_was_typed_and_names_the_mend() {
    let hand = Hand::at_work().await;
    hand.light().await;
    let before = hand.entries().await;
    let twofold = hand
        .enter(&[
            ("what", "reading"),
            ("pressure_bar", "3,200"),
            ("level_mm", "38"),
        ])
        .await;
    twofold
        .is(422)
        .shows(r#"value="3,200""#)
        .shows(r#"value="38""#)
        .shows("3.200 or 3200");
    let above = hand.enter(&[("what", "reading"), ("level_mm", "77")]).await;
    above
        .is(422)
        .shows(r#"value="77""#)
        .shows("the glass is 60 mm long");
    let doubt = hand
        .enter(&[("what", "reading"), ("pressure_bar", "9.5")])
        .await;
    doubt.is(422).shows("it is so").shows(r#"value="9.5""#);
    assert_eq!(hand.entries().await, before);
    hand.enter(&[
        ("what", "reading"),
        ("pressure_bar", "9.5"),
        ("sure", "yes"),
    ])
    .await
    .is(303);
    assert_eq!(hand.entries().await, before + 1);
}

#[tokio::test]
async fn a_correction_stands_beside_the_original() {
    let hand = Hand::at_work().await;
    hand.enter(&[("what", "reading"), ("pressure_bar", "2.3")])
        .await
        .is(303);
    hand.get("/trials/1/entries/a1/right").await.is(200);
    let bare = [
        ("what", "correction"),
        ("corrects", "a1"),
        ("new-pressure_bar", "3.2"),
    ];
    hand.enter(&bare)
        .await
        .is(422)
        .shows("say why")
        .shows(r#"value="3.2""#);
    let whole = [
        ("what", "correction"),
        ("corrects", "a1"),
        ("new-pressure_bar", "3.2"),
        ("note", "misread"),
    ];
    hand.enter(&whole).await.is(303);
    hand.get("/trials/1/readings")
        .await
        .shows(r#"<s class="struck">2.3</s> <strong>3.2</strong>"#)
        .shows("misread");
    assert_eq!(hand.entries().await, 2);
}

#[tokio::test]
async fn a_script_is_acknowledged_with_what_is_stored() {
    let hand = Hand::at_work().await;
    let sent = format!(
        r#"{{"key":"{}","entry":{{"reading":{{"pressure_bar":3.20}}}}}}"#,
        records::fresh_key()
    );
    hand.script(&sent)
        .await
        .is(201)
        .shows(r#""pressure_bar": 3.20"#)
        .shows(r#""id": "a1""#);
    hand.script(&sent).await.is(200).shows(r#""again":true"#);
    assert_eq!(hand.entries().await, 1);
    let misspelt = format!(
        r#"{{"key":"{}","entry":{{"reading":{{"presure_bar":3.20}}}}}}"#,
        records::fresh_key()
    );
    hand.script(&misspelt).await.is(422).shows("presure_bar");
    hand.script(r#"{"key":"short","entry":{}}"#)
        .await
        .is(422)
        .shows("32 hex digits");
}

#[tokio::test]
async fn a_script_enters_under_the_name_that_came_in_and_keeps_nothing_by_itself() {
    let hand = Hand::at_work().await;
    let sent = |key: char, entry: &str| {
        let key = key.to_string().repeat(32);
        format!(r#"{{"key":"{key}","entry":{entry}}}"#)
    };
    let before = hand.entries().await;
    let done = r#"{"keeps":"list-complete","note":"Lighting up, gas: read and done, 8 of 8"}"#;
    hand.script(&sent('a', done)).await.is(409);
    assert_eq!(hand.entries().await, before);
    let named = r#"{"event":"note","note":"It hums","by":"Somebody Else"}"#;
    hand.script(&sent('b', named))
        .await
        .is(201)
        .shows(r#""by": "I. Fenwright""#)
        .lacks("Somebody Else");
}

#[tokio::test]
async fn a_correction_names_its_entry_by_its_id_so_that_it_can_never_come_to_mean_two() {
    let hand = Hand::at_work().await;
    hand.enter(&[("what", "reading"), ("pressure_bar", "2.3")])
        .await
        .is(303);
    for target in ["0", "\"a7\"", "\"b1\"", "\"a2\""] {
        let sent = format!(
            r#"{{"key":"{}","entry":{{"corrects":{target},"reading":{{"pressure_bar":3.2}},"note":"misread"}}}}"#,
            records::fresh_key()
        );
        hand.script(&sent).await.is(422).shows("name one by its id");
    }
    assert_eq!(hand.entries().await, 1);
    hand.get("/trials/1/readings").await.is(200);
}

#[tokio::test]
async fn a_withdrawn_trial_can_be_put_back_and_a_fact_puts_it_back_by_itself() {
    let hand = Hand::at_work().await;
    hand.post("/trials/1/withdraw", &[]).await.is(303);
    hand.get("/trials/1").await.shows("This trial is withdrawn");
    hand.post("/trials/1/withdraw", &[("back", "yes")])
        .await
        .is(303);
    hand.get("/trials/1").await.lacks("This trial is withdrawn");
    hand.post("/trials/1/withdraw", &[]).await.is(303);
    hand.enter(&[("what", "event"), ("event", "fire-lit")])
        .await
        .is(303);
    hand.get("/").await.shows("Under trial now");
    hand.post("/trials/1/withdraw", &[]).await.is(409);
}

#[tokio::test]
async fn the_trial_as_a_file_is_read_and_judged_as_the_page_judges_it() {
    let hand = Hand::at_work().await;
    hand.light().await;
    hand.enter(&[
        ("what", "reading"),
        ("pressure_bar", "3.20"),
        ("level_seen", "below"),
    ])
    .await
    .is(303);
    let file = hand.get("/trials/1/file").await;
    let read = triallog::TrialFile::read(&file.body).expect("a trial file");
    let judged = calc::trial::assess(read.trial(), None);
    assert!(
        judged
            .flags
            .iter()
            .any(|f| f.rule.name() == "water-out-of-sight" && f.stands())
    );
    file.shows("\"pressure_bar\": 3.20");
}

#[tokio::test]
async fn water_added_wants_its_amount_as_a_figure_and_keeps_what_was_typed() {
    let hand = Hand::at_work().await;
    hand.light().await;
    let wrong = hand
        .enter(&[
            ("what", "event"),
            ("event", "water-added"),
            ("amount_ml", "1,500,0"),
            ("to", "boiler"),
        ])
        .await;
    wrong.is(422).shows(r#"value="1,500,0""#);
    hand.enter(&[
        ("what", "event"),
        ("event", "water-added"),
        ("amount_ml", "150"),
        ("to", "boiler"),
    ])
    .await
    .is(303);
    hand.get("/trials/1")
        .await
        .shows("water added, 150 ml to the boiler");
}
