//! An invented shop with a year of work.
