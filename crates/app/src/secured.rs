//! https beside plain http: the same pages on the next port, with a certificate of the workshop's own. It adds what a browser
//! gives only where it trusts the address; nothing that keeps a reading safe depends on it.

use std::net::SocketAddr;
use std::time::Duration;

use axum::{Extension, Router};
use axum_server::Handle;
use axum_server::tls_rustls::RustlsConfig;
use tokio::sync::watch;

use crate::certificates::Authority;
use crate::refusal::Refusal;
use crate::serve::Config;

/// How often the names of this machine are looked at again, and the certificate with them.
const NAMES_ANEW: Duration = Duration::from_secs(20);
/// How long open requests may take to end.
const LAST_REQUESTS: Duration = Duration::from_secs(2);

/// A port for https that is open and not yet served.
#[derive(Debug)]
pub(crate) struct Secured {
    listener: std::net::TcpListener,
    authority: Authority,
    pub(crate) address: SocketAddr,
}

impl Secured {
    /// Opens the port after the plain one, or a free one where that was free too.
    pub(crate) async fn open(config: &Config, plain: SocketAddr) -> Result<Self, Refusal> {
        let port = if config.listen.port() == 0 {
            0
        } else {
            plain.port().checked_add(1).unwrap_or(0)
        };
        let at = SocketAddr::new(plain.ip(), port);
        let cannot = |e: std::io::Error| {
            Refusal::other(format!(
                "{at} cannot be listened on for https: {e}; give another port with --listen"
            ))
        };
        let listener = tokio::net::TcpListener::bind(at).await.map_err(cannot)?;
        let address = listener.local_addr().map_err(cannot)?;
        Ok(Self {
            listener: listener.into_std().map_err(cannot)?,
            authority: Authority::in_folder(&config.data)?,
            address,
        })
    }

    /// Serves it in the background until the program stops; gives back the router for plain http, which hands out the
    /// certificate too.
    pub(crate) fn serve(
        self,
        router: Router,
        hosts: &web::Hosts,
        mut stopping: watch::Receiver<bool>,
    ) -> Result<Router, Refusal> {
        let known = web::Authority {
            pem: self.authority.pem.clone(),
            port: self.address.port(),
        };
        let router = router.layer(Extension(known));
        let first = hosts.list();
        let shown = RustlsConfig::from_config(self.authority.config(&first)?);
        let handle = Handle::new();
        let pages = router.clone().layer(Extension(web::OverHttps));
        let server = axum_server::from_tcp_rustls(self.listener, shown.clone())
            .map_err(|e| Refusal::other(format!("https cannot be served: {e}")))?
            .handle(handle.clone());
        tokio::spawn(async move {
            let service = pages.into_make_service_with_connect_info::<SocketAddr>();
            if let Err(error) = server.serve(service).await {
                tracing::error!(%error, "https has stopped");
            }
        });
        let hosts = hosts.clone();
        tokio::spawn(async move {
            let mut names = first;
            loop {
                tokio::select! {
                    _ = stopping.wait_for(|stops| *stops) => break,
                    () = tokio::time::sleep(NAMES_ANEW) => {}
                }
                let now = hosts.anew();
                if now != names
                    && let Ok(config) = self.authority.config(&now)
                {
                    shown.reload_from_config(config);
                    names = now;
                }
            }
            handle.graceful_shutdown(Some(LAST_REQUESTS));
        });
        Ok(router)
    }
}
