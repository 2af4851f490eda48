//! `gaugeglass assess`: a trial judged from a file, without a server.

use std::io::{Read, Write};
use std::path::PathBuf;

use triallog::TrialFile;

use crate::refusal::Refusal;

/// Largest file read, bytes: far more than thirty days of readings.
const LARGEST: u64 = 256 << 20;

/// What to judge, and how to say it.
#[derive(Debug, clap::Args)]
pub(crate) struct AssessArguments {
    /// The trial as JSON or, with --plant, as a CSV table; - reads standard input.
    file: PathBuf,
    /// Print the assessment as JSON.
    #[arg(long)]
    json: bool,
    /// Judge the trial as it stood this many seconds into it.
    #[arg(long, value_name = "S", value_parser = seconds)]
    until: Option<f64>,
    /// For a table: a trial file without entries that says what the plant is.
    #[arg(long, value_name = "P.json")]
    plant: Option<PathBuf>,
    /// For a table: what was tried, where the plant's file does not say it.
    #[arg(long, value_name = "KIND", requires = "plant")]
    kind: Option<String>,
}

fn seconds(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(s) if s.is_finite() && s >= 0.0 => Ok(s),
        _ => Err("seconds from the beginning of the trial, 0 or more".to_owned()),
    }
}

/// Judges the file and prints the assessment.
///
/// # Errors
/// A refusal with status 2 whose lines name every fault, where the file cannot be used.
pub(crate) fn assess(arguments: &AssessArguments) -> Result<(), Refusal> {
    let text = read(&arguments.file)?;
    let file = match &arguments.plant {
        Some(plant) => triallog::read_table(&text, &read(plant)?, arguments.kind.as_deref()),
        None if arguments.file.extension().is_some_and(|e| e.eq_ignore_ascii_case("csv")) => {
            let says = "a table does not say what the plant is; name a trial file without entries with --plant";
            return Err(Refusal::faults(format!("{}: {says}", arguments.file.display())));
        }
        None => TrialFile::read(&text),
    }
    .map_err(|faults| Refusal::faults(faults.to_string()))?;
    let judged = calc::trial::assess(file.trial(), arguments.until);
    let kind = file.trial().kind;
    let out = if arguments.json {
        triallog::assessment_json(kind, &judged)
    } else {
        triallog::assessment_report(kind, &judged)
    };
    print(&out)
}

/// Prints to standard output; whoever read enough of it may go.
pub(crate) fn print(text: &str) -> Result<(), Refusal> {
    match writeln!(std::io::stdout(), "{text}") {
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Refusal::other(format!("cannot print: {e}")))
        }
        _ => Ok(()),
    }
}

fn read(path: &PathBuf) -> Result<String, Refusal> {
    let name = path.display();
    let cannot = |says: &dyn std::fmt::Display| Refusal::faults(format!("{name}: {says}"));
    let mut bytes = Vec::new();
    let count = if path.as_os_str() == "-" {
        std::io::stdin()
            .lock()
            .take(LARGEST + 1)
            .read_to_end(&mut bytes)
    } else {
        std::fs::File::open(path).and_then(|f| f.take(LARGEST + 1).read_to_end(&mut bytes))
    };
    let count = count.map_err(|e| cannot(&e))?;
    if u64::try_from(count).unwrap_or(u64::MAX) > LARGEST {
        return Err(cannot(&"this is too large for a trial"));
    }
    String::from_utf8(bytes).map_err(|e| {
        cannot(&format!(
            "not UTF-8 after byte {}",
            e.utf8_error().valid_up_to()
        ))
    })
}
