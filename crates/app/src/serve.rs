//! The workshop's server: opened, served, closed in order.

use std::future::{Future, IntoFuture};
use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use std::time::Duration;

use axum::Router;
use records::Store;
use tokio::net::TcpListener;

use crate::refusal::Refusal;
use crate::secured::Secured;

/// How long open requests may take to end when the program stops.
const LAST_REQUESTS: Duration = Duration::from_secs(5);

/// What a server is started with.
#[derive(Clone, Debug)]
pub struct Config {
    /// The data folder.
    pub data: PathBuf,
    /// Where it listens; port 0 takes a free one.
    pub listen: SocketAddr,
    /// Serve the workshop's network too, behind the pass phrase.
    pub lan: bool,
    /// Serve https beside it, on the next port, with a certificate of the workshop's own.
    pub https: bool,
}

/// A server that is ready to run.
#[derive(Debug)]
pub struct App {
    listener: TcpListener,
    router: Router,
    store: Store,
    address: SocketAddr,
    hosts: web::Hosts,
    secured: Option<Secured>,
    /// Tells pages that follow a trial live to let go.
    stopping: tokio::sync::watch::Sender<bool>,
}

/// Opens the data and the port.
///
/// # Errors
/// The store's refusals, and a port that cannot be had.
pub async fn build(config: Config) -> Result<App, Refusal> {
    if !config.lan && !config.listen.ip().is_loopback() {
        return Err(Refusal::unusable(
            "this address is not of this machine alone; say --lan to serve the workshop's network, or give --listen an address like 127.0.0.1:8017",
        ));
    }
    let store = Store::open(&config.data).await?;
    if config.lan && records::workshop::pass_phrase(&store).await?.is_none() {
        store.close().await;
        return Err(Refusal::unusable(
            "--lan needs a pass phrase, for anybody on the network could change the records: start without --lan, open /workshop, set one, and start again",
        ));
    }
    let cannot = |e: std::io::Error| {
        Refusal::other(format!(
            "{} cannot be listened on: {e}; give another with --listen, like 127.0.0.1:0",
            config.listen
        ))
    };
    let listener = TcpListener::bind(config.listen).await.map_err(cannot)?;
    let address = listener.local_addr().map_err(cannot)?;
    let secured = if config.https {
        Some(Secured::open(&config, address).await?)
    } else {
        None
    };
    let listens: Vec<SocketAddr> = [Some(address), secured.as_ref().map(|s| s.address)]
        .into_iter()
        .flatten()
        .collect();
    let hosts = if config.lan {
        web::Hosts::following(move || {
            listens
                .iter()
                .flat_map(|a| names_on_the_network(*a))
                .collect()
        })
    } else {
        web::Hosts::new(listens.iter().flat_map(|a| names_of(*a)).collect())
    };
    let stopping = tokio::sync::watch::Sender::new(false);
    let router = web::site(
        store.clone(),
        hosts.clone(),
        config.lan,
        stopping.subscribe(),
    );
    Ok(App {
        listener,
        router,
        store,
        address,
        hosts,
        secured,
        stopping,
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

/// The names a phone on the network uses: every address this machine has now, and its own name.
fn names_on_the_network(address: SocketAddr) -> Vec<String> {
    let mut names = names_of(address);
    if address.ip().is_unspecified() {
        let all = if_addrs::get_if_addrs().unwrap_or_default();
        for ip in all.into_iter().map(|i| i.ip()) {
            names.extend(names_of(SocketAddr::new(ip, address.port())));
        }
    }
    let own = std::fs::read_to_string("/etc/hostname").unwrap_or_default();
    let own = own.trim();
    if !own.is_empty() {
        names.push(format!("{own}:{}", address.port()));
        names.push(format!("{own}.local:{}", address.port()));
    }
    names.sort();
    names.dedup();
    names
}

impl App {
    /// Where it listens.
    #[must_use]
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Where it listens for https, if it does.
    #[must_use]
    pub fn secured_address(&self) -> Option<SocketAddr> {
        self.secured.as_ref().map(|s| s.address)
    }

    /// The names it answers to, as a browser writes them.
    #[must_use]
    pub fn hosts(&self) -> Vec<String> {
        self.hosts.list()
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
        let (told, mut is_told) = (self.stopping.clone(), self.stopping.subscribe());
        let stopped = async move {
            stop.await;
            told.send_replace(true);
        };
        let router = match self.secured {
            Some(secured) => secured.serve(self.router, &self.hosts, self.stopping.subscribe())?,
            None => self.router,
        };
        let service = router.into_make_service_with_connect_info::<SocketAddr>();
        let server = axum::serve(self.listener, service).with_graceful_shutdown(stopped);
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
