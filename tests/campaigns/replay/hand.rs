//! The hand at the page: in a real browser, or sending the page's forms as its script does.

use acceptance::{App, FromPhone, Page};
use records::Stamp;

use crate::browser::{Browser, Screen};
use crate::page::{self, Alarm};

const DEVICE: &str = "00112233445566778899aabbccddeeff";

/// Which hand.
pub(crate) enum Hand {
    Forms,
    Browser(Box<Browser>),
}

/// What the page calls for, what stands on top of it when it is a stop, and what the phone was told.
pub(crate) struct Shown {
    pub(crate) alarms: Vec<Alarm>,
    pub(crate) top: Option<String>,
    pub(crate) known: String,
}

impl Hand {
    pub(crate) async fn opens(&mut self, app: &App) {
        if let Self::Browser(browser) = self {
            browser.open(&app.host()).await;
        }
    }

    /// Enters something that must be taken.
    pub(crate) async fn enters(&mut self, app: &App, fields: &[(&str, String)]) {
        match self {
            Self::Forms => {
                sends(app, fields).await.is(201);
            }
            Self::Browser(browser) => {
                // The page hears the time first, as it does each 15 s.
                browser.look().await;
                browser.enter(fields).await;
            }
        }
    }

    pub(crate) async fn looks(&mut self, app: &App) -> Shown {
        match self {
            Self::Forms => {
                let page = app.get("/trials/1").await;
                let alarms = page::alarms(&page.body);
                let top = alarms.iter().find(|a| a.stop).map(|a| a.rule.clone());
                let known = page.between("data-known=\"", "\"").unwrap_or("").to_owned();
                Shown { alarms, top, known }
            }
            Self::Browser(browser) => on_screen(browser.look().await),
        }
    }

    /// Says by name that it was seen.
    pub(crate) async fn has_seen(&mut self, app: &App, alarm: Alarm) {
        if let (Self::Browser(browser), true) = (&mut *self, alarm.raised.is_empty()) {
            if alarm.stop {
                browser.seen().await;
            }
            return;
        }
        let fields = [
            ("what", "acknowledges".to_owned()),
            ("rule", alarm.rule),
            ("raised_at_s", alarm.raised),
        ];
        self.enters(app, &fields).await;
    }
}

/// What a browser shows; what the phone found by itself comes after the server's, under a name of its own.
fn on_screen(screen: Screen) -> Shown {
    let mut alarms = page::alarms(&screen.html);
    alarms.extend(screen.own.into_iter().map(|rule| Alarm {
        stop: !rule.contains(':'),
        rule,
        raised: String::new(),
    }));
    let known = screen
        .html
        .split_once("data-known=\"")
        .and_then(|(_, rest)| rest.split_once('"'));
    Shown {
        known: known.map_or(String::new(), |(known, _)| known.to_owned()),
        alarms,
        top: screen.top,
    }
}

async fn sends(app: &App, fields: &[(&str, String)]) -> Page {
    let at_ms = Stamp::now().millis();
    let fields: Vec<(&str, &str)> = fields.iter().map(|(name, v)| (*name, v.as_str())).collect();
    let entry = FromPhone {
        device: DEVICE,
        key: &records::fresh_key(),
        // The number that a phone gives to each of its entries: rising, and here without meaning.
        n: at_ms,
        at_ms,
        fields: &fields,
    };
    app.send(entry.request(&app.host())).await
}
