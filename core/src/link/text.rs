//! Text as it is shown, whoever wrote it: the far end of the link, another console, a person.

use heapless::String;

/// The letters of `text`, with a space for each that a terminal or a reader would obey instead of showing it.
pub fn plain(text: &str) -> impl Iterator<Item = char> {
    text.chars().map(|letter| if steers(letter) { ' ' } else { letter })
}

/// `text` as [`plain`] letters.
pub fn printable<const N: usize>(text: &String<N>) -> String<N> {
    // A space takes no more room than what it stands for.
    plain(text).collect()
}

/// Whether a letter is none: control characters, line ends among them, what has no width, what turns the direction of
/// writing, and what no text may hold (the classes Cc, Zl and Zp of Unicode, and of Cf and Cn what is never seen).
pub const fn steers(letter: char) -> bool {
    matches!(
        letter,
        '\0'..='\x1f' | '\x7f'..='\u{9f}' | '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}'
            | '\u{fffe}' | '\u{ffff}' | '\u{e0000}'..='\u{e007f}'
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_could_obey_is_a_space() {
        let text: String<24> = "\x1b[2Jkeypad\u{202e}\u{9b}\r\n 1".try_into().unwrap();
        assert_eq!(printable(&text), " [2Jkeypad     1");
        let plain: String<24> = "Größe 52/18 No 7".try_into().unwrap();
        assert_eq!(printable(&plain), plain);
    }

    #[test]
    fn a_text_that_fills_its_bounds_still_fits() {
        let text: String<9> = "\u{2028}\u{9b}\n\u{202e}".try_into().unwrap();
        assert_eq!(printable(&text), "    ");
    }
}
