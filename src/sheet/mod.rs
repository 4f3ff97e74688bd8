//! What stands on a job sheet.
