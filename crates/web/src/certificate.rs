//! The workshop's own certificate: what it is for, and how a phone comes to trust it.

use askama::Template;
use axum::extract::State;
use axum::http::header;
use axum::response::{Html, IntoResponse, Response};
use axum::routing::get;
use axum::{Extension, Router};

use crate::desk::Desk;
use crate::layout::Layout;
use crate::problem::{Problem, page};

/// What a phone is asked to trust, and where https is served.
#[derive(Clone, Debug)]
pub struct Authority {
    /// The certificate as PEM.
    pub pem: String,
    /// The port.
    pub port: u16,
}

/// This request came over https.
#[derive(Clone, Copy, Debug)]
pub struct OverHttps;

/// Every address of it; nobody needs to be in.
pub(crate) fn routes() -> Router<Desk> {
    Router::new()
        .route("/certificate", get(show))
        .route("/certificate/gaugeglass.pem", get(pem))
}

#[derive(Template)]
#[template(path = "certificate/show.html")]
struct Sheet {
    layout: Layout,
    /// The address over https by each name; empty where it is not served.
    addresses: Vec<String>,
    over_https: bool,
}

async fn show(
    State(desk): State<Desk>,
    authority: Option<Extension<Authority>>,
    over: Option<Extension<OverHttps>>,
) -> Result<Html<String>, Problem> {
    let addresses = authority.map_or_else(Vec::new, |Extension(own)| {
        let end = format!(":{}", own.port);
        let names = desk.hosts().list();
        names
            .into_iter()
            .filter(|n| n.ends_with(&end) && !n.starts_with("0.0.0.0"))
            .map(|n| format!("https://{n}/"))
            .collect()
    });
    page(&Sheet {
        layout: desk.frame("The workshop's certificate", "none", String::new()),
        addresses,
        over_https: over.is_some(),
    })
}

async fn pem(authority: Option<Extension<Authority>>) -> Result<Response, Problem> {
    let Extension(own) = authority.ok_or(Problem::Missing("certificate"))?;
    let kind = [
        (header::CONTENT_TYPE, "application/x-x509-ca-cert"),
        (
            header::CONTENT_DISPOSITION,
            "attachment; filename=\"gaugeglass.pem\"",
        ),
    ];
    Ok((kind, own.pem).into_response())
}
