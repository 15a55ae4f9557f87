//! Text as a shell takes it, so that a command that is told can be pasted.

/// A text as one word of a command line.
pub(crate) fn word(text: &str) -> String {
    let is_plain = |letter: char| letter.is_alphanumeric() || "-+./_,:@".contains(letter);
    // In double quotes these mean something.
    if !text.is_empty() && text.chars().all(is_plain) {
        text.to_owned()
    } else if text.contains(['"', '$', '`', '\\', '!', '%']) {
        format!("'{}'", text.replace('\'', r"'\''"))
    } else {
        format!("\"{text}\"")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_quoted_where_a_shell_would_take_it_apart() {
        for (text, shown) in [
            ("bench1", "bench1"),
            ("Ödön", "Ödön"),
            ("Edge 1", "\"Edge 1\""),
            ("O'Neil", "\"O'Neil\""),
            ("a\"b'c", r#"'a"b'\''c'"#),
            ("$HOME", "'$HOME'"),
            ("a;b", "\"a;b\""),
            ("", "\"\""),
        ] {
            assert_eq!(word(text), shown);
        }
    }
}
