//! Values as a server spells them out where it is asked several things in one message (PostgreSQL's documentation, "Data Types").

/// What can be read from the text of a value.
pub(super) trait Told: Sized {
    /// It; none where that is no such value. `NULL` has no text.
    fn told(text: Option<&str>) -> Option<Self>;
}

impl<T: Told> Told for Option<T> {
    fn told(text: Option<&str>) -> Option<Self> {
        text.map_or(Some(None), |text| T::told(Some(text)).map(Some))
    }
}

impl Told for i64 {
    fn told(text: Option<&str>) -> Option<Self> {
        text?.parse().ok()
    }
}

impl Told for bool {
    fn told(text: Option<&str>) -> Option<Self> {
        match text? {
            "t" => Some(true),
            "f" => Some(false),
            _ => None,
        }
    }
}

impl Told for String {
    fn told(text: Option<&str>) -> Option<Self> {
        text.map(Self::from)
    }
}

/// In the form `hex`, which each session asks for.
impl Told for Vec<u8> {
    fn told(text: Option<&str>) -> Option<Self> {
        let digit = |digit: u8| char::from(digit).to_digit(16).and_then(|digit| u8::try_from(digit).ok());
        let (bytes, rest) = text?.strip_prefix("\\x")?.as_bytes().as_chunks::<2>();
        let bytes = bytes.iter().map(|[high, low]| Some(digit(*high)? << 4 | digit(*low)?));
        rest.is_empty().then(|| bytes.collect())?
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_read_as_it_was_spelled_out_and_nothing_else_is() {
        assert_eq!(<Vec<u8>>::told(Some("\\x00ff4e")), Some(vec![0, 255, 78]));
        assert_eq!(<Vec<u8>>::told(Some("\\x")), Some(Vec::new()));
        for wrong in [Some("00ff"), Some("\\x0"), Some("\\x0g"), Some("\\000"), Some("\\x0é"), None] {
            assert_eq!(<Vec<u8>>::told(wrong), None, "{wrong:?}");
        }
        assert_eq!(
            (bool::told(Some("t")), bool::told(Some("f")), bool::told(Some("1"))),
            (Some(true), Some(false), None)
        );
        assert_eq!(i64::told(Some("-9223372036854775808")), Some(i64::MIN));
        assert_eq!((i64::told(Some("9223372036854775808")), i64::told(None)), (None, None));
        assert_eq!((<Option<i64>>::told(None), <Option<i64>>::told(Some("x"))), (Some(None), None));
        assert_eq!(<Option<String>>::told(Some("")), Some(Some(String::new())));
    }
}
