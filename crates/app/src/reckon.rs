//! `gaugeglass reckon`: one calculation of the trade, asked by name.

use std::io::Read;
use std::path::Path;

use triallog::reckon;

use crate::assess::print;
use crate::refusal::Refusal;

/// Largest input read, bytes.
const LARGEST: u64 = 16 << 20;

/// What to reckon, and with what.
#[derive(Debug, clap::Args)]
#[command(disable_help_flag = true)]
pub(crate) struct ReckonArguments {
    /// The reckoner; none lists them all.
    name: Option<String>,
    /// Its inputs as JSON, a file that holds them, or - for standard input.
    #[arg(allow_hyphen_values = true)]
    inputs: Option<String>,
    /// Print what the reckoner takes and answers.
    #[arg(short, long)]
    help: bool,
}

/// Prints the answer, the refusal (with status 2), the list or the help.
///
/// # Errors
/// A refusal with status 2; its JSON stands on standard output.
pub(crate) fn reckon(arguments: &ReckonArguments) -> Result<(), Refusal> {
    let Some(name) = arguments.name.as_deref() else {
        return print(&format!(
            "gaugeglass reckon NAME [JSON | FILE | -]\ngaugeglass reckon NAME --help\n\n{}",
            reckon::list()
        ));
    };
    if arguments.help {
        return match reckon::named(name) {
            Ok(reckoner) => print(&reckon::help(reckoner)),
            Err(refused) => refuse(&refused),
        };
    }
    let text = match arguments.inputs.as_deref() {
        None => "{}".to_owned(),
        Some(text) if text.trim_start().starts_with(['{', '[', '"']) => text.to_owned(),
        Some(path) => read(path)?,
    };
    match reckon::run(name, &text) {
        Ok(reckoned) => print(&reckoned.json()),
        Err(refused) => refuse(&refused),
    }
}

fn refuse(refused: &reckon::Refused) -> Result<(), Refusal> {
    print(&refused.json())?;
    Err(Refusal::faults(refused.to_string()))
}

fn read(path: &str) -> Result<String, Refusal> {
    let cannot = |says: &dyn std::fmt::Display| Refusal::faults(format!("{path}: {says}"));
    let mut text = String::new();
    let count = if path == "-" {
        std::io::stdin()
            .lock()
            .take(LARGEST + 1)
            .read_to_string(&mut text)
    } else {
        std::fs::File::open(Path::new(path))
            .and_then(|f| f.take(LARGEST + 1).read_to_string(&mut text))
    };
    let count = count.map_err(|e| cannot(&e))?;
    if u64::try_from(count).unwrap_or(u64::MAX) > LARGEST {
        return Err(cannot(&"this is too large for the inputs of a reckoner"));
    }
    Ok(text)
}
