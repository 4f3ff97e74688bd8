//! `bodkin demo`: the pages of an invented shop, in a folder that goes when they close.

use std::fs;
use std::path::{Path, PathBuf};

use chrono::{DateTime, NaiveDate, TimeZone};
use chrono_tz::Tz;

use super::serve::{listen, serve_book};
use super::{CommandError, clock};
use crate::config::{Demo, Serve};
use crate::demo;
use crate::store::{DataFolder, Store};

/// The shop that is shown: any number gives one, this one's week is a good one to look at.
const SEED: u64 = 4;

/// Invents a shop and serves it until Ctrl-C.
///
/// # Errors
/// [`CommandError`] when the folder cannot be made or the port is not to be had.
pub fn demo(flags: &Demo) -> Result<(), CommandError> {
    let listener = listen(&Serve { data: None, port: flags.port, listen: std::net::Ipv4Addr::LOCALHOST.into() })?;
    let address = listener.local_addr().map_err(|why| CommandError(format!("The port cannot be asked: {why}.")))?;
    let now_ms = clock::now_ms();
    let folder = Passing::new(now_ms)?;
    let store = Store::open(&DataFolder::at(folder.path())).map_err(|why| CommandError(why.to_string()))?;
    demo::fill(&store, SEED, day_of(now_ms)).map_err(|why| CommandError(why.to_string()))?;
    serve_book(
        store,
        listener,
        &format!("bodkin shows an invented shop at http://{address}/ (nothing of it is kept). Ctrl-C closes it."),
    )
}

/// The day it is in the shop's town.
fn day_of(now_ms: i64) -> NaiveDate {
    let zone: Tz = demo::ZONE.parse().unwrap_or(Tz::UTC);
    let now = DateTime::from_timestamp_millis(now_ms).unwrap_or_default();
    zone.from_utc_datetime(&now.naive_utc()).date_naive()
}

/// A folder of this process among the temporary ones, removed when it is dropped.
struct Passing(PathBuf);

impl Passing {
    fn new(now_ms: i64) -> Result<Passing, CommandError> {
        let folder = std::env::temp_dir().join(format!("bodkin-demo-{}-{now_ms}", std::process::id()));
        // Made anew: a folder that is there already is somebody else's.
        fs::create_dir(&folder)
            .map_err(|why| CommandError(format!("The folder {} cannot be made: {why}.", folder.display())))?;
        Ok(Passing(folder))
    }

    fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Passing {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}
