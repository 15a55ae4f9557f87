//! How long a text of the shop's may be, and of what letters a name is: at the keyboard, in an order, in the settings.

use bevelbook_core::link::steers;
use serde::{Deserialize, Deserializer, de};
use std::fmt;
use toml::{Table, Value};

/// The most letters of a text. Own choice: any name or remark has room, and none fills a page.
pub const LETTERS: usize = 200;

/// As much of a name as an error shows.
const SHOWN: usize = 40;

/// A text that is longer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0} letters, where at most {LETTERS} are allowed")]
pub struct Overlong(pub usize);

/// Whether a text has room.
///
/// # Errors
/// It is longer than [`LETTERS`].
pub fn has_room(text: &str) -> Result<(), Overlong> {
    match text.chars().count() {
        0..=LETTERS => Ok(()),
        many => Err(Overlong(many)),
    }
}

/// What no line shows in a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub struct NotOneLine {
    /// Which of its letters, from 1.
    at: usize,
    letter: char,
}

impl fmt::Display for NotOneLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { at, letter } = self;
        match letter {
            '\n' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => {
                write!(f, "it has a line break in place {at}")
            }
            letter => write!(f, "its letter {at} is U+{:04X}, which nobody sees", *letter as u32),
        }?;
        f.write_str(", and is to be one line of letters; leave that out")
    }
}

/// Whether a name is one line of letters.
///
/// # Errors
/// A line breaks in it, or a letter is none.
pub fn is_one_line(name: &str) -> Result<(), NotOneLine> {
    let none = (1..).zip(name.chars()).find(|(_, letter)| steers(*letter));
    none.map_or(Ok(()), |(at, letter)| Err(NotOneLine { at, letter }))
}

/// Reads a name that may be missing.
pub(super) fn name<'de, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
    let name = Option::<String>::deserialize(from)?;
    name.iter().try_for_each(|name| is_one_line(name)).map_err(de::Error::custom)?;
    Ok(name)
}

/// A name or a text of a table that has no room, with the name that it stands under.
pub(super) fn overlong_in(table: &Table) -> Option<(String, Overlong)> {
    table.iter().find_map(|(name, value)| {
        let own = has_room(name).and_then(|()| texts(value).try_for_each(has_room));
        let own = own.err().map(|long| (name.chars().take(SHOWN).collect(), long));
        let inner = || overlong_in(value.as_table()?).map(|(inner, long)| (format!("{name}.{inner}"), long));
        own.or_else(inner)
    })
}

/// The texts of a value that is no table: itself, or those in its list.
fn texts(value: &Value) -> impl Iterator<Item = &str> {
    let list = value.as_array().into_iter().flatten();
    list.chain([value]).filter_map(Value::as_str)
}

#[cfg(test)]
mod tests {
    use super::super::tests::load;
    use super::*;

    #[test]
    fn letters_are_counted_and_not_bytes() {
        assert_eq!(has_room(&"ö".repeat(LETTERS)), Ok(()));
        assert_eq!(has_room(&"ö".repeat(LETTERS + 1)), Err(Overlong(201)));
    }

    #[test]
    fn a_long_text_of_the_settings_is_named_wherever_it_stands() {
        let long = "x".repeat(70_000);
        let text = |file: String| load(&file).unwrap_err().to_string();
        for (file, name) in [
            (format!("material.cr39.name = \"{long}\""), "material.cr39.name"),
            (format!("treatment.tint.also = [\"tint\", \"{long}\"]"), "treatment.tint.also"),
            (format!("material.{long}.index = 1.5"), "material.xxx"),
        ] {
            let said = text(file);
            assert!(said.contains(name) && said.contains("70000 letters, where at most 200"), "{said:.300}");
            assert!(said.len() < 300);
        }
    }
}
