//! Small parts that the screens of the application share.

use core::fmt::{self, Display};
use core::ops::RangeInclusive;

/// Two words of a line.
pub(super) struct Pair<A, B>(pub(super) A, pub(super) B);

impl<A: Display, B: Display> Display for Pair<A, B> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.0, self.1)
    }
}

/// Who says what a figure is to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Told {
    /// The order.
    Order,
    /// The supplier, in the order's place.
    Supplier,
    /// Nobody: it is a balance lens.
    Balance,
    /// Nobody: it is the lens that the frame had, or none.
    Stays,
    /// Nobody: there is no order.
    Nobody,
}

/// What a figure is to be, by whom; or that nobody says.
pub(super) struct ToBe<'f>(pub(super) Told, pub(super) &'f dyn Display);

impl Display for ToBe<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Told::Order => write!(f, "ordered {}", self.1),
            Told::Supplier => write!(f, "to verify {}", self.1),
            nobody => f.write_str(nobody.unjudged()),
        }
    }
}

impl Told {
    /// Why it is not judged.
    pub(super) const fn unjudged(self) -> &'static str {
        match self {
            Self::Balance => "balance, not judged",
            Self::Stays => "stays, not judged",
            _ => "no order, not judged",
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

/// A nudged value, or the old one where the bench's bound ends.
pub(super) fn within<T: TryFrom<i32>>(milli: i32, bound: RangeInclusive<i32>, old: T) -> T {
    if bound.contains(&milli) { T::try_from(milli).unwrap_or(old) } else { old }
}
