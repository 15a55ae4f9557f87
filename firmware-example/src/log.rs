//! How the firmware logs, with the feature `defmt`; nothing without it.
//!
//! For a builder in trouble: what a start found, what was begun and saved, whether a console is there, and every page and
//! every byte that went wrong. `error` is what was not done, `warn` what a person or the other end makes good, `info` what
//! keys and starts do, `debug` what the console does. No line carries a text that somebody typed, and none grows with what
//! it tells of: numbers and words of a fixed set.

/// One line, or nothing without the feature.
macro_rules! line {
    ($level:ident, $format:literal, $($value:expr),+) => {{
        #[cfg(feature = "defmt")]
        defmt::$level!($format, $($value),+);
        #[cfg(not(feature = "defmt"))]
        let _ = ($($value,)+);
    }};
}

/// A word that is sent as its number; the text itself without the feature.
macro_rules! word {
    ($word:literal) => {{
        #[cfg(feature = "defmt")]
        let word = defmt::intern!($word);
        #[cfg(not(feature = "defmt"))]
        let word = $word;
        word
    }};
}

pub(crate) use {line, word};
