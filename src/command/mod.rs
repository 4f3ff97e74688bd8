//! One file a subcommand.
