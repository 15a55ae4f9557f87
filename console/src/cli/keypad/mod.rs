//! `keypad`: which keypads are this shop's, what they logged, and one made of software.

mod adopt;
mod log;
mod screen;
mod software;

pub(super) use screen::screen;

use super::{Failure, Report, shop::Shop};
use crate::desk::Adoption;
use crate::keypad::{MemoryError, seen};
use crate::work::{Held, Work};
use bevelbook_core::record::JournalId;
use clap::Subcommand;
use serde_json::{Value, json};
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

#[derive(Subcommand)]
pub(crate) enum KeypadCommand {
    /// Run a keypad in this terminal, or for another program to press its keys.
    Software(software::SoftwareArgs),
    /// List this shop's keypads, and the serial ports that are plugged in.
    List,
    /// Make a keypad this shop's; only then are its records taken in.
    Adopt(adopt::AdoptArgs),
    /// Show what a keypad logged, in its own order.
    Log {
        /// The keypad's name, or its journal as `keypad list` shows it.
        keypad: String,
    },
}

pub(crate) fn run(shop: &Shop, command: &KeypadCommand) -> Result<Report, Failure> {
    match command {
        KeypadCommand::Software(args) => software::run(shop, args),
        KeypadCommand::List => list(&shop.open()?),
        KeypadCommand::Adopt(args) => adopt::run(shop, args),
        KeypadCommand::Log { keypad } => log::run(&shop.open()?, keypad),
    }
}

/// The memory file of the software keypad: the one that was given, or `keypad.mem` beside the book.
pub(super) fn memory_path(shop: &Shop, given: Option<&Path>) -> Result<PathBuf, Failure> {
    match given {
        Some(path) => Ok(path.into()),
        None => Ok(shop.book_path()?.with_file_name("keypad.mem")),
    }
}

pub(super) fn fault(error: &MemoryError) -> Failure {
    Failure::Fault(error.to_string())
}

fn list(work: &Work) -> Result<Report, Failure> {
    let (mut lines, mut keypads) = (Vec::new(), Vec::new());
    for Adoption { journal, name, .. } in work.keypads()? {
        let Held { last, gaps, .. } = work.journal(journal)?;
        let records = last.map_or("no records yet".into(), |last| format!("records to {last}"));
        lines.push(format!("{name}  journal {journal}  {records}{}", gap_words(&gaps)));
        keypads.push(json!({
            "keypad": name, "journal": journal.to_string(), "last": last, "gaps": gaps_json(&gaps),
        }));
    }
    let ports = seen();
    lines.extend(ports.iter().map(|port| format!("port {}  {}", port.path, port.what).trim_end().to_owned()));
    let ports: Vec<Value> =
        ports.iter().map(|port| json!({ "port": port.path, "what": port.what })).collect();
    let none = keypads.is_empty();
    let report = Report::new(lines.join("\n"), json!({ "keypads": keypads, "ports": ports }));
    Ok(match none {
        true => report.hint("no keypad is this shop's yet; `bevelbook bench` asks when it finds one"),
        false => report,
    })
}

fn gap_words(gaps: &[RangeInclusive<u32>]) -> String {
    let words = gaps.iter().map(|gap| match (gap.start(), gap.end()) {
        (from, to) if from == to => format!(" {from}"),
        (from, to) => format!(" {from}-{to}"),
    });
    let words: Vec<String> = words.collect();
    if words.is_empty() { String::new() } else { format!(", GAPS:{}", words.join(",")) }
}

fn gaps_json(gaps: &[RangeInclusive<u32>]) -> Vec<Value> {
    gaps.iter().map(|gap| json!({ "from": gap.start(), "to": gap.end() })).collect()
}

/// The journal that is written out in `text`, 16 hexadecimal digits.
fn journal(text: &str) -> Option<JournalId> {
    let digits = text.len() == 16 && text.bytes().all(|byte| byte.is_ascii_hexdigit());
    digits.then(|| u64::from_str_radix(text, 16).ok()).flatten().map(JournalId)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_journal_is_sixteen_hexadecimal_digits_and_a_path_is_none() {
        assert_eq!(journal("00000000000000fF"), Some(JournalId(255)));
        for other in ["ff", "/dev/ttyACM0", "+0000000000000ff", "00000000000000fg"] {
            assert_eq!(journal(other), None, "{other}");
        }
    }

    #[test]
    fn gaps_are_told_in_one_line() {
        assert_eq!(gap_words(&[3..=3, 7..=9]), ", GAPS: 3, 7-9");
        assert_eq!(gap_words(&[]), "");
    }
}
