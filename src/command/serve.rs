//! `bodkin serve`: the shop's pages on this machine.
//!
//! One server holds a data folder: it locks a file there and writes beside it who
//! it is, so that a second one can name the first.

use std::fs::{self, File, OpenOptions};
use std::io::{ErrorKind, Write};
use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use fd_lock::RwLock;

use super::{CommandError, clock};
use crate::config::Serve;
use crate::draft::{BOOK, Style};
use crate::shop::BookText;
use crate::store::{DataFolder, OWNER, Store};
use crate::web::{App, Clock};

/// Serves until Ctrl-C.
///
/// # Errors
/// [`CommandError`] when the folder, the book or the port is not to be had.
pub fn serve(flags: &Serve) -> Result<(), CommandError> {
    if !flags.listen.is_loopback() {
        return Err(CommandError(format!(
            "{} is an address that others on the network can reach, and nobody signs in yet. Leave --listen away: bodkin \
             then answers on this machine alone.",
            flags.listen
        )));
    }
    let folder = DataFolder::at(&data_folder(flags.data.as_deref())?);
    folder.is_fit().map_err(|why| CommandError(why.to_string()))?;
    let mut lock = RwLock::new(open_lock(&folder.lock())?);
    let held = lock.try_write().map_err(|why| in_use(&folder, &why))?;
    let listener = listen(flags)?;
    let address = listener.local_addr().map_err(|why| CommandError(format!("The port cannot be asked: {why}.")))?;
    let card = card(&folder);
    let words = format!("process {}, at http://{address}/", std::process::id());
    fs::write(&card, &words).map_err(|why| CommandError(format!("{} cannot be written: {why}.", card.display())))?;
    let store = Store::open(&folder).map_err(|why| CommandError(why.to_string()))?;
    offer_book(&store)?;
    serve_book(
        store,
        listener,
        &format!("bodkin is open at http://{address}/ (data in {}). Ctrl-C closes it.", folder.path().display()),
    )?;
    let _ = fs::remove_file(&card);
    drop(held);
    Ok(())
}

/// Offers the shop the styles that this bodkin comes with; those that it edited stay its own.
///
/// # Errors
/// [`CommandError`] when a style of the book does not read, or the book cannot be written.
pub fn offer_book(store: &Store) -> Result<(), CommandError> {
    let mut labels = Vec::new();
    for style in BOOK {
        let read = Style::read(style.text)
            .map_err(|why| CommandError(format!("The style {} does not read: {why}.", style.key)))?;
        labels.push(read.label().to_string());
    }
    let texts: Vec<BookText> =
        BOOK.iter().zip(&labels).map(|(style, label)| BookText { key: style.key, label, text: style.text }).collect();
    store
        .write(OWNER, clock::now_ms(), "opened the style book", |book| {
            book.offer_book(&texts, env!("CARGO_PKG_VERSION"))
        })
        .map(drop)
        .map_err(|why| CommandError(why.to_string()))
}

/// Serves an open book on a listener until Ctrl-C; says `words` once it can be reached.
///
/// # Errors
/// [`CommandError`] when the machine gives no threads or the listener breaks.
pub fn serve_book(store: Store, listener: TcpListener, words: &str) -> Result<(), CommandError> {
    let clock: Clock = Arc::new(clock::now_ms);
    // The listener takes calls already: whoever reads this can open the page.
    let mut out = std::io::stdout();
    let _ = writeln!(out, "{words}").and_then(|()| out.flush());
    crate::web::run(listener, App::new(Arc::new(store), clock))
        .map_err(|why| CommandError(format!("The pages stopped: {why}.")))
}

/// A listener on this machine.
///
/// # Errors
/// [`CommandError`] when the port is taken or may not be used.
pub fn listen(flags: &Serve) -> Result<TcpListener, CommandError> {
    TcpListener::bind((flags.listen, flags.port)).map_err(|why| {
        let port = flags.port;
        let next = if port < u16::MAX { port + 1 } else { port - 1 };
        CommandError(match why.kind() {
            ErrorKind::AddrInUse => format!(
                "Port {port} is taken by another program. Choose another, such as --port {next}, or --port 0 for any free one."
            ),
            ErrorKind::PermissionDenied => {
                format!("Port {port} may not be used by this user. Choose one from 1024 on, such as --port {}.", crate::config::PORT)
            }
            _ => format!("Port {port} of {} cannot be listened on: {why}.", flags.listen),
        })
    })
}

/// The folder asked for, which must exist; or the user's own, which is made.
pub(super) fn data_folder(asked: Option<&Path>) -> Result<PathBuf, CommandError> {
    if let Some(folder) = asked {
        return Ok(folder.to_path_buf());
    }
    let own = directories::ProjectDirs::from("", "", "bodkin")
        .ok_or_else(|| CommandError("This user has no home folder. Name a folder with --data FOLDER.".into()))?;
    let folder = own.data_dir().to_path_buf();
    fs::create_dir_all(&folder).map_err(|why| {
        CommandError(format!("The folder {} cannot be made: {why}. Name another with --data FOLDER.", folder.display()))
    })?;
    Ok(folder)
}

fn open_lock(file: &Path) -> Result<File, CommandError> {
    OpenOptions::new().write(true).create(true).truncate(false).open(file).map_err(|why| {
        CommandError(format!(
            "{} cannot be opened: {why}. Allow writing there, or name another folder with --data.",
            file.display()
        ))
    })
}

/// Who holds the folder; beside the lock, since a locked file cannot be read everywhere.
fn card(folder: &DataFolder) -> PathBuf {
    folder.path().join("server.txt")
}

fn in_use(folder: &DataFolder, why: &std::io::Error) -> CommandError {
    let shown = folder.path().display();
    if why.kind() != ErrorKind::WouldBlock {
        return CommandError(format!("The folder {shown} cannot be locked: {why}."));
    }
    let first = fs::read_to_string(card(folder)).unwrap_or_default();
    let first = if first.is_empty() { "another bodkin".into() } else { format!("another bodkin ({first})") };
    CommandError(format!("The folder {shown} is open in {first}. Use that one, or close it first."))
}
