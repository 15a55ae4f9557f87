//! What reads: postcard for each number, flag and text, and one place that keeps in mind that something was wrong.

use heapless::string::StringView;
use postcard::Deserializer;
use postcard::de_flavors::Slice;
use serde::Deserialize;

/// Bytes that are read from their front. From the first thing on that is wrong it gives values that are in range and mean
/// nothing, and says so at the end ([`Reader::is_good`]): nothing is checked behind each field.
pub(crate) struct Reader<'b> {
    bytes: Deserializer<'b, Slice<'b>>,
    good: bool,
}

impl<'b> Reader<'b> {
    /// At the front of `bytes`.
    pub(crate) fn new(bytes: &'b [u8]) -> Self {
        Self { bytes: Deserializer::from_bytes(bytes), good: true }
    }

    /// Whether everything that was read had its shape.
    pub(crate) const fn is_good(&self) -> bool {
        self.good
    }

    /// Something that was read is wrong.
    pub(crate) const fn refuse(&mut self) {
        self.good = false;
    }

    /// A number, a flag or a text, as postcard has it.
    #[inline(never)]
    pub(super) fn next<T: Deserialize<'b> + Default>(&mut self) -> T {
        T::deserialize(&mut self.bytes).unwrap_or_else(|_| {
            self.refuse();
            T::default()
        })
    }

    /// A number within ±`limit`.
    pub(crate) fn within(&mut self, limit: u32) -> i32 {
        let number: i32 = self.next();
        if number.unsigned_abs() <= limit {
            return number;
        }
        self.refuse();
        0
    }

    /// Which of `count` variants.
    pub(crate) fn variant(&mut self, count: u8) -> u8 {
        let place: u32 = self.next();
        if place < count.into() {
            return place as u8;
        }
        self.refuse();
        0
    }

    /// A text, no longer than there is room for.
    #[inline(never)]
    pub(super) fn text(&mut self, into: &mut StringView) {
        into.clear();
        let text: &str = self.next();
        if into.push_str(text).is_err() {
            self.refuse();
        }
    }
}
