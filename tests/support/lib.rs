//! What every acceptance test shares: the real app on a free port, and a small browser without script.

mod chance;
mod client;
mod phone;

pub use chance::Chance;
pub use client::{Page, Request};
pub use phone::FromPhone;

use std::net::SocketAddr;
use std::path::Path;

use tokio::sync::oneshot;
use tokio::task::JoinHandle;

/// The app, started as `main` starts it, on a data folder of its own.
#[derive(Debug)]
pub struct App {
    address: SocketAddr,
    store: records::Store,
    folder: Option<tempfile::TempDir>,
    stop: Option<oneshot::Sender<()>>,
    running: JoinHandle<()>,
}

impl App {
    /// The app on a new folder, with nothing in it.
    pub async fn spawn() -> Self {
        let folder = tempfile::tempdir().expect("a folder for the test");
        let mut app = Self::on(folder.path()).await;
        app.folder = Some(folder);
        app
    }

    /// The app on a folder that holds a workshop already.
    pub async fn on(folder: &Path) -> Self {
        Self::started(folder, false).await
    }

    /// The same behind its pass phrase, as the workshop's network is served.
    pub async fn behind_its_door(folder: &Path) -> Self {
        Self::started(folder, true).await
    }

    async fn started(folder: &Path, lan: bool) -> Self {
        let config = app::Config {
            data: folder.to_owned(),
            listen: ([127, 0, 0, 1], 0).into(),
            lan,
            https: false,
        };
        let built = app::build(config).await.expect("the app starts");
        let (address, store) = (built.address(), built.store().clone());
        let (stop, stopped) = oneshot::channel::<()>();
        let running = tokio::spawn(async move {
            let until = async {
                let _ = stopped.await;
            };
            built.run_until(until).await.expect("the app ends well");
        });
        Self {
            address,
            store,
            folder: None,
            stop: Some(stop),
            running,
        }
    }

    /// An empty workshop, set up by its own first page.
    pub async fn workshop() -> Self {
        let app = Self::spawn().await;
        app.post(
            "/start/empty",
            &[("name", "Hazel Row Works"), ("owner", "Wren Tarbet")],
        )
        .await
        .leads_to("/");
        app
    }

    /// A workshop with one job: 26-001, the plant Sandmartin of T. Penrow.
    pub async fn one_job() -> Self {
        let app = Self::workshop().await;
        let job = [
            ("plant_name", "Sandmartin"),
            ("customer_name", "T. Penrow"),
            ("came_in_on", "2026-11-03"),
            ("words", "It dies under load"),
        ];
        app.post("/jobs", &job).await.leads_to("/jobs/26-001");
        app
    }

    /// The store, to look at what was kept.
    pub fn store(&self) -> &records::Store {
        &self.store
    }

    /// Where it listens, as a browser writes it.
    pub fn host(&self) -> String {
        self.address.to_string()
    }

    /// Fetches a page.
    pub async fn get(&self, path: &str) -> Page {
        Request::new("GET", path).send(self.address).await
    }

    /// Sends a form as a browser does, with a fresh hidden key unless one is given.
    pub async fn post(&self, path: &str, fields: &[(&str, &str)]) -> Page {
        let key = records::fresh_key();
        let mut all: Vec<(&str, &str)> = fields.to_vec();
        if !fields.iter().any(|(name, _)| *name == "key") {
            all.push(("key", &key));
        }
        let origin = format!("http://{}", self.host());
        Request::new("POST", path)
            .header("Origin", &origin)
            .form(&all)
            .send(self.address)
            .await
    }

    /// Sends a form that takes files, with a fresh hidden key unless one is given.
    pub async fn send_files(
        &self,
        path: &str,
        fields: &[(&str, &str)],
        files: &[(&str, &str, &[u8])],
    ) -> Page {
        let key = records::fresh_key();
        let mut all: Vec<(&str, &str)> = fields.to_vec();
        if !fields.iter().any(|(name, _)| *name == "key") {
            all.insert(0, ("key", &key));
        }
        Request::new("POST", path)
            .header("Origin", &format!("http://{}", self.host()))
            .files(&all, files)
            .send(self.address)
            .await
    }

    /// Sends a request made by hand.
    pub async fn send(&self, request: Request) -> Page {
        request.send(self.address).await
    }

    /// Stops the app as Ctrl-C does, and gives the folder back.
    pub async fn stop(mut self) -> Option<tempfile::TempDir> {
        if let Some(stop) = self.stop.take() {
            let _ = stop.send(());
        }
        (&mut self.running).await.expect("the app stops");
        self.folder.take()
    }
}
