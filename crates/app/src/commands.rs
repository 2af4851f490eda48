//! The commands of `gaugeglass`.

use std::net::SocketAddr;
use std::path::{Path, PathBuf};

use clap::{Parser, Subcommand};
use records::{backup, doctor, log};

use crate::assess::{AssessArguments, assess};
use crate::reckon::{ReckonArguments, reckon};
use crate::refusal::Refusal;
use crate::serve::{Config, build};

/// Where it listens when nothing else is said.
const PORT: u16 = 8017;

/// The licences of everything in this program.
const LICENCES: &str = include_str!("../licences.txt");

/// Keeps the jobs and judges the trials of a workshop for model live-steam plants.
#[derive(Debug, Parser)]
#[command(name = "gaugeglass", version, args_conflicts_with_subcommands = true)]
pub struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    serve: ServeArguments,
    /// Print the licences of everything in this program.
    #[arg(long, exclusive = true)]
    licences: bool,
}

#[derive(Debug, clap::Args)]
struct ServeArguments {
    #[command(flatten)]
    data: DataArgument,
    /// Where to listen; port 0 takes a free one. 127.0.0.1:8017, with --lan 0.0.0.0:8017, when not given.
    #[arg(long, value_name = "ADDR")]
    listen: Option<SocketAddr>,
    /// Serve phones on the workshop's own network too; needs a pass phrase.
    #[arg(long)]
    lan: bool,
    /// Serve https too, on the next port, with a certificate of the workshop's own that each phone is told to trust once.
    #[arg(long)]
    https: bool,
}

#[derive(Debug, clap::Args)]
struct DataArgument {
    /// The data folder.
    #[arg(
        long,
        value_name = "DIR",
        env = "GAUGEGLASS_DATA",
        default_value = "gaugeglass-data"
    )]
    data: PathBuf,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Serve the workshop's pages (the same as no word at all).
    Serve(ServeArguments),
    /// Judge a trial from a file, without a server.
    Assess(AssessArguments),
    /// Reckon one calculation of the trade; without a name, list them.
    Reckon(ReckonArguments),
    /// Read every chain of the trial log and every picture again, or one record's.
    Verify {
        /// The number of a sealed record, like 26-014/3.
        number: Option<String>,
        #[command(flatten)]
        data: DataArgument,
    },
    /// Copy the data and its pictures, open the copy and check it.
    Backup {
        #[command(flatten)]
        data: DataArgument,
        /// The folder to put it in; `backups` in the data folder when none is given.
        #[arg(long, value_name = "DIR")]
        into: Option<PathBuf>,
    },
    /// Put a backup back into a new data folder with its pictures, open it and count its rows.
    Restore {
        /// The backup.
        backup: PathBuf,
        #[command(flatten)]
        data: DataArgument,
    },
    /// Look at everything that must be true of the data; one line a check.
    Doctor {
        #[command(flatten)]
        data: DataArgument,
    },
}

/// Does what the arguments ask.
///
/// # Errors
/// A [`Refusal`] with its exit status.
pub async fn run(arguments: Arguments) -> Result<(), Refusal> {
    if arguments.licences {
        print!("{LICENCES}");
        return Ok(());
    }
    match arguments.command {
        None => serve(arguments.serve).await,
        Some(Command::Serve(serve_arguments)) => serve(serve_arguments).await,
        Some(Command::Assess(arguments)) => assess(&arguments),
        Some(Command::Reckon(arguments)) => reckon(&arguments),
        Some(Command::Verify { number, data }) => verify(&data.data, number.as_deref()).await,
        Some(Command::Backup { data, into }) => {
            let into = into.unwrap_or_else(|| data.data.join("backups"));
            let copy = backup::make(&data.data, &into).await?;
            println!("backup: {}, {}", copy.path.display(), holds(&copy));
            pictures_whole("backup", &copy)
        }
        Some(Command::Restore { backup, data }) => {
            let copy = backup::restore(&backup, &data.data).await?;
            println!("restore: {}, {}", data.data.display(), holds(&copy));
            pictures_whole("restore", &copy)
        }
        Some(Command::Doctor { data }) => look(&data.data).await,
    }
}

async fn serve(arguments: ServeArguments) -> Result<(), Refusal> {
    let lan = arguments.lan;
    let listen = arguments.listen.unwrap_or_else(|| {
        let ip = if lan { [0, 0, 0, 0] } else { [127, 0, 0, 1] };
        SocketAddr::from((ip, PORT))
    });
    let app = build(Config {
        data: arguments.data.data,
        listen,
        lan,
        https: arguments.https,
    })
    .await?;
    let port = app.address().port();
    if app.address().ip().is_unspecified() {
        println!("gaugeglass: http://127.0.0.1:{port}/");
    } else {
        println!("gaugeglass: http://{}/", app.address());
    }
    if let Some(address) = app.secured_address() {
        println!(
            "https: port {}; /certificate tells how a phone comes to trust it",
            address.port()
        );
    }
    if lan {
        println!("answers to: {}", app.hosts().join(", "));
    }
    app.run_until(asked_to_stop()).await
}

/// Ctrl-C, or the system's request to stop.
async fn asked_to_stop() {
    let interrupted = async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        let terminated = async {
            match signal(SignalKind::terminate()) {
                Ok(mut signal) => {
                    signal.recv().await;
                }
                Err(_) => std::future::pending::<()>().await,
            }
        };
        tokio::select! {
            () = interrupted => {}
            () = terminated => {}
        }
    }
    #[cfg(not(unix))]
    interrupted.await;
}

async fn verify(data: &Path, number: Option<&str>) -> Result<(), Refusal> {
    must_hold_data(data)?;
    let report = log::verify::verify_folder(data, number).await?;
    if report.faults.is_empty() {
        println!("{}", report.line());
        Ok(())
    } else {
        let rest = report.faults.iter().skip(1).cloned();
        let lines: Vec<String> = std::iter::once(report.line()).chain(rest).collect();
        Err(Refusal::wrong(lines.join("\n")))
    }
}

async fn look(data: &Path) -> Result<(), Refusal> {
    let checks = doctor::look(data).await?;
    let lines: Vec<String> = checks.iter().map(doctor::Check::line).collect();
    println!("{}", lines.join("\n"));
    let wrong = checks.iter().filter(|c| !c.good).count();
    if wrong == 0 {
        Ok(())
    } else {
        Err(Refusal::wrong(format!(
            "doctor: {wrong} of {} checks found something wrong",
            checks.len()
        )))
    }
}

fn must_hold_data(data: &Path) -> Result<(), Refusal> {
    if records::file_of(data).is_file() {
        return Ok(());
    }
    Err(Refusal::unusable(format!(
        "{} holds no gaugeglass data; name the data folder with --data",
        data.display()
    )))
}

fn holds(copy: &backup::Copy) -> String {
    format!(
        "{} jobs, {} trials, {} entries, {} pictures, {}",
        copy.jobs,
        copy.trials,
        copy.entries,
        copy.pictures,
        match copy.faults.len() {
            0 => "checked".to_owned(),
            n => format!("{n} of their files missing or altered"),
        }
    )
}

/// The book was copied all the same; each picture that could not be is named.
fn pictures_whole(what: &str, copy: &backup::Copy) -> Result<(), Refusal> {
    match copy.faults.as_slice() {
        [] => Ok(()),
        faults => Err(Refusal::wrong(format!("{what}: {}", faults.join("\n")))),
    }
}
