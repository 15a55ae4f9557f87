//! Why a record is not read. Every message names the file, the line where there is one, and what would be right.

use bevelbook_core::frame::OutlineError;
use bevelbook_core::frame::trace::Refusal;
use bevelbook_core::prescription::Eye;
use std::path::PathBuf;

/// The largest file that is read: 4 MiB, some ten times a pair of the most points with their depths.
pub const LARGEST_FILE: u64 = 4 << 20;

/// A record that is not read.
#[derive(Debug, thiserror::Error)]
pub enum TraceError {
    /// There is no such file.
    #[error("no file {0}; give the path of a frame record")]
    Missing(PathBuf),
    /// The file cannot be read.
    #[error("cannot read {file}: {source}")]
    Read {
        /// The file.
        file: PathBuf,
        /// What the operating system said.
        source: std::io::Error,
    },
    /// The file is too large for a record.
    #[error(
        "{0} is too large for a frame record: text of at most {most} bytes is expected",
        most = LARGEST_FILE
    )]
    Large(PathBuf),
    /// A line is wrong, or the block that it begins is not whole.
    #[error("{file}, {refusal}\n    {line}")]
    Refused {
        /// The file.
        file: PathBuf,
        /// The line's number and what is wrong.
        refusal: Refusal,
        /// The line, shortened.
        line: String,
    },
    /// Neither eye has radii.
    #[error(
        "{0}: no radii of either eye; expected `TRCFMT=1;points;E;R;F` with `R=` lines below it, for one eye or both"
    )]
    NoRadii(PathBuf),
    /// The radii of an eye make no outline.
    #[error("{file}, line {line}: the radii of the {eye} eye make no outline: {source}")]
    NoOutline {
        /// The file.
        file: PathBuf,
        /// The line of the block's header.
        line: u32,
        /// The eye.
        eye: Eye,
        /// What is wrong with them.
        source: OutlineError,
    },
}
