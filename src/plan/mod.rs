//! Calendar, minutes, and the days by which things must be done.
