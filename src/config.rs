//! Flags and environment, read once into a plain struct.

use std::net::{IpAddr, Ipv4Addr};
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

/// The port bodkin listens on unless told otherwise. Judgement: above the
/// privileged ports and outside those that development servers use by habit.
pub const PORT: u16 = 4417;

/// What bodkin was asked to do.
#[derive(Clone, Debug, PartialEq, Eq, Subcommand)]
pub enum Task {
    /// Open the shop's pages on this machine
    Serve(Serve),
    /// Open the pages of an invented shop, of which nothing is kept
    Demo(Demo),
    /// Draft a style for measures given as name=value, such as waist_girth=29in
    Draft(Draft),
    /// Draw a style's pieces in true scale, to be printed: --paper A4 --out FILE.pdf
    Pattern(Pattern),
    /// List the styles of the book, key first
    Styles,
    /// Check the shop's book for damage and for facts that do not agree
    Check(Kept),
    /// Write a copy of the shop's book to a file that does not exist yet
    Backup(Backup),
}

/// How the invented shop is served.
#[derive(Clone, Debug, PartialEq, Eq, Args)]
pub struct Demo {
    /// The port to listen on (0 takes any free one)
    #[arg(long, value_name = "N", default_value_t = PORT)]
    pub port: u16,
}

/// One draft.
#[derive(Clone, Debug, PartialEq, Eq, Args)]
pub struct Draft {
    /// The key of a style (see `bodkin styles`), or a file that ends in .style.toml
    pub style: String,
    /// Measures and choices: waist_girth=29in hip_girth=38in fullness=2
    #[arg(value_name = "NAME=VALUE")]
    pub values: Vec<String>,
    /// Print JSON: lengths in mm, outlines as points
    #[arg(long)]
    pub json: bool,
    /// Show centimetres, and read numbers without a unit as centimetres
    #[arg(long)]
    pub cm: bool,
    /// Draft for many: a CSV file with one body a row, its columns named by measure and unit
    /// (waist_girth_mm, hip_girth_in); the style may then be “all”: those without a choice
    /// that is given are not tried
    #[arg(long, value_name = "FILE.csv")]
    pub bodies: Option<PathBuf>,
    /// Whose bodies these are: women, men or children; styles for others are not tried
    #[arg(long, value_name = "WHOSE", requires = "bodies")]
    pub who: Option<String>,
}

/// One pattern.
#[derive(Clone, Debug, PartialEq, Eq, Args)]
pub struct Pattern {
    /// What is drafted.
    #[command(flatten)]
    pub draft: Drafted,
    /// The paper: A4, letter, A0, or roll (36 in wide)
    #[arg(long, value_name = "PAPER", default_value = "A4")]
    pub paper: String,
    /// Letters of the pieces to draw, such as A,C [default: all of them]
    #[arg(long, value_name = "LETTERS", value_delimiter = ',')]
    pub pieces: Vec<String>,
    /// Draw pieces on the fold opened out, whole
    #[arg(long)]
    pub opened: bool,
    /// The file to write: .pdf, or .svg for one piece
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
}

/// A style with what it is drafted from.
#[derive(Clone, Debug, PartialEq, Eq, Args)]
pub struct Drafted {
    /// The key of a style (see `bodkin styles`), or a file that ends in .style.toml
    pub style: String,
    /// Measures and choices: waist_girth=29in hip_girth=38in fullness=2
    #[arg(value_name = "NAME=VALUE")]
    pub values: Vec<String>,
    /// Show centimetres, and read numbers without a unit as centimetres
    #[arg(long)]
    pub cm: bool,
}

/// Where the shop's data is.
#[derive(Clone, Debug, PartialEq, Eq, Args)]
pub struct Kept {
    /// The folder that holds the shop's data [default: the user's data folder]
    #[arg(long, value_name = "FOLDER")]
    pub data: Option<PathBuf>,
}

/// A copy of the book.
#[derive(Clone, Debug, PartialEq, Eq, Args)]
pub struct Backup {
    /// The file to write
    pub file: PathBuf,
    /// Where the shop's data is.
    #[command(flatten)]
    pub kept: Kept,
}

/// How the pages are served.
#[derive(Clone, Debug, PartialEq, Eq, Args)]
pub struct Serve {
    /// The folder that holds the shop's data [default: the user's data folder]
    #[arg(long, value_name = "FOLDER")]
    pub data: Option<PathBuf>,
    /// The port to listen on (0 takes any free one)
    #[arg(long, value_name = "N", default_value_t = PORT)]
    pub port: u16,
    /// The address to listen on; only this machine's own are taken
    #[arg(long, value_name = "ADDRESS", default_value_t = IpAddr::V4(Ipv4Addr::LOCALHOST))]
    pub listen: IpAddr,
}

#[derive(Debug, Parser)]
#[command(
    name = "bodkin",
    version,
    about = "A workroom's book: clients, measures and orders, drafted, laid, priced and promised.",
    args_conflicts_with_subcommands = true
)]
struct Flags {
    #[command(subcommand)]
    task: Option<Task>,
    #[command(flatten)]
    serve: Serve,
}

/// Reads the command line; plain `bodkin` serves.
///
/// # Errors
/// What is wrong with the command line (or the help that was asked for), ready
/// to be printed.
pub fn read<I, T>(words: I) -> Result<Task, clap::Error>
where
    I: IntoIterator<Item = T>,
    T: Into<std::ffi::OsString> + Clone,
{
    let flags = Flags::try_parse_from(words)?;
    Ok(flags.task.unwrap_or(Task::Serve(flags.serve)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_bodkin_serves_on_this_machine_only() {
        let Task::Serve(serve) = read(["bodkin"]).unwrap() else { panic!("not serve") };
        assert_eq!((serve.port, serve.data.clone()), (PORT, None));
        assert!(serve.listen.is_loopback());
    }

    #[test]
    fn flags_go_with_and_without_the_word_serve() {
        for words in
            [&["bodkin", "--port", "0", "--data", "shop"][..], &["bodkin", "serve", "--port", "0", "--data", "shop"]]
        {
            let Task::Serve(serve) = read(words).unwrap() else { panic!("not serve") };
            assert_eq!((serve.port, serve.data.clone()), (0, Some(PathBuf::from("shop"))));
        }
    }

    #[test]
    fn a_port_that_is_no_port_is_a_usage_error() {
        assert_eq!(read(["bodkin", "--port", "70000"]).unwrap_err().exit_code(), 2);
    }
}
