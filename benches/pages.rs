//! How long people wait for a page of a large book: 20,000 orders, 5,000 clients, 12,000
//! sets, served by the released program itself to 16 connections. `cargo bench --bench
//! pages`. A measure, not a test.
//!
//! Two loads. *At the counter*: sixteen people who look at what they got for a moment,
//! 160 pages a second in all. *Flat out*: each asks again as soon as it has its answer, so
//! that the machine, whose cores the callers share, is the limit. Both without and with
//! somebody who writes 20 times a second. Where the system tells it, the last column is the
//! work that the server did for a page: it stays the same on a machine that does other
//! things too, which the waiting does not.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a bench prints what it finds")]
#![allow(clippy::cast_precision_loss, reason = "sizes of files")]

mod large;

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::time::{Duration, Instant};

use bodkin::store::{ClientSearch, DataFolder, OrderFilter, Store};

const CONNECTIONS: u32 = 16;
/// How long each page is asked for under each load.
const EACH: Duration = Duration::from_millis(1500);
/// The pause between an answer and the next question at the counter.
const PAUSE: Duration = Duration::from_millis(100);

#[expect(clippy::disallowed_methods, reason = "a bench reads the clock")]
fn now() -> Instant {
    Instant::now()
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let start = now();
    let pages = filled(folder.path());
    println!("filled in         {:8.1} s", start.elapsed().as_secs_f64());
    let program = std::fs::metadata(env!("CARGO_BIN_EXE_bodkin")).unwrap().len();
    let shop = tempfile::tempdir().unwrap();
    let start = now();
    let store = Store::open(&DataFolder::at(shop.path())).unwrap();
    bodkin::demo::fill(&store, 4, large::today()).unwrap();
    println!("invented shop     {:8.2} s", start.elapsed().as_secs_f64());
    drop(store);
    println!("size of program   {:8.1} MB", program as f64 / 1e6);
    let mut starts: Vec<Duration> = (0..5).map(|_| Server::of(folder.path()).started).collect();
    starts.sort();
    println!("start to address  {:8.1} ms (least {:.1})", ms(starts[2]), ms(starts[0]));
    let server = Server::of(folder.path());
    println!("memory at start   {:8.1} MB", server.memory());
    println!("\n{:22}{:>9}{:>9}{:>9}{:>9}{:>9}{:>9}", "ms", "p50", "p99", "most", "pages/s", "kB", "work");
    for (load, pause) in [("at the counter", Some(PAUSE)), ("flat out", None)] {
        for writes in [false, true] {
            let writing = if writes { ", 20 writes/s" } else { "" };
            println!("{load}{writing}");
            let closing = AtomicBool::new(!writes);
            std::thread::scope(|scope| {
                let writer = scope.spawn(|| written(&server.address, &closing));
                for (name, paths) in &pages {
                    let before = server.worked();
                    let seen = asked(&server.address, paths, pause);
                    told(name, &seen, server.worked() - before);
                }
                closing.store(true, Ordering::Relaxed);
                let mut times = writer.join().unwrap();
                times.sort();
                if !times.is_empty() {
                    println!("  {:20}{:9.2}{:9.2}{:9.2}", "a write", at(&times, 50), at(&times, 99), at(&times, 100));
                }
            });
        }
    }
    println!("\nmemory afterwards {:8.1} MB", server.memory());
    everyone(&server.address);
}

/// A style drafted for a batch of clients, asked for by one person alone.
fn everyone(address: &str) {
    let mut call = Call::to(address);
    for style in ["wrap_skirt", "straight_skirt"] {
        let mut times: Vec<Duration> =
            (0..7).map(|batch| call.get(&format!("/styles/{style}/everyone?from={}", batch * 400)).0).collect();
        times.sort();
        println!("{style:18}{:8.1} ms for 400 clients (most {:.1})", at(&times, 50), at(&times, 100));
    }
}

