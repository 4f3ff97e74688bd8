//! One file a subcommand. A command that fails says one sentence on standard
//! error and exits 1; a wrong command line exits 2 (see `config`).

mod backup;
mod check;
mod clock;
mod demo;
mod draft;
mod draft_bodies;
mod draft_json;
mod pattern;
mod serve;
mod styles;

use std::io::Write;
use std::process::ExitCode;

use crate::config::Task;

/// Why a command could not do its work: one sentence, naming what and the remedy.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct CommandError(pub String);

/// Does what was asked.
#[must_use]
pub fn run(task: &Task) -> ExitCode {
    let done = match task {
        Task::Serve(flags) => serve::serve(flags),
        Task::Demo(flags) => demo::demo(flags),
        Task::Draft(flags) if flags.bodies.is_some() => draft_bodies::draft_bodies(flags),
        Task::Draft(flags) => draft::draft(flags),
        Task::Pattern(flags) => pattern::draw(flags),
        Task::Styles => styles::styles(),
        Task::Check(flags) => check::check(flags),
        Task::Backup(flags) => backup::backup(flags),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            let _ = writeln!(std::io::stderr(), "bodkin: {why}");
            ExitCode::FAILURE
        }
    }
}
