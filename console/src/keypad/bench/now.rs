//! The time, as the caller has it.

/// The time, as the caller has it.
#[derive(Clone, Copy, Debug)]
pub struct Now {
    /// Milliseconds on a clock that only goes forward.
    pub ms: u64,
    /// Milliseconds since 1970-01-01 UTC.
    pub utc_ms: i64,
}
