//! `evenfield manual`, for whoever packs the program; its help of all commands does not list it.

use std::error::Error;
use std::io;
use std::path::{Path, PathBuf};

use clap::{Args, Command, CommandFactory, ValueEnum};
use clap_complete::Shell;
use clap_mangen::Man;

use super::Outcome;
use crate::store::{StoreError, Target, write_all};

/// Man pages, one a command, and what shells complete.
#[derive(Args)]
#[command(after_help = "Example: evenfield manual --man pages --completions shells")]
pub(super) struct Arguments {
    /// The folder for the pages
    #[arg(long, value_name = "FOLDER")]
    man: PathBuf,
    /// The folder for the completions, one file a shell
    #[arg(long, value_name = "FOLDER")]
    completions: PathBuf,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let mut all = super::Cli::command();
    all.build();
    let pages = pages(&all)?;
    let mut set = targets(&arguments.man, pages)?;
    set.extend(targets(&arguments.completions, completions())?);
    write_all(&set)?;
    Ok(Outcome::Fine)
}

/// The page of a command and of all below it, by name of file.
fn pages(command: &Command) -> io::Result<Vec<(String, Vec<u8>)>> {
    let man = Man::new(command.clone());
    let mut page = Vec::new();
    man.render(&mut page)?;
    let mut all = vec![(man.get_filename(), page)];
    let below = command.get_subcommands().filter(|one| !one.is_hide_set() && one.get_name() != "help");
    for command in below {
        all.extend(pages(command)?);
    }
    Ok(all)
}

fn completions() -> Vec<(String, Vec<u8>)> {
    let all = super::Cli::command();
    // A shell would complete what help does not list as well.
    let listed = all.get_subcommands().filter(|one| !one.is_hide_set()).cloned();
    let listed = Command::new("evenfield").version(env!("CARGO_PKG_VERSION")).subcommands(listed);
    let of = |shell: &Shell| {
        use clap_complete::Generator;
        let mut script = Vec::new();
        clap_complete::generate(*shell, &mut listed.clone(), "evenfield", &mut script);
        (shell.file_name("evenfield"), script)
    };
    Shell::value_variants().iter().map(of).collect()
}

fn targets(folder: &Path, files: Vec<(String, Vec<u8>)>) -> Result<Vec<(Target, Vec<u8>)>, StoreError> {
    let target = |(name, bytes): (String, Vec<u8>)| Ok((Target::new(&folder.join(name), false)?, bytes));
    files.into_iter().map(target).collect()
}
