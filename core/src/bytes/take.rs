//! Reading a value into its place.

use super::Reader;
use heapless::{String, Vec, VecView};

/// What is read field by field into its place: the bytes that postcard reads by the type's `Deserialize`, and the same value.
///
/// A keypad has no flash for serde's visitors, of which each type and each field has one, and no stack for values that are
/// made whole and handed up. [`coded!`](super::coded) implements it with the declaration of a type.
pub(crate) trait Take: Sized {
    /// What stands there before.
    fn blank() -> Self;

    /// Reads it.
    fn take_from(&mut self, from: &mut Reader<'_>);
}

/// A value from the front of `bytes`; none when they do not have its shape.
pub(crate) fn taken<T: Take>(bytes: &[u8]) -> Option<T> {
    let mut from = Reader::new(bytes);
    let value = from.new_one();
    from.is_good().then_some(value)
}

impl Reader<'_> {
    /// A value of its own.
    pub(crate) fn new_one<T: Take>(&mut self) -> T {
        let mut one = T::blank();
        one.take_from(self);
        one
    }

    /// A list, no longer than there is room for.
    fn list<T: Take>(&mut self, into: &mut VecView<T>) {
        into.clear();
        let count: u64 = self.next();
        if count > into.capacity() as u64 {
            return self.refuse();
        }
        for _ in 0..count {
            let _ = into.push(self.new_one());
        }
    }
}

macro_rules! plain {
    ($($type:ty: $blank:literal),+) => {$(
        impl Take for $type {
            fn blank() -> Self {
                $blank
            }
            fn take_from(&mut self, from: &mut Reader<'_>) {
                *self = from.next();
            }
        }
    )+};
}
plain!(bool: false, u8: 0, u16: 0, u32: 0, u64: 0, i16: 0, i32: 0, i64: 0);

impl<T: Take> Take for Option<T> {
    fn blank() -> Self {
        None
    }
    fn take_from(&mut self, from: &mut Reader<'_>) {
        *self = None;
        if from.next() {
            self.insert(T::blank()).take_from(from);
        }
    }
}

impl<T: Take, const N: usize> Take for [T; N] {
    fn blank() -> Self {
        core::array::from_fn(|_| T::blank())
    }
    fn take_from(&mut self, from: &mut Reader<'_>) {
        self.iter_mut().for_each(|one| one.take_from(from));
    }
}

impl<A: Take, B: Take> Take for (A, B) {
    fn blank() -> Self {
        (A::blank(), B::blank())
    }
    fn take_from(&mut self, from: &mut Reader<'_>) {
        self.0.take_from(from);
        self.1.take_from(from);
    }
}

impl<const N: usize> Take for String<N> {
    fn blank() -> Self {
        Self::new()
    }
    fn take_from(&mut self, from: &mut Reader<'_>) {
        from.text(self.as_mut_view());
    }
}

impl<T: Take, const N: usize> Take for Vec<T, N> {
    fn blank() -> Self {
        Self::new()
    }
    fn take_from(&mut self, from: &mut Reader<'_>) {
        from.list(self.as_mut_view());
    }
}
