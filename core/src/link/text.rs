//! Text that came over the link.

use heapless::String;

/// `text` without what a terminal could obey: control characters, and the marks that turn the direction of writing.
pub fn printable<const N: usize>(text: &String<N>) -> String<N> {
    text.chars().filter(|&letter| !steers(letter)).collect()
}

const fn steers(letter: char) -> bool {
    matches!(
        letter,
        '\0'..='\x1f' | '\x7f'..='\u{9f}' | '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2066}'..='\u{2069}'
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_could_obey_is_left_out() {
        let text: String<24> = "\x1b[2Jkeypad\u{202e}\u{9b}\r\n 1".try_into().unwrap();
        assert_eq!(printable(&text), "[2Jkeypad 1");
        let plain: String<24> = "Größe 52/18 No 7".try_into().unwrap();
        assert_eq!(printable(&plain), plain);
    }
}
