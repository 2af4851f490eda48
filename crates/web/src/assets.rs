//! What a page loads from this machine: the stylesheet, the letters, the scripts.
//!
//! Everything is embedded, so the binary runs from any folder, and every address carries the first eight hex digits of
//! its content's SHA-256, so a browser may keep it for ever and never shows an old sheet with a new page.
//! The files of `static/sheet/` are joined in the order of their names and served as one stylesheet, those of
//! `static/hand/` as the one script of a running trial; some of those go with other pages' scripts too.
//! Pages need `style-src 'self'`, `script-src 'self'`, `img-src 'self'` and, for the letters, `font-src 'self'`.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::LazyLock;

use axum::Router;
use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use rust_embed::RustEmbed;
use sha2::{Digest, Sha256};

#[derive(RustEmbed)]
#[folder = "../../static"]
struct Static;

/// One thing a page may load.
struct Asset {
    kind: &'static str,
    bytes: Cow<'static, [u8]>,
}

/// Everything by its hashed name, and the hashed address by the plain name.
struct Shelf {
    by_hashed: BTreeMap<String, Asset>,
    address_of: BTreeMap<String, String>,
}

/// What is joined: the name it is served by, and the files or folders it is of.
const JOINED: [(&str, &[&str]); 4] = [
    ("sheet.css", &["sheet/"]),
    ("trial.js", &["hand/"]),
    (
        "send.js",
        &["hand/1-words.js", "hand/4-outbox.js", "send.js"],
    ),
    (
        "watch.js",
        &["hand/1-words.js", "hand/83-put-in.js", "watch.js"],
    ),
];

static SHELF: LazyLock<Shelf> = LazyLock::new(Shelf::stock);

/// The addresses of what is embedded; the same for every page, customer's page included.
pub(crate) fn routes<S: Clone + Send + Sync + 'static>() -> Router<S> {
    Router::new().route("/assets/{name}", get(serve))
}

/// The hashed address of the stylesheet.
pub(crate) fn stylesheet() -> String {
    address("sheet.css")
}

/// The hashed address of an embedded file by its plain name, such as `trial.js`.
///
/// A name that is not embedded gives an address that answers 404, which a test catches.
pub(crate) fn address(name: &str) -> String {
    SHELF
        .address_of
        .get(name)
        .cloned()
        .unwrap_or_else(|| format!("/assets/{name}"))
}

/// The one script that must stand at a fixed address, for browsers hold on to it by that.
const STAND_IN: &str = "stand-in.js";

/// Served anew each time, and allowed to stand in for the pages of trials.
fn stand_in() -> Response {
    let Some(asset) = SHELF
        .by_hashed
        .get(address(STAND_IN).trim_start_matches("/assets/"))
    else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let headers = [
        (header::CONTENT_TYPE, asset.kind),
        (header::CACHE_CONTROL, "no-cache"),
        (
            header::HeaderName::from_static("service-worker-allowed"),
            "/trials/",
        ),
    ];
    (headers, asset.bytes.clone()).into_response()
}

async fn serve(Path(name): Path<String>) -> Response {
    if name == STAND_IN {
        return stand_in();
    }
    match SHELF.by_hashed.get(&name) {
        Some(asset) => (
            [
                (header::CONTENT_TYPE, asset.kind),
                (header::CACHE_CONTROL, "public, max-age=31536000, immutable"),
            ],
            asset.bytes.clone(),
        )
            .into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

impl Shelf {
    fn stock() -> Self {
        let mut shelf = Self {
            by_hashed: BTreeMap::new(),
            address_of: BTreeMap::new(),
        };
        let mut joined = JOINED.map(|(served, of)| (served, of, String::new()));
        let mut names: Vec<_> = Static::iter().collect();
        names.sort();
        for name in names {
            let Some(file) = Static::get(&name) else {
                continue;
            };
            let mut alone = true;
            for (_, of, text) in &mut joined {
                let is_of = |p: &&str| name == *p || (p.ends_with('/') && name.starts_with(p));
                if of.iter().any(is_of) {
                    text.push_str(&String::from_utf8_lossy(&file.data));
                    alone = false;
                }
            }
            if alone {
                shelf.put(&name, file.data);
            }
        }
        // The letters were put first, so the stylesheet can name them by their hashed addresses.
        let addresses = shelf.address_of.clone();
        for (served, _, mut text) in joined {
            for (plain, hashed) in &addresses {
                text = text.replace(&format!("url(\"{plain}\")"), &format!("url(\"{hashed}\")"));
            }
            shelf.put(served, Cow::Owned(text.into_bytes()));
        }
        shelf
    }

    fn put(&mut self, name: &str, bytes: Cow<'static, [u8]>) {
        let Some((stem, ending)) = name.rsplit_once('.') else {
            return;
        };
        let stem = stem.rsplit('/').next().unwrap_or(stem);
        let digest = Sha256::digest(&bytes);
        let hash: String = digest.iter().take(4).map(|b| format!("{b:02x}")).collect();
        let hashed = format!("{stem}.{hash}.{ending}");
        let kind = match ending {
            "css" => "text/css; charset=utf-8",
            "js" => "text/javascript; charset=utf-8",
            "woff2" => "font/woff2",
            "svg" => "image/svg+xml",
            _ => "text/plain; charset=utf-8",
        };
        self.address_of
            .insert(name.to_owned(), format!("/assets/{hashed}"));
        self.by_hashed.insert(hashed, Asset { kind, bytes });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sheet_names_its_letters_by_addresses_that_are_served() {
        let name = stylesheet();
        let sheet = &SHELF.by_hashed[name.trim_start_matches("/assets/")];
        let text = String::from_utf8_lossy(&sheet.bytes);
        let letters: Vec<&str> = text
            .split("url(\"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
            .collect();
        assert_eq!(letters.len(), 2);
        for letter in letters {
            assert!(
                SHELF
                    .by_hashed
                    .contains_key(letter.trim_start_matches("/assets/")),
                "{letter} is not served"
            );
        }
    }

    #[test]
    fn every_address_carries_eight_hex_digits_of_its_content() {
        for hashed in SHELF.by_hashed.keys() {
            let middle = hashed.rsplit('.').nth(1).unwrap_or("");
            assert!(
                middle.len() == 8 && middle.chars().all(|c| c.is_ascii_hexdigit()),
                "{hashed}"
            );
        }
    }

    #[test]
    fn the_sheet_has_every_colour_in_light_and_in_dark() {
        let name = stylesheet();
        let text =
            String::from_utf8_lossy(&SHELF.by_hashed[name.trim_start_matches("/assets/")].bytes)
                .into_owned();
        for colour in [
            "--sheet:",
            "--ink:",
            "--line:",
            "--water:",
            "--stopink:",
            "--strip:",
        ] {
            assert!(
                text.matches(colour).count() >= 2,
                "{colour} is set once only"
            );
        }
    }
}
