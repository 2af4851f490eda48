//! What a trial calls out: each stop and caution with what raises it, what comes of leaving it, what to do and by when.

use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::Html;
use axum::routing::get;
use calc::trial::{Severity, alarms};

use crate::desk::Desk;
use crate::layout::Layout;
use crate::problem::{Problem, page};
use crate::trials::about;

/// Its one address.
pub(crate) fn routes() -> Router<Desk> {
    Router::new().route("/called-out", get(show))
}

#[derive(Template)]
#[template(path = "trials/called_out.html")]
struct Sheet {
    layout: Layout,
    kinds: [(&'static str, Vec<Row>); 2],
}

/// One alarm, in words.
struct Row {
    about: String,
    from: &'static alarms::Alarm,
}

async fn show(State(desk): State<Desk>) -> Result<Html<String>, Problem> {
    let rows = |severity: Severity| {
        let all = alarms::ALL.iter().filter(|a| a.severity == severity);
        all.map(|from| Row {
            about: about(from.rule.name()),
            from,
        })
        .collect()
    };
    page(&Sheet {
        layout: desk.frame("What is called out", "none", String::new()),
        kinds: [
            ("stop", rows(Severity::Stop)),
            ("caution", rows(Severity::Caution)),
        ],
    })
}
