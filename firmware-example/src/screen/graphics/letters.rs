//! Letters and their fonts: what a font of ISO 8859-1 has no picture for is written with what it has.

use embedded_graphics::mono_font::MonoFont;
use embedded_graphics::mono_font::iso_8859_1::{FONT_4X6, FONT_5X8, FONT_6X9, FONT_6X10};
use heapless::String;
use profont::{PROFONT_18_POINT, PROFONT_24_POINT};

/// Titles.
pub(super) const TITLE: &MonoFont<'_> = &FONT_6X10;
/// What is said in a message.
pub(super) const SAID: &MonoFont<'_> = &FONT_6X9;
/// Header, details, items and answers.
pub(super) const SMALL: &MonoFont<'_> = &FONT_5X8;
/// The last resort for answers, and the words of a picture.
pub(super) const SMALLEST: &MonoFont<'_> = &FONT_4X6;

/// The characters of a figure; more are cut off.
pub(super) const FIGURE_COLUMNS: usize = 8;

/// The letters of a figure, and the rows of its cell that are empty in every figure in it.
pub(super) struct FigureFont {
    /// The letters.
    pub(super) font: &'static MonoFont<'static>,
    /// The rows above the highest letter.
    pub(super) skip: i32,
}

/// The biggest letters in which `figure` has at most `width` pixels and 20 rows. The biggest of all have 20 rows
/// only without what hangs below the line, so they are for numbers.
pub(super) fn figure_font(figure: &str, width: u32) -> FigureFont {
    let number = figure.chars().all(|letter| letter.is_ascii_digit() || "+-−.× ".contains(letter));
    if number && text_width(&PROFONT_24_POINT, figure) <= width {
        FigureFont { font: &PROFONT_24_POINT, skip: 5 }
    } else {
        FigureFont { font: &PROFONT_18_POINT, skip: 2 }
    }
}

/// The pixels that `text` is wide, the space behind its last letter included.
pub(super) fn text_width(font: &MonoFont<'_>, text: &str) -> u32 {
    let letters = text.chars().count() as u32;
    letters * (font.character_size.width + font.character_spacing)
}

/// The start of `text`, at most `columns` characters.
pub(super) fn cut(text: &str, columns: usize) -> &str {
    match text.char_indices().nth(columns) {
        Some((end, _)) => text.get(..end).unwrap_or(text),
        None => text,
    }
}

/// `text` in letters that the fonts have, one for one; at most a line of them.
pub(super) fn shown(text: &str) -> String<{ super::super::COLUMNS * 3 }> {
    let mut shown = String::new();
    for letter in text.chars().map(letter) {
        if shown.push(letter).is_err() {
            break;
        }
    }
    shown
}

/// The letter for `letter`; a dot in the middle for what nothing resembles.
fn letter(letter: char) -> char {
    match letter {
        ' '..='~' | '\u{a0}'..='ÿ' => letter,
        '−' | '–' | '—' | '‐' | '‑' => '-',
        '⌀' | '∅' => 'ø',
        'Δ' | '∆' => 'd',
        '□' | '☐' => '/',
        '‘' | '’' | '′' => '\'',
        '“' | '”' | '″' => '"',
        '≤' => '<',
        '≥' => '>',
        'μ' => 'µ',
        '●' | '•' | '…' => '·',
        letter if letter.is_whitespace() || letter.is_control() => ' ',
        _ => '·',
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_letter_becomes_a_question_mark_that_was_none() {
        let text = "−0.50 ⌀Δ 52□18 × 175° … ł";
        assert_eq!(shown(text).as_str(), "-0.50 ød 52/18 × 175° · ·");
        for letter in shown(text).chars() {
            let index = TITLE.glyph_mapping.index(letter);
            assert_ne!(index, TITLE.glyph_mapping.index('?'), "{letter}");
        }
    }

    #[test]
    fn a_number_is_as_big_as_its_room_allows() {
        assert_eq!(figure_font("+0.35", 96).font.character_size.height, 29);
        assert_eq!(figure_font("+10.125", 96).font.character_size.height, 22);
        assert_eq!(figure_font("pl", 96).font.character_size.height, 22);
    }

    #[test]
    fn a_cut_counts_letters_not_bytes() {
        assert_eq!(cut("×××", 2), "××");
        assert_eq!(cut("×", 2), "×");
    }
}
