//! bodkin: a workroom's book. Clients, dated measures and orders in; drafted
//! dimensions with their working, pieces, cloth, price, days and paper out.
//!
//! Read the modules in this order. A module imports only what `tests/it/tidy.rs`
//! allows it to:
//! `measure`, `geom` are words; `draft`, `lay`, `plan` are cores, blind to one
//! another; `shop` are facts and `store` keeps them; `job` joins facts and cores;
//! `sheet` and `remind` are what comes out; `web` and `command` are the edges.

/// A draft makes and drops thousands of short lists; this allocator is quicker at them.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

pub mod command;
pub mod config;
pub mod demo;
pub mod draft;
pub mod geom;
pub mod job;
pub mod lay;
pub mod measure;
pub mod plan;
pub mod sheet;
pub mod shop;
pub mod store;
pub mod web;
