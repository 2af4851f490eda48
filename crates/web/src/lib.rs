//! The pages: a module a feature, each with its routes, page structs and forms; the customer's router apart.
//!
//! This file is the site map. Nothing here names the database or writes HTML: `records` keeps, `templates` show.

mod appointments;
mod assets;
mod barred;
mod bench;
mod bench_days;
mod calendar;
mod called_out;
mod certificate;
mod changes;
mod currency;
mod customers;
mod desk;
mod door;
mod filters;
mod fitted;
mod form;
mod form_page;
mod gate;
mod instruments;
mod jobs;
mod layout;
mod login;
mod look_back;
mod looks;
mod money_rules;
mod paging;
mod parts;
mod pictures;
mod plants;
mod problem;
mod progress;
mod put_back;
mod reckoner;
mod retests;
mod running;
mod settings;
mod show;
mod start;
mod stock;
mod trials;
mod withdraw;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware::{from_fn, from_fn_with_state};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::compression::predicate::{DefaultPredicate, NotForContentType, Predicate};

pub use certificate::{Authority, OverHttps};
use desk::Desk;
pub use gate::Hosts;

/// The largest form in bytes.
const LARGEST_FORM: usize = 256 * 1024;

/// Everything this server answers, for hosts on the list alone; with `shut`, for nobody without the
/// pass phrase. Pages that follow a trial live are let go once it is `stopping`. The customer's page needs none: its private link is the key.
pub fn site(
    store: records::Store,
    hosts: Hosts,
    shut: bool,
    stopping: tokio::sync::watch::Receiver<bool>,
) -> Router {
    let desk = Desk::new(
        store.clone(),
        door::Door::new(shut),
        hosts.clone(),
        stopping,
    );
    let workshop = Router::new()
        .merge(start::routes())
        .merge(bench::routes())
        .merge(barred::routes())
        .merge(jobs::routes())
        .merge(plants::routes())
        .merge(customers::routes())
        .merge(pictures::routes())
        .merge(fitted::routes())
        .merge(instruments::routes())
        .merge(appointments::routes())
        .merge(retests::routes())
        .merge(calendar::routes())
        .merge(look_back::routes())
        .merge(looks::routes())
        .merge(withdraw::routes())
        .merge(changes::routes())
        .merge(put_back::routes())
        .merge(login::routes())
        .merge(certificate::routes())
        .merge(called_out::routes())
        .merge(settings::routes())
        .merge(money_rules::routes())
        .merge(bench_days::routes())
        .merge(parts::routes())
        .merge(stock::routes())
        .merge(reckoner::routes())
        .merge(trials::routes())
        .fallback(async || StatusCode::NOT_FOUND)
        .layer(from_fn_with_state(desk.clone(), login::only_who_is_in))
        .layer(from_fn(gate::only_our_pages))
        .layer(CatchPanicLayer::new())
        .layer(from_fn_with_state(desk.clone(), problem::present))
        .with_state(desk);
    workshop
        .merge(progress::routes(store.clone()))
        .merge(calendar::private(store.clone()))
        .layer(from_fn_with_state(store, currency::known))
        .merge(assets::routes())
        .layer(DefaultBodyLimit::max(LARGEST_FORM))
        .layer(from_fn(gate::log))
        .layer(from_fn_with_state(hosts, gate::only_our_hosts))
        .layer(from_fn(gate::headers))
        .layer(CompressionLayer::new().compress_when(is_worth_it()))
}

/// Pages are made small for a poor link; pictures and letters are small already, and what follows a trial live must not be
/// held back.
fn is_worth_it() -> impl Predicate {
    DefaultPredicate::new().and(NotForContentType::const_new("font/"))
}
