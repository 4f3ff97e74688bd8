//! Joins facts and cores: drafted, laid, priced, planned.
