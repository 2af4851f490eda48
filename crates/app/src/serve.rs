//! The workshop's server: opened, served, closed in order.

use std::future::{Future, IntoFuture};
use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use std::time::Duration;

use axum::Router;
use records::Store;
use tokio::net::TcpListener;

use crate::refusal::Refusal;

/// How long open requests may take to end when the program stops.
const LAST_REQUESTS: Duration = Duration::from_secs(5);

/// What a server is started with.
#[derive(Clone, Debug)]
pub struct Config {
    /// The data folder.
    pub data: PathBuf,
    /// Where it listens; port 0 takes a free one.
    pub listen: SocketAddr,
}

/// A server that is ready to run.
#[derive(Debug)]
pub struct App {
    listener: TcpListener,
    router: Router,
    store: Store,
    address: SocketAddr,
}

/// Opens the data and the port.
///
/// # Errors
/// The store's refusals, and a port that cannot be had.
pub async fn build(config: Config) -> Result<App, Refusal> {
    if !config.listen.ip().is_loopback() {
        return Err(Refusal::unusable(
            "only this machine is served for now: give --listen an address of this machine alone, like 127.0.0.1:8017",
        ));
    }
    let store = Store::open(&config.data).await?;
    let cannot = |e: std::io::Error| {
        Refusal::other(format!(
            "{} cannot be listened on: {e}; give another with --listen, like 127.0.0.1:0",
            config.listen
        ))
    };
    let listener = TcpListener::bind(config.listen).await.map_err(cannot)?;
    let address = listener.local_addr().map_err(cannot)?;
    let router = web::site(store.clone(), web::Hosts::new(names_of(address)));
    Ok(App {
        listener,
        router,
        store,
        address,
    })
}

/// The names a browser on this machine uses for the address.
fn names_of(address: SocketAddr) -> Vec<String> {
    let port = address.port();
    let mut names = vec![address.to_string(), format!("localhost:{port}")];
    if address.ip() != IpAddr::from([127, 0, 0, 1]) {
        names.push(format!("127.0.0.1:{port}"));
    }
    if port == 80 {
        names.extend(["localhost".to_owned(), address.ip().to_string()]);
    }
    names
}

impl App {
    /// Where it listens.
    #[must_use]
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// The workshop's data, for whoever starts the app.
    #[must_use]
    pub fn store(&self) -> &Store {
        &self.store
    }

    /// Serves until `stop`, lets open requests end, then closes readers and writer.
    ///
    /// # Errors
    /// When the port fails.
    pub async fn run_until(
        self,
        stop: impl Future<Output = ()> + Send + 'static,
    ) -> Result<(), Refusal> {
        let (told, mut is_told) = tokio::sync::watch::channel(false);
        let stopped = async move {
            stop.await;
            let _ = told.send(true);
        };
        let server = axum::serve(self.listener, self.router).with_graceful_shutdown(stopped);
        let overdue = async {
            // A page that keeps its connection open must not hold the program.
            let _ = is_told.wait_for(|t| *t).await;
            tokio::time::sleep(LAST_REQUESTS).await;
        };
        let served = tokio::select! {
            served = server.into_future() => served,
            () = overdue => Ok(()),
        };
        self.store.close().await;
        served.map_err(|e| Refusal::other(format!("the server stopped: {e}")))
    }
}
