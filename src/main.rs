//! The program: flags in, exit code out.

use std::process::ExitCode;

fn main() -> ExitCode {
    match bodkin::config::read(std::env::args_os()) {
        Ok(task) => bodkin::command::run(&task),
        Err(usage) => {
            // Help goes to standard output and exits 0; a usage error to standard error, 2.
            let _ = usage.print();
            ExitCode::from(u8::try_from(usage.exit_code()).unwrap_or(2))
        }
    }
}
