//! SQLite: open, migrate, read and write facts.
