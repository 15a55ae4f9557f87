//! Letters and their fonts: what a font of ISO 8859-1 has no picture for is written with what it has.

/// Letters of one size.
pub(super) struct Font {
    /// The pixels of a letter, the gap behind it included.
    pub(super) width: u32,
    /// The rows of a letter.
    pub(super) height: u32,
    /// A letter's columns from the left, of so many bits as it has rows, the lowest on top; the letters as [`place`] counts.
    columns: &'static [u8],
}

impl Font {
    /// The columns of a letter; none of one that it does not have.
    pub(super) fn columns(&self, letter: char) -> impl Iterator<Item = u32> {
        let mask = (1 << self.height) - 1;
        let first = place(shown_letter(letter)) * self.width;
        (first..first + self.width).map(move |column| {
            let bit = column * self.height;
            match self.columns.get(bit as usize / 8..) {
                Some([low, middle, high, ..]) => {
                    u32::from_le_bytes([*low, *middle, *high, 0]) >> (bit % 8) & mask
                }
                _ => 0,
            }
        })
    }
}

include!(concat!(env!("OUT_DIR"), "/fonts.rs"));

/// Figures.
const BOLD: &Font = &BOLD_FONT;
/// Titles.
pub(super) const TITLE: &Font = &TITLE_FONT;
/// What is said in a message.
pub(super) const SAID: &Font = &SAID_FONT;
/// Header, details, items and answers.
pub(super) const SMALL: &Font = &SMALL_FONT;
/// The last resort for answers, and the words of a picture.
pub(super) const SMALLEST: &Font = &SMALLEST_FONT;

/// The characters of a figure; more are cut off.
pub(super) const FIGURE_COLUMNS: usize = 8;

/// The letters of a figure, each pixel drawn as a square of [`TIMES`], and the rows of its cell that are empty in every
/// figure in it.
pub(super) struct FigureFont {
    /// The letters.
    pub(super) font: &'static Font,
    /// The rows above the highest letter, on the display.
    pub(super) skip: i32,
}

/// How often a pixel of a figure's letter is drawn beside and below itself.
pub(super) const TIMES: u32 = 2;

impl FigureFont {
    /// The pixels that `figure` is wide on the display.
    pub(super) fn width(&self, figure: &str) -> u32 {
        text_width(self.font, figure) * TIMES
    }
}

/// The boldest letters in which `figure` has at most `width` pixels and 20 rows: strokes of four pixels, which are read
/// at arm's length, for what has no letter that hangs below the line, and of two for the rest.
pub(super) fn figure_font(figure: &str, width: u32) -> FigureFont {
    let bold = FigureFont { font: BOLD, skip: 4 };
    let hangs = |letter: char| {
        !(' '..='~').contains(&shown_letter(letter))
            || matches!(
                letter,
                'g' | 'j'
                    | 'p'
                    | 'q'
                    | 'y'
                    | 'Q'
                    | ','
                    | ';'
                    | '/'
                    | '_'
                    | '('
                    | ')'
                    | '['
                    | ']'
                    | '{'
                    | '}'
                    | '|'
                    | '$'
                    | '@'
            )
    };
    if !figure.chars().any(hangs) && bold.width(figure) <= width {
        bold
    } else {
        FigureFont { font: TITLE, skip: 0 }
    }
}

/// The pixels that `text` is wide, the space behind its last letter included.
pub(super) fn text_width(font: &Font, text: &str) -> u32 {
    text.chars().count() as u32 * font.width
}

/// The start of `text`, at most `columns` characters.
pub(super) fn cut(text: &str, columns: usize) -> &str {
    #[cfg(test)]
    super::super::cut::note(text, columns);
    match text.char_indices().nth(columns) {
        Some((end, _)) => text.get(..end).unwrap_or(text),
        None => text,
    }
}

/// The letter for `letter`; a dot in the middle for what nothing resembles.
pub(super) fn shown_letter(letter: char) -> char {
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
        '\0'..='\u{9f}'
        | '\u{1680}'
        | '\u{2000}'..='\u{200a}'
        | '\u{2028}'
        | '\u{2029}'
        | '\u{202f}'
        | '\u{205f}' => ' ',
        '\u{3000}' => ' ',
        _ => '·',
    }
}

/// The place of a shown letter in any of the fonts.
const fn place(shown: char) -> u32 {
    let code = shown as u32;
    if code < 0x80 { code - 0x20 } else { code - 0x40 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_letter_becomes_a_question_mark_that_was_none() {
        let text = "−0.50 ⌀Δ 52□18 × 175° … ł";
        let shown: std::string::String = text.chars().map(shown_letter).collect();
        assert_eq!(shown, "-0.50 ød 52/18 × 175° · ·");
        for letter in shown.chars() {
            assert_ne!(place(letter), place('?'), "{letter}");
        }
    }

    #[test]
    fn spaces_of_all_kinds_and_controls_leave_a_gap() {
        let gaps = ('\0'..=char::MAX).filter(|letter| letter.is_whitespace() || letter.is_control());
        assert!(gaps.filter(|letter| *letter != '\u{a0}').all(|letter| shown_letter(letter) == ' '));
    }

    #[test]
    fn a_number_is_as_bold_as_its_room_allows() {
        assert_eq!(figure_font("+0.35", 96).width("+0.35"), 70);
        assert_eq!(figure_font("-10.125", 128).width("-10.125"), 98);
        assert_eq!(figure_font("-10.125", 96).width("-10.125"), 84);
        assert_eq!(figure_font("12345678", 96).width("12345678"), 96);
        assert_eq!(figure_font("pl", 96).width("pl"), 24, "what hangs below the line is written finer");
    }

    #[test]
    fn a_cut_counts_letters_not_bytes() {
        assert_eq!(cut("×××", 2), "××");
        assert_eq!(cut("×", 2), "×");
    }
}
