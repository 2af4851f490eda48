//! The ready reckoners as pages: asked, filled in, refused with what was typed, kept and re-opened.

use acceptance::{App, Request};

#[tokio::test]
async fn every_reckoner_has_a_page_and_stands_in_the_list() {
    let app = App::workshop().await;
    let list = app.get("/reckoner").await;
    list.is(200);
    let mut count = 0;
    for reckoner in triallog::reckon::all() {
        list.shows(&format!("/reckoner/{}\"", reckoner.name));
        for form in 0..reckoner.forms.len() {
            let page = app
                .get(&format!("/reckoner/{}?form={form}", reckoner.name))
                .await;
            page.is(200);
            for input in reckoner.forms[form].inputs {
                page.shows(&format!("id=\"{}\"", input.name));
            }
        }
        count += 1;
    }
    assert!(count > 40, "{count} reckoners");
    app.get("/reckoner/no-such").await.is(404);
}

#[tokio::test]
async fn an_answer_shows_its_figures_working_and_source() {
    let app = App::workshop().await;
    let asked = "/reckoner/gas-jet?gas=n_butane&jet_mm=0%2C2&p_gauge_bar=1&go=1";
    let page = app.get(asked).await;
    page.is(200)
        .shows("708.66")
        .shows("Working")
        .shows("Source:")
        .shows("assumed")
        .shows("<svg");
    page.shows("value=\"0,2\"");
}

#[tokio::test]
async fn a_box_at_fault_gives_no_result_and_keeps_what_was_typed() {
    let app = App::workshop().await;
    let page = app
        .get("/reckoner/gas-jet?gas=n_butane&jet_mm=fine&p_gauge_bar=one&go=1")
        .await;
    page.is(422)
        .shows("value=\"fine\"")
        .shows("value=\"one\"")
        .lacks("Working");
    let out = app
        .get("/reckoner/gas-jet?gas=n_butane&jet_mm=900&p_gauge_bar=1&go=1")
        .await;
    out.is(422).shows("value=\"900\"").lacks("Working");
}

#[tokio::test]
async fn pressures_may_be_typed_in_psi_and_lengths_in_fractions_of_an_inch() {
    let app = App::workshop().await;
    let bar = app
        .get("/reckoner/saturation?p_gauge_bar=58.0151%20psi&go=1")
        .await;
    bar.is(200).shows("151.94");
    let origin = format!("http://{}", app.host());
    let choose = Request::new("POST", "/reckoner/units")
        .header("Origin", &origin)
        .form(&[
            ("pressure", "psi"),
            ("length", "in"),
            ("back", "/reckoner/saturation"),
        ]);
    let kept = app.send(choose).await;
    kept.is(303);
    let cookie = kept
        .header("set-cookie")
        .split(';')
        .next()
        .unwrap_or_default()
        .to_owned();
    let again = Request::new("GET", "/reckoner/saturation?p_gauge_bar=58.0151&go=1");
    app.send(again.header("Cookie", &cookie))
        .await
        .is(200)
        .shows("151.94")
        .shows("psi");
    let elsewhere = Request::new("POST", "/reckoner/units")
        .header("Origin", &origin)
        .form(&[("back", "//evil.test/")]);
    app.send(elsewhere).await.leads_to("/reckoner");
}

#[tokio::test]
async fn an_answer_kept_on_a_job_says_later_what_it_said_then() {
    let app = App::one_job().await;
    let asked = [
        ("job", "26-001"),
        ("p_working_bar", "60 psi"),
        ("V_litre", "0,6"),
    ];
    let kept = app.post("/reckoner/bar-litres/keep", &asked).await;
    kept.is(303).leads_to("/reckonings/1");
    let page = app.get("/reckonings/1").await;
    page.is(200)
        .shows("60 psi")
        .shows("0,6")
        .shows("2.4821")
        .shows("26-001");
    page.shows(
        "/reckoner/bar-litres?V_litre=0%2C6&amp;p_working_bar=60%20psi&amp;go=1"
            .replace("&amp;", "&#38;")
            .as_str(),
    );
    app.get("/jobs/26-001").await.shows("/reckonings/1");
    app.post("/reckoner/bar-litres/keep", &[("job", "26-001")])
        .await
        .is(422);
    app.get("/reckonings/9").await.is(404);
}

#[tokio::test]
async fn a_plant_fills_the_boxes_and_says_where_each_figure_is_from() {
    let app = App::spawn().await;
    app.post("/start/example", &[]).await.leads_to("/");
    let list = app.get("/reckoner/proof-pressure").await;
    let marigold = list
        .between("value=\"", "\">Marigold")
        .map(|t| t.rsplit('"').next().unwrap_or(t).to_owned());
    let id = marigold.expect("the launch plant");
    let page = app
        .get(&format!("/reckoner/proof-pressure?plant={id}"))
        .await;
    page.is(200)
        .shows("from the plant")
        .shows("from trial 26-003");
}
