//! A statement with its values spelled out, as one of several in one message.
//!
//! Each is quoted as PostgreSQL's documentation says ("String Constants with C-Style Escapes", "Constants of Other Types"), so that
//! it is read alike whatever `standard_conforming_strings` is.

use crate::store::value::Value;
use std::fmt::Write as _;

/// Puts a statement behind `text`, with its values in place of `?1`, `?2` and so on.
pub(super) fn spell(text: &mut String, sql: &str, values: &[Value<'_>]) {
    let mut parts = sql.split('?');
    text.push_str(parts.next().unwrap_or_default());
    for part in parts {
        let digits = part.bytes().take_while(u8::is_ascii_digit).count();
        let (number, rest) = part.split_at(digits);
        // Of a number that is none the server says that it is no statement.
        match number.parse::<usize>().ok().and_then(|number| values.get(number.checked_sub(1)?)) {
            Some(value) => spell_value(text, value),
            None => text.push('?'),
        }
        text.push_str(rest);
    }
}

fn spell_value(text: &mut String, value: &Value<'_>) {
    match value {
        Value::Number(Some(number)) => drop(write!(text, "'{number}'::int8")),
        Value::Number(None) | Value::Text(None) => text.push_str("NULL"),
        Value::Text(Some(letters)) => {
            text.push_str("E'");
            for letter in letters.chars() {
                match letter {
                    '\'' | '\\' => text.extend([letter, letter]),
                    // Refused by the server, which keeps none; as it is it would end the message.
                    '\0' => text.push_str("\\0"),
                    _ => text.push(letter),
                }
            }
            text.push_str("'::text");
        }
        Value::Bytes(bytes) => {
            text.push_str("E'\\\\x");
            for byte in *bytes {
                let _ = write!(text, "{byte:02x}");
            }
            text.push_str("'::bytea");
        }
        Value::Truth(truth) => drop(write!(text, "{truth}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::value::values;

    #[test]
    fn values_are_quoted_so_that_none_ends_its_text() {
        let mut text = "SELECT 1;".to_owned();
        let bytes: &[u8] = &[0, 0x27, 0xff];
        let sql = "INSERT INTO t VALUES (?1, ?2, ?3, ?4, ?5, ?2)";
        spell(&mut text, sql, values![i64::MIN, r"d'A\'?1", bytes, true, None::<u32>]);
        let quoted = r"E'd''A\\''?1'::text";
        let all = r"'-9223372036854775808'::int8, Q, E'\\x0027ff'::bytea, true, NULL, Q".replace('Q', quoted);
        assert_eq!(text, format!("SELECT 1;INSERT INTO t VALUES ({all})"));
    }
}
