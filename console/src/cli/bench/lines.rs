//! The bench as lines of text or of JSON.

use super::offered::offered;
use crate::cli::Failure;
use crate::cli::adoption::ask;
use crate::cli::stop::Output;
use crate::keypad::{Bench, Clock, Note};
use bevelbook_core::link::plain;
use std::io::{self, Write};

/// Shows what happens as lines.
pub(super) struct Lines {
    pub(super) json: bool,
    /// Whether keypads are adopted without asking.
    pub(super) yes: bool,
}

impl Lines {
    /// Shows what happened; an error when nobody can see it any more.
    pub(super) fn show(&self, note: &Note) -> io::Result<()> {
        let mut out = Output;
        if self.json {
            writeln!(out, "{}", crate::json::shown(&serde_json::to_string(note)?))?;
        } else {
            writeln!(out, "{}", plain(&note.to_string()).collect::<String>())?;
        }
        out.flush()
    }

    /// Shows what happened and asks what is to be asked; how it ended, if it did.
    pub(super) fn look_after(&self, bench: &mut Bench, clock: Clock) -> Option<Result<(), Failure>> {
        while let Some(note) = bench.take_note() {
            if self.show(&note).is_err() {
                return Some(Ok(()));
            }
        }
        let journal = bench.asking()?.journal;
        let name = offered(bench, clock.now())?;
        if !self.yes && !ask(&format!("new keypad; add it as `{name}`? [y/N] ")) {
            return Some(Err(Failure::Use(format!(
                "this keypad is not this shop's, and nothing was taken in; add it with\n  bevelbook keypad add {journal} --name bench"
            ))));
        }
        bench.adopt(&name, clock.now());
        None
    }
}
