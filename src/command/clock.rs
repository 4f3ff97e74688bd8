//! The one place that reads the clock.

use std::time::{SystemTime, UNIX_EPOCH};

/// Milliseconds since 1970 in UTC; nought on a machine whose clock stands before that.
#[must_use]
pub fn now_ms() -> i64 {
    #[expect(
        clippy::disallowed_methods,
        reason = "the edge where time comes in; everything else takes it as an argument"
    )]
    let now = SystemTime::now();
    now.duration_since(UNIX_EPOCH).ok().and_then(|since| i64::try_from(since.as_millis()).ok()).unwrap_or(0)
}
