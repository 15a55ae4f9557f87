//! A keypad as it is typed: by its name, or by its journal.

use crate::cli::Failure;
use crate::work::Work;
use bevelbook_core::record::JournalId;

/// The journal that is written out in `text`, 16 hexadecimal digits.
pub(super) fn journal(text: &str) -> Option<JournalId> {
    let digits = text.len() == 16 && text.bytes().all(|byte| byte.is_ascii_hexdigit());
    digits.then(|| u64::from_str_radix(text, 16).ok()).flatten().map(JournalId)
}

/// The journal of the keypad that is called so, or whose journal is written out.
pub(super) fn find(work: &Work, wanted: &str) -> Result<JournalId, Failure> {
    let keypads = work.keypads()?;
    let named = keypads.iter().find(|keypad| keypad.name.to_lowercase() == wanted.to_lowercase());
    let journals = work.journals()?;
    let known = |id: &JournalId| keypads.iter().any(|keypad| keypad.journal == *id) || journals.contains(id);
    let written = journal(wanted).filter(known);
    named.map(|keypad| keypad.journal).or(written).ok_or_else(|| {
        let names: Vec<&str> = keypads.iter().map(|keypad| keypad.name.as_str()).collect();
        let known = if names.is_empty() {
            "this shop has none yet".into()
        } else {
            format!("known: {}", names.join(", "))
        };
        Failure::NotFound(format!("no keypad `{wanted}`; {known}"))
    })
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
}
