//! One integration binary: one noun, one file.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test says what it expects by unwrapping")]

mod command_bodies;
mod correction;
mod cut;
mod demo;
mod draft_bodies;
mod draft_engine;
mod draft_facing;
mod draft_fuzz;
mod draft_notch;
mod draft_pleat;
mod draft_sabotage;
mod draft_smooth;
mod draft_sources;
mod draft_worked;
mod job;
mod job_cloth;
mod lay;
mod lay_check;
mod lay_rules;
mod lay_search;
mod pattern;
mod plan;
mod plausible;
mod serve;
mod sheet;
mod store;
mod store_any_order;
mod store_client;
mod store_files;
mod store_kill;
mod store_order;
mod store_style;
mod tidy;
mod web;
mod web_correction;
mod web_draft;
mod web_input;
mod web_order;
mod web_pattern;
mod web_sheet;
mod web_style;
