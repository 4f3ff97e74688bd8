//! `bodkin serve` as a process: a clear sentence on standard error and exit 1 when
//! it cannot be done, 2 for a wrong command line.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};

fn bodkin(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_bodkin")).args(words).output().unwrap()
}

fn refused(words: &[&str]) -> String {
    let output = bodkin(words);
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(output.stdout.is_empty());
    assert!(said.starts_with("bodkin: ") && said.trim_end().ends_with('.') && said.lines().count() == 1, "{said}");
    said
}

/// A server on a free port, with the address that it printed.
struct Server {
    child: Child,
    address: String,
}

impl Server {
    fn of(folder: &Path) -> Server {
        let mut child = Command::new(env!("CARGO_BIN_EXE_bodkin"))
            .args(["serve", "--port", "0", "--data"])
            .arg(folder)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.as_mut().unwrap()).read_line(&mut line).unwrap();
        let address = line.split("http://").nth(1).unwrap().split('/').next().unwrap().to_string();
        Server { child, address }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn it_prints_its_address_once_it_can_be_reached() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::of(folder.path());
    let mut call = TcpStream::connect(&server.address).unwrap();
    write!(call, "GET /shop/open HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", server.address).unwrap();
    let mut answer = String::new();
    call.read_to_string(&mut answer).unwrap();
    assert!(answer.starts_with("HTTP/1.1 200") && answer.contains("Open the shop"), "{answer}");
}

#[test]
fn a_second_server_names_the_first() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::of(folder.path());
    let said = refused(&["--port", "0", "--data", folder.path().to_str().unwrap()]);
    assert!(said.contains(&format!("process {}", server.child.id())) && said.contains(&server.address), "{said}");
    drop(server);
    // The lock goes with its holder, however it ended.
    drop(Server::of(folder.path()));
}

#[test]
fn a_port_in_use_is_named_with_another() {
    let folder = tempfile::tempdir().unwrap();
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let said = refused(&["--port", &port, "--data", folder.path().to_str().unwrap()]);
    assert!(said.contains(&format!("Port {port} is taken")) && said.contains("--port"), "{said}");
}

#[test]
fn a_folder_that_is_not_there_or_no_book_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("nowhere");
    let said = refused(&["serve", "--port", "0", "--data", missing.to_str().unwrap()]);
    assert!(said.contains("nowhere"), "{said}");
    std::fs::write(folder.path().join("shop.db"), "a shopping list, not a book\n".repeat(20)).unwrap();
    let said = refused(&["serve", "--port", "0", "--data", folder.path().to_str().unwrap()]);
    assert!(said.contains("not a database"), "{said}");
}

#[test]
fn a_check_makes_no_book_and_changes_none() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_str().unwrap();
    let said = refused(&["check", "--data", path]);
    assert!(said.contains("There is no book at") && said.contains("--data"), "{said}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    drop(bodkin::store::Store::open(&bodkin::store::DataFolder::at(folder.path())).unwrap());
    let before = std::fs::read(folder.path().join("shop.db")).unwrap();
    let output = bodkin(&["check", "--data", path]);
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success() && said.ends_with("shop.db: whole, and its facts agree.\n"), "{said}");
    assert_eq!(std::fs::read(folder.path().join("shop.db")).unwrap(), before);
}

#[test]
fn others_on_the_network_are_not_served() {
    let folder = tempfile::tempdir().unwrap();
    let said = refused(&["--listen", "0.0.0.0", "--data", folder.path().to_str().unwrap()]);
    assert!(said.contains("0.0.0.0") && said.contains("this machine"), "{said}");
    assert!(!folder.path().join("shop.db").exists());
}

#[test]
fn a_wrong_command_line_exits_with_two() {
    assert_eq!(bodkin(&["serve", "--port", "eighty"]).status.code(), Some(2));
    assert_eq!(bodkin(&["sew"]).status.code(), Some(2));
    assert_eq!(bodkin(&["--help"]).status.code(), Some(0));
}
