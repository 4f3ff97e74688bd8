//! Flags and environment, read once into a plain struct.
