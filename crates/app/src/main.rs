//! The `gaugeglass` program.

use std::process::ExitCode;

use clap::Parser;
use tracing_subscriber::EnvFilter;

fn main() -> ExitCode {
    let arguments = app::Arguments::parse();
    let filter =
        EnvFilter::try_from_env("GAUGEGLASS_LOG").unwrap_or_else(|_| EnvFilter::new("warn"));
    tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        .init();
    let runtime = match tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
    {
        Ok(runtime) => runtime,
        Err(error) => {
            eprintln!("gaugeglass: cannot start: {error}");
            return ExitCode::from(1);
        }
    };
    match runtime.block_on(app::run(arguments)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(refusal) => {
            let name = if refusal.by_place { "" } else { "gaugeglass: " };
            eprintln!("{name}{refusal}");
            ExitCode::from(refusal.status)
        }
    }
}
