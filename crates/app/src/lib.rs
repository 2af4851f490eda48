//! The program's start-up and its commands, as a library, so that tests start the app as `main` does.
//!
//! ```no_run
//! # async fn run() -> Result<(), app::Refusal> {
//! let config = app::Config { data: "data".into(), listen: ([127, 0, 0, 1], 0).into(), lan: false, https: false };
//! let app = app::build(config).await?;
//! println!("{}", app.address());
//! app.run_until(std::future::pending()).await
//! # }
//! ```

mod assess;
mod certificates;
mod commands;
mod reckon;
mod refusal;
mod secured;
mod serve;

pub use commands::{Arguments, run};
pub use refusal::Refusal;
pub use serve::{App, Config, build};