/// A large book in this folder, and the pages to ask for.
fn filled(folder: &Path) -> Vec<(&'static str, Vec<String>)> {
    let store = Store::open(&DataFolder::at(folder)).unwrap();
    large::fill(&store, large::LARGE).unwrap();
    let some = |offset| OrderFilter { limit: 1, offset, ..OrderFilter::default() };
    let orders: Vec<String> = (0..200)
        .filter_map(|place| store.read(|book| book.orders(&some(place * 97))).unwrap().rows.into_iter().next())
        .map(|row| format!("/orders/{}", row.order.number))
        .collect();
    let search = ClientSearch { words: String::new(), limit: 5000, offset: 0 };
    let clients: Vec<String> = store
        .read(|book| book.clients(&search))
        .unwrap()
        .rows
        .iter()
        .step_by(23)
        .map(|row| format!("/clients/{}", row.client.id))
        .collect();
    let fixed = |paths: &[&str]| paths.iter().map(ToString::to_string).collect();
    vec![
        ("Today", fixed(&["/"])),
        ("Orders", fixed(&["/orders", "/orders?stage=cut", "/orders?stage=open", "/orders?words=wedding"])),
        ("Order", orders),
        ("Clients", fixed(&["/clients", "/clients?words=sol", "/clients?words=ama", "/clients?words=7946"])),
        ("Client", clients),
    ]
}

/// The released program on this folder.
struct Server {
    child: Child,
    address: String,
    started: Duration,
}

