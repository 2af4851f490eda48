//! Who may come in: hosts on the list, posts from our own pages; and what every answer carries.

use std::sync::{Arc, PoisonError, RwLock};
use std::time::{Duration, Instant};

use axum::extract::{MatchedPath, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; \
connect-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// How long a list of names is taken as it is before it is made anew.
const NAMES_HOLD: Duration = Duration::from_millis(if cfg!(test) { 1 } else { 1000 });

type Names = dyn Fn() -> Vec<String> + Send + Sync;

/// The names this server answers to, as a browser writes them: `127.0.0.1:8080`.
#[derive(Clone)]
pub struct Hosts(Arc<Inner>);

struct Inner {
    names: Box<Names>,
    known: RwLock<(Vec<String>, Instant)>,
}

impl std::fmt::Debug for Hosts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Hosts").field(&self.list()).finish()
    }
}

impl Hosts {
    /// Takes the names.
    #[must_use]
    pub fn new(names: Vec<String>) -> Self {
        Self::following(move || names.clone())
    }

    /// Takes the names as they are now, and again and again: an address of this machine may come and go.
    #[must_use]
    pub fn following(names: impl Fn() -> Vec<String> + Send + Sync + 'static) -> Self {
        let now = small(names());
        let known = RwLock::new((now, Instant::now()));
        Self(Arc::new(Inner {
            names: Box::new(names),
            known,
        }))
    }

    /// The names as they were last taken.
    #[must_use]
    pub fn list(&self) -> Vec<String> {
        self.0
            .known
            .read()
            .unwrap_or_else(PoisonError::into_inner)
            .0
            .clone()
    }

    /// The names as they are now.
    #[must_use]
    pub fn anew(&self) -> Vec<String> {
        let now = small((self.0.names)());
        let taken = (now.clone(), Instant::now());
        *self.0.known.write().unwrap_or_else(PoisonError::into_inner) = taken;
        now
    }

    /// The name that a phone on the workshop's network can reach, the likeliest first: nothing where only this machine is
    /// served.
    pub(crate) fn for_phones(&self, port: Option<u16>) -> Option<String> {
        let end = port.map(|p| format!(":{p}")).unwrap_or_default();
        let mut names = self.list();
        names.retain(|n| n.ends_with(&end));
        let outside = |name: &&String| {
            let host = name
                .rsplit_once(':')
                .map_or(name.as_str(), |(host, _)| host);
            host.parse::<std::net::Ipv4Addr>()
                .is_ok_and(|ip| !ip.is_loopback() && !ip.is_unspecified())
        };
        let private = |name: &&String| {
            let host = name
                .rsplit_once(':')
                .map_or(name.as_str(), |(host, _)| host);
            host.parse::<std::net::Ipv4Addr>()
                .is_ok_and(|ip| ip.is_private())
        };
        let all: Vec<&String> = names.iter().filter(outside).collect();
        all.iter()
            .copied()
            .find(|n| private(n))
            .or(all.first().copied())
            .cloned()
    }

    fn allow(&self, host: &str) -> bool {
        let host = host.to_ascii_lowercase();
        let (there, taken) = {
            let known = self.0.known.read().unwrap_or_else(PoisonError::into_inner);
            (known.0.contains(&host), known.1)
        };
        if taken.elapsed() < NAMES_HOLD {
            return there;
        }
        let now = small((self.0.names)());
        let there = now.contains(&host);
        *self.0.known.write().unwrap_or_else(PoisonError::into_inner) = (now, Instant::now());
        there
    }
}

fn small(names: Vec<String>) -> Vec<String> {
    names.into_iter().map(|n| n.to_ascii_lowercase()).collect()
}

