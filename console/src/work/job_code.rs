//! A job's number as it is scanned and typed where nothing else may be meant by it: `J12`.
//!
//! A letter and figures are typed alike by scanners on most keyboards and mean nothing to a shell, which takes what follows
//! a `#` for a remark. A bare number may be that of a tray.

/// The code of the job with that number.
#[must_use]
pub fn job_code(number: u32) -> String {
    format!("J{number}")
}

/// The number of the job that a code names.
pub(super) fn number_of(code: &str) -> Option<u32> {
    let figures = code.strip_prefix(['J', 'j'])?;
    figures.bytes().all(|letter| letter.is_ascii_digit()).then(|| figures.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_read_as_it_is_written_and_by_a_keyboard_without_capitals() {
        assert_eq!(number_of(&job_code(12)), Some(12));
        assert_eq!(number_of("j4294967295"), Some(u32::MAX));
        for other in ["12", "J", "J+1", "J 1", "T12", "J4294967296", "J1a", ""] {
            assert_eq!(number_of(other), None, "{other}");
        }
    }
}
