//! Numbers and words as the sheet prints them.
//!
//! Numbers carry the typographic minus; a person's own words are printed as they are, save what is no letter
//! ([`plain`]) and no printer and no XML reader takes.

use crate::desk::Condition;
use crate::work::{TimeStyle, When};
use bevelbook_core::link::plain;
use jiff::{Timestamp, tz::TimeZone};
use maud::{Markup, html};

/// What the program worked out in words, with the signs of print: a minus, and a cross before an axis. A hyphen within a
/// word stays one; a treatment that stands among them is set alike.
pub(super) fn typeset(text: &str) -> String {
    let text = said(text);
    let mut out = String::with_capacity(text.len());
    for (at, c) in text.char_indices() {
        let is_number =
            text[at + c.len_utf8()..].trim_start().starts_with(|next: char| next.is_ascii_digit());
        let in_word = out.ends_with(char::is_alphanumeric);
        out.push(match c {
            '-' if is_number && !in_word => '\u{2212}',
            'x' if is_number && out.ends_with(' ') => '×',
            c => c,
        });
    }
    out
}

/// What a person wrote.
pub(super) fn said(text: &str) -> String {
    plain(text).collect()
}

/// The same within other words: letters that are written from right to left turn nothing beside them.
pub(super) fn own(text: &str) -> Markup {
    html! { bdi { (said(text)) } }
}

/// Several things in one paragraph.
pub(super) fn joined(parts: impl Iterator<Item = Markup>) -> Markup {
    html! { @for (place, part) in parts.enumerate() { @if place > 0 { "; " } (part) } }
}

/// When something was written; an undated record is said to be so.
pub(super) fn time(at: Option<Timestamp>, zone: &TimeZone) -> String {
    When::at(at).words(zone, TimeStyle::PRINTED)
}

/// In what state a frame came in.
pub(super) const fn condition(condition: Condition) -> &'static str {
    match condition {
        Condition::New => "new",
        Condition::Own => "customer's own, sound",
        Condition::Worn => "customer's own, WORN: at the owner's risk",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_are_those_of_print_and_words_keep_their_hyphens() {
        let set = "CR-39 2-D, \u{2212}1.25 \u{2212}0.75 × 15, \u{2212} 2 mm, x-ray 50 × 18, 2026-11-28";
        assert_eq!(typeset("CR-39 2-D, -1.25 -0.75 x 15, - 2 mm, x-ray 50 x 18, 2026-11-28"), set);
    }

    #[test]
    fn an_undated_record_gets_no_invented_date() {
        assert_eq!(time(None, &TimeZone::UTC), "undated");
        assert_eq!(time(Some(Timestamp::UNIX_EPOCH), &TimeZone::UTC), "1 Jan 00:00");
    }

    #[test]
    fn control_characters_are_not_printed() {
        assert_eq!(said("a\u{1b}[31mb\tc"), "a [31mb c");
    }
}
