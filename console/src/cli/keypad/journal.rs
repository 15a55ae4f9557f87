//! A journal as it is typed.

use bevelbook_core::record::JournalId;

/// The journal that is written out in `text`, 16 hexadecimal digits.
pub(super) fn journal(text: &str) -> Option<JournalId> {
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
}