/// Refuses hosts that are not ours (a page elsewhere that points its own name at this machine), with no body.
pub(crate) async fn only_our_hosts(
    State(hosts): State<Hosts>,
    request: Request,
    next: Next,
) -> Response {
    let named = request
        .headers()
        .get_all(header::HOST)
        .iter()
        .collect::<Vec<_>>();
    let good = match named.as_slice() {
        [one] => one.to_str().is_ok_and(|h| hosts.allow(h)),
        _ => false,
    };
    if good {
        next.run(request).await
    } else {
        StatusCode::MISDIRECTED_REQUEST.into_response()
    }
}

/// Refuses what would change something and does not come from a page of ours.
pub(crate) async fn only_our_pages(request: Request, next: Next) -> Response {
    let reads = matches!(
        *request.method(),
        Method::GET | Method::HEAD | Method::OPTIONS
    );
    if reads || comes_from_here(request.headers()) {
        next.run(request).await
    } else {
        StatusCode::FORBIDDEN.into_response()
    }
}

fn comes_from_here(headers: &HeaderMap) -> bool {
    let text = |name: &str| {
        headers
            .get(name)
            .map(|v| v.to_str().unwrap_or("unreadable"))
    };
    let host = text("host").unwrap_or("");
    let own = |origin: &str| {
        let name = origin
            .strip_prefix("http://")
            .or_else(|| origin.strip_prefix("https://"));
        name.is_some_and(|n| n.eq_ignore_ascii_case(host))
    };
    match (text("sec-fetch-site"), text("origin")) {
        (Some(site), origin) => matches!(site, "same-origin" | "none") && origin.is_none_or(own),
        (None, Some(origin)) => own(origin),
        // A browser always sends one of them with a post; a script without our cookie acts for nobody.
        (None, None) => !headers.contains_key(header::COOKIE),
    }
}

/// What every answer carries, refusals too. What the customer's page has set already stays.
pub(crate) async fn headers(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    headers.insert(
        header::CONTENT_SECURITY_POLICY,
        HeaderValue::from_static(POLICY),
    );
    headers.insert(
        header::X_CONTENT_TYPE_OPTIONS,
        HeaderValue::from_static("nosniff"),
    );
    headers.insert(
        "cross-origin-opener-policy",
        HeaderValue::from_static("same-origin"),
    );
    headers
        .entry(header::REFERRER_POLICY)
        .or_insert(HeaderValue::from_static("same-origin"));
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    response
}

