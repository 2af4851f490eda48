//! At close: a witness signs on the phone, or a picture of the signed paper is taken; the record shows both.

use crate::trials_hand::Hand;

const SIGNED: [(&str, &str); 4] = [
    ("what", "witness"),
    ("witness", "P. Quillfeather"),
    ("witness_is", "the club's inspector"),
    ("witness_saw", "yes"),
];

async fn begun() -> Hand {
    let hand = Hand::at_work().await;
    let note = [("what", "event"), ("event", "note"), ("note", "cold")];
    hand.enter(&note).await.is(303);
    hand
}

#[tokio::test]
async fn a_witness_signs_on_the_phone_and_stands_on_the_record() {
    let hand = begun().await;
    hand.post("/trials/1/witness", &SIGNED)
        .await
        .leads_to("/trials/1/close#signed-as-witness");
    hand.get("/trials/1/close")
        .await
        .shows("P. Quillfeather signed as witness");
    let log = records::log::entries(hand.app.store(), records::TrialId::new(1), 0).await;
    let last = log.expect("entries").pop().expect("an entry").text;
    assert!(last.contains(r#""signs": "witness""#), "{last}");
    assert!(last.contains(r#""by": "P. Quillfeather""#), "{last}");
    assert!(
        last.contains("signed where I. Fenwright was signed in"),
        "{last}"
    );
    let form = [
        ("answer", "not-settled"),
        ("note", "not tried"),
        ("sign", "yes"),
    ];
    hand.post("/trials/1/close", &form).await.is(303);
    hand.get("/trials/1/record")
        .await
        .shows("<dt>witness</dt><dd>P. Quillfeather, ")
        .shows("I. Fenwright, ");
    // A sealed record takes no more signatures.
    hand.post("/trials/1/witness", &SIGNED).await.is(409);
}

#[tokio::test]
async fn a_signature_without_a_name_or_by_the_one_who_tries_is_none() {
    let hand = begun().await;
    let before = hand.entries().await;
    hand.post(
        "/trials/1/witness",
        &[("what", "witness"), ("witness_is", "a friend")],
    )
    .await
    .is(422)
    .shows("types their own name")
    .shows("ticks the line")
    .shows("value=\"a friend\"");
    let own = [
        ("what", "witness"),
        ("witness", "I. Fenwright"),
        ("witness_saw", "yes"),
    ];
    hand.post("/trials/1/witness", &own)
        .await
        .is(422)
        .shows("somebody else");
    assert_eq!(hand.entries().await, before);
    // Nothing is signed while the fire is in.
    hand.enter(&[("what", "event"), ("event", "fire-lit")])
        .await
        .is(303);
    hand.post("/trials/1/witness", &SIGNED)
        .await
        .is(409)
        .shows("the fire is in");
}

#[tokio::test]
async fn the_signed_paper_is_taken_as_a_picture_of_the_trial() {
    let hand = begun().await;
    let address = "/pictures/new?of=trial-1&#38;caption=the+signed+paper";
    hand.get("/trials/1/close").await.shows(address);
    hand.get("/pictures/new?of=trial-1&caption=the+signed+paper")
        .await
        .is(200)
        .shows("value=\"the signed paper\"");
}
