//! Small parts that the screens of the application share.

use core::fmt::{self, Display};

/// Two words of a line.
pub(super) struct Pair<A, B>(pub(super) A, pub(super) B);

impl<A: Display, B: Display> Display for Pair<A, B> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.0, self.1)
    }
}

/// What is ordered, or that nothing is.
pub(super) struct Ordered<T>(pub(super) Option<T>);

impl<T: Display> Display for Ordered<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Some(figure) => write!(f, "ordered {figure}"),
            None => f.write_str("no order, not judged"),
        }
    }
}

/// Goes to the figure that is asked next of `all`, on or back. Whether there is one.
pub(super) fn go<F: Copy + PartialEq>(at: &mut F, on: bool, all: &[F], asked: impl Fn(F) -> bool) -> bool {
    let figures = all.iter().copied().filter(|figure| figure == at || asked(*figure));
    let next = match on {
        true => figures.skip_while(|figure| figure != at).nth(1),
        false => figures.take_while(|figure| figure != at).last(),
    };
    *at = next.unwrap_or(*at);
    next.is_some()
}

/// A nudged value, or the old one where the unit ends.
pub(super) fn within<T: TryFrom<i32>>(milli: i32, old: T) -> T {
    T::try_from(milli).unwrap_or(old)
}