/// One line a request: the pattern of the address, never the address, which may hold a private link.
pub(crate) async fn log(request: Request, next: Next) -> Response {
    let method = request.method().clone();
    let path = request
        .extensions()
        .get::<MatchedPath>()
        .map_or_else(|| "(none)".to_owned(), |p| p.as_str().to_owned());
    let started = std::time::Instant::now();
    let response = next.run(request).await;
    tracing::debug!(%method, path, status = response.status().as_u16(), took_ms = started.elapsed().as_millis(), "answered");
    response
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sent(pairs: &[(&'static str, &str)]) -> HeaderMap {
        pairs
            .iter()
            .map(|(name, value)| {
                (
                    header::HeaderName::from_static(name),
                    HeaderValue::from_str(value).unwrap(),
                )
            })
            .collect()
    }

    #[test]
    fn only_a_page_of_ours_may_change_something() {
        let host = ("host", "127.0.0.1:8080");
        let ours = ("origin", "http://127.0.0.1:8080");
        let table: &[(&[(&'static str, &str)], bool)] = &[
            (&[host, ours], true),
            (&[host, ("origin", "https://127.0.0.1:8080")], true),
            (&[host, ("origin", "http://127.0.0.1:8081")], false),
            (&[host, ("origin", "http://evil.test")], false),
            (
                &[host, ("origin", "http://127.0.0.1:8080.evil.test")],
                false,
            ),
            (&[host, ("origin", "null")], false),
            (&[host, ("origin", "")], false),
            (&[host, ("sec-fetch-site", "same-origin"), ours], true),
            (&[host, ("sec-fetch-site", "same-origin")], true),
            (&[host, ("sec-fetch-site", "none")], true),
            (&[host, ("sec-fetch-site", "same-site"), ours], false),
            (&[host, ("sec-fetch-site", "cross-site"), ours], false),
            (
                &[host, ("sec-fetch-site", "same-origin"), ("origin", "null")],
                false,
            ),
            (
                &[
                    host,
                    ("sec-fetch-site", "same-origin"),
                    ("origin", "http://evil.test"),
                ],
                false,
            ),
            (&[host, ("cookie", "a=b")], false),
            (&[host, ("cookie", "a=b"), ours], true),
            (&[host], true),
            (&[ours], false),
        ];
        for (pairs, allowed) in table {
            assert_eq!(comes_from_here(&sent(pairs)), *allowed, "{pairs:?}");
        }
    }

    /// Everything that a browser can say of where a form came from, in every combination: each header has its own verdict.
    #[test]
    fn every_combination_of_what_a_browser_says_is_judged_right() {
        // None: the header is not sent. The word beside it: does it speak for us?
        let origins = [
            (None, true),
            (Some("http://127.0.0.1:8080"), true),
            (Some("https://127.0.0.1:8080"), true),
            (Some("http://127.0.0.1:8081"), false),
            (Some("http://evil.test"), false),
            (Some("http://127.0.0.1:8080.evil.test"), false),
            (Some("null"), false),
            (Some(""), false),
        ];
        let sites = [
            (None, true),
            (Some("same-origin"), true),
            (Some("none"), true),
            (Some("same-site"), false),
            (Some("cross-site"), false),
        ];
        let (mut asked, mut allowed_wrongly, mut refused_wrongly) = (0, 0, 0);
        for (origin, origin_is_ours) in origins {
            for (site, site_is_ours) in sites {
                for cookie in [None, Some("a=b")] {
                    let mut pairs = vec![("host", "127.0.0.1:8080")];
                    pairs.extend(origin.map(|o| ("origin", o)));
                    pairs.extend(site.map(|s| ("sec-fetch-site", s)));
                    pairs.extend(cookie.map(|c| ("cookie", c)));
                    let nothing_said = origin.is_none() && site.is_none() && cookie.is_some();
                    let right = origin_is_ours && site_is_ours && !nothing_said;
                    let allowed = comes_from_here(&sent(&pairs));
                    asked += 1;
                    allowed_wrongly += usize::from(allowed && !right);
                    refused_wrongly += usize::from(!allowed && right);
                }
            }
        }
        println!(
            "headers: {asked} combinations, wrongly allowed {allowed_wrongly}, wrongly refused {refused_wrongly}"
        );
        assert_eq!((asked, allowed_wrongly, refused_wrongly), (80, 0, 0));
    }

    #[test]
    fn an_address_that_comes_is_answered_and_one_that_went_is_not() {
        let there = Arc::new(RwLock::new(vec!["127.0.0.1:80".to_owned()]));
        let asked = there.clone();
        let hosts = Hosts::following(move || asked.read().unwrap().clone());
        let soon = || std::thread::sleep(Duration::from_millis(5));
        soon();
        assert!(!hosts.allow("192.168.7.20:80"));
        there.write().unwrap().push("192.168.7.20:80".to_owned());
        soon();
        assert!(hosts.allow("192.168.7.20:80"));
        assert_eq!(hosts.for_phones(None).as_deref(), Some("192.168.7.20:80"));
        there.write().unwrap().pop();
        soon();
        assert!(!hosts.allow("192.168.7.20:80"));
        assert_eq!(hosts.for_phones(None), None);
    }

    #[test]
    fn a_host_is_ours_by_name_and_port() {
        let hosts = Hosts::new(vec!["127.0.0.1:8080".into(), "localhost:8080".into()]);
        for good in ["127.0.0.1:8080", "LocalHost:8080"] {
            assert!(hosts.allow(good));
        }
        for bad in [
            "127.0.0.1",
            "evil.test",
            "127.0.0.1:80",
            "localhost:8080.evil.test",
            "",
        ] {
            assert!(!hosts.allow(bad), "{bad}");
        }
    }
}