impl Server {
    fn of(folder: &Path) -> Server {
        let start = now();
        let mut child = Command::new(env!("CARGO_BIN_EXE_bodkin"))
            .args(["serve", "--port", "0", "--data"])
            .arg(folder)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.as_mut().unwrap()).read_line(&mut line).unwrap();
        let started = start.elapsed();
        let address = line.split("http://").nth(1).unwrap().split('/').next().unwrap().to_string();
        Server { child, address, started }
    }

    /// Processor time so far in ms, where the system tells it in /proc (in hundredths of a second).
    fn worked(&self) -> f64 {
        let told = std::fs::read_to_string(format!("/proc/{}/stat", self.child.id())).unwrap_or_default();
        let after_name = told.rsplit(") ").next().unwrap_or_default();
        let ticks = after_name.split(' ').skip(11).take(2).filter_map(|ticks| ticks.parse::<f64>().ok());
        if after_name.is_empty() { f64::NAN } else { ticks.sum::<f64>() * 10.0 }
    }

    /// Resident memory in MB, where the system tells it in /proc.
    fn memory(&self) -> f64 {
        let told = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap_or_default();
        let line = told.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap_or_default();
        line.trim().trim_end_matches(" kB").parse::<f64>().unwrap_or(f64::NAN) * 1024.0 / 1e6
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// What sixteen callers saw.
struct Seen {
    times: Vec<Duration>,
    bytes: usize,
    lasted: Duration,
}

/// Asks for these pages in turn from sixteen connections that stay open.
fn asked(address: &str, paths: &[String], pause: Option<Duration>) -> Seen {
    let next = AtomicU32::new(0);
    let start = now();
    let caller = |number: u32| {
        let mut call = Call::to(address);
        // Not all at once: people do not breathe together.
        std::thread::sleep(pause.map_or(Duration::ZERO, |pause| pause * number / CONNECTIONS));
        let mut times = Vec::new();
        let mut bytes = 0;
        while start.elapsed() < EACH {
            let place = usize::try_from(next.fetch_add(1, Ordering::Relaxed)).unwrap();
            let (time, size) = call.get(&paths[place % paths.len()]);
            times.push(time);
            bytes += size;
            pause.into_iter().for_each(std::thread::sleep);
        }
        (times, bytes)
    };
    let all: Vec<(Vec<Duration>, usize)> = std::thread::scope(|scope| {
        let callers: Vec<_> = (0..CONNECTIONS).map(|number| scope.spawn(move || caller(number))).collect();
        callers.into_iter().map(|caller| caller.join().unwrap()).collect()
    });
    let lasted = start.elapsed();
    let bytes = all.iter().map(|(_, bytes)| bytes).sum();
    Seen { times: all.into_iter().flat_map(|(times, _)| times).collect(), bytes, lasted }
}

/// Writes clients down, 20 a second, until told to close; how long each took.
fn written(address: &str, closing: &AtomicBool) -> Vec<Duration> {
    let mut times = Vec::new();
    if closing.load(Ordering::Relaxed) {
        return times;
    }
    let mut call = Call::to(address);
    let start = now();
    while !closing.load(Ordering::Relaxed) {
        let count = u32::try_from(times.len()).unwrap();
        times.push(call.post("/clients", &format!("name=Ruth+Quay+{count}&phone=07700+900{:03}", count % 1000)));
        // The next one is due on the beat, however long this one took.
        std::thread::sleep((Duration::from_millis(50) * (count + 1)).saturating_sub(start.elapsed()));
    }
    times
}

/// A connection that stays open.
struct Call {
    stream: BufReader<TcpStream>,
    address: String,
}

impl Call {
    fn to(address: &str) -> Call {
        let stream = TcpStream::connect(address).unwrap();
        stream.set_nodelay(true).unwrap();
        Call { stream: BufReader::new(stream), address: address.into() }
    }

    /// A page as a browser asks for it, packed; how long it took and how large it came.
    fn get(&mut self, path: &str) -> (Duration, usize) {
        let asked = format!("GET {path} HTTP/1.1\r\nHost: {}\r\nAccept-Encoding: gzip\r\n\r\n", self.address);
        self.asked(&asked, "200")
    }

    fn post(&mut self, path: &str, form: &str) -> Duration {
        let asked = format!(
            "POST {path} HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nContent-Type: application/x-www-form-urlencoded\r\n\
             Content-Length: {1}\r\n\r\n{form}",
            self.address,
            form.len()
        );
        self.asked(&asked, "303").0
    }

    fn asked(&mut self, asked: &str, expected: &str) -> (Duration, usize) {
        let start = now();
        self.stream.get_mut().write_all(asked.as_bytes()).unwrap();
        let status = self.line();
        assert_eq!(status.split(' ').nth(1), Some(expected), "{asked}\n{status}");
        let (mut length, mut chunked) = (0, false);
        loop {
            let line = self.line().to_ascii_lowercase();
            match line.split_once(": ") {
                Some(("content-length", count)) => length = count.parse().unwrap(),
                Some(("transfer-encoding", _)) => chunked = true,
                Some(_) => {}
                None => break,
            }
        }
        let size = if chunked { self.chunks() } else { self.skipped(length) };
        (start.elapsed(), size)
    }

    fn chunks(&mut self) -> usize {
        let mut size = 0;
        loop {
            let length = usize::from_str_radix(&self.line(), 16).unwrap();
            size += self.skipped(length);
            self.line();
            if length == 0 {
                return size;
            }
        }
    }

    fn skipped(&mut self, length: usize) -> usize {
        let mut body = vec![0; length];
        self.stream.read_exact(&mut body).unwrap();
        length
    }

    fn line(&mut self) -> String {
        let mut line = String::new();
        self.stream.read_line(&mut line).unwrap();
        line.trim_end().to_string()
    }
}

fn told(name: &str, seen: &Seen, worked: f64) {
    let mut times = seen.times.clone();
    times.sort();
    println!(
        "  {name:20}{:9.2}{:9.2}{:9.2}{:9.0}{:9.1}{:9.2}",
        at(&times, 50),
        at(&times, 99),
        at(&times, 100),
        times.len() as f64 / seen.lasted.as_secs_f64(),
        seen.bytes as f64 / 1e3 / times.len() as f64,
        worked / times.len() as f64
    );
}

/// The time that so many per cent stayed below, in ms.
fn at(sorted: &[Duration], percent: usize) -> f64 {
    let place = (sorted.len() * percent / 100).min(sorted.len() - 1);
    ms(sorted[place])
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}
