//! What the figure on a station's dial counts.

use crate::bytes::coded;
use crate::units::{Length, words};
use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// What a size is measured on. No convention of the trade fixes it, so a station must state it.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "lowercase")]
    pub enum Basis {
        /// From the centre to the edge.
        Radius,
        /// Across the lens.
        Diameter,
        /// Round the lens.
        Girth,
    }
}

words! {
    /// Every basis.
    ALL Basis {
        Radius => "radius",
        Diameter => "diameter",
        Girth => "girth",
    }
}

coded! {
    /// From what the dialled figure counts.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(rename_all = "lowercase")]
    pub enum Counting {
        /// The figure is the size that is left, as an offset from the traced shape.
        Absolute,
        /// The figure is what this pass takes off. The first cut of a lens counts from a known oversize.
        TakeOff {
            /// The offset from the traced shape that a first cut with nothing taken off leaves.
            from: Length,
        },
    }
}

coded! {
    /// A station's dial.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Dial {
        /// What its sizes are measured on.
        pub basis: Basis,
        /// From what its figure counts.
        pub counting: Counting,
        /// Its smallest step, above zero.
        pub step: Length,
    }
}

/// An amount that the station's dial cannot show.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum OffStep {
    /// The amount lies between two steps of the dial.
    #[error("{} mm is not on the dial; its steps are at {} and {} mm", .amount.fine(), .below.fine(), .above.fine())]
    Between {
        /// What was asked for.
        amount: Length,
        /// The nearest smaller figure on the dial.
        below: Length,
        /// The nearest larger one.
        above: Length,
    },
    /// Material cannot be put back: an amount to take off is never negative, as this one is.
    #[error("{0} mm cannot be taken off; the dial starts at 0")]
    Negative(Length),
}

impl Dial {
    /// The record of `amount` on this dial.
    ///
    /// # Errors
    /// The amount is not a whole number of the dial's steps, or is a negative amount to take off.
    pub fn dial(&self, amount: Length) -> Result<Dialled, OffStep> {
        if self.takes_off() && amount < Length::ZERO {
            return Err(OffStep::Negative(amount));
        }
        let step = self.step.milli().max(1);
        let over = amount.milli().rem_euclid(step);
        if over != 0 {
            let below = amount - Length::from_milli(over);
            return Err(OffStep::Between { amount, below, above: below + self.step });
        }
        Ok(Dialled { basis: self.basis, counting: self.counting, amount })
    }

    /// Whether its figure is an amount to take off.
    pub const fn takes_off(&self) -> bool {
        matches!(self.counting, Counting::TakeOff { .. })
    }

    /// The size from which every size that it can leave is a whole number of its steps away.
    pub const fn zero(&self) -> Length {
        match self.counting {
            Counting::Absolute => Length::ZERO,
            Counting::TakeOff { from } => from,
        }
    }

    /// The least size that it can leave and that is not below `size`. Exact.
    pub fn up(&self, size: Length) -> Length {
        let step = self.step.milli().max(1);
        size + Length::from_milli((self.zero() - size).milli().rem_euclid(step))
    }

    /// What is dialled so that a lens of size `present`, or one that is not cut yet, is left at `size`. A take-off
    /// that would have to put material back is one of nothing.
    pub fn leaving(&self, size: Length, present: Option<Length>) -> Dialled {
        let amount = match self.counting {
            Counting::Absolute => size,
            Counting::TakeOff { from } => (present.unwrap_or(from) - size).max(Length::ZERO),
        };
        Dialled { basis: self.basis, counting: self.counting, amount }
    }
}

coded! {
    /// What was dialled for one pass, kept as dialled, together with what that figure counted at the time.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Dialled {
        /// What the figure is measured on.
        pub basis: Basis,
        /// From what it counts.
        pub counting: Counting,
        /// The figure itself.
        pub amount: Length,
    }
}

impl fmt::Display for Dialled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.counting {
            Counting::Absolute => write!(f, "{:+} mm", self.amount.fine()),
            Counting::TakeOff { .. } => write!(f, "{} mm off", self.amount.fine()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    #[test]
    fn an_amount_between_two_steps_names_both() {
        let dial = Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: mm(50) };
        assert_eq!(dial.dial(mm(350)).unwrap().amount, mm(350));
        assert_eq!(dial.dial(mm(-150)).unwrap().amount, mm(-150));
        let off = OffStep::Between { amount: mm(370), below: mm(350), above: mm(400) };
        assert_eq!(dial.dial(mm(370)), Err(off));
        let off = OffStep::Between { amount: mm(-20), below: mm(-50), above: mm(0) };
        assert_eq!(dial.dial(mm(-20)), Err(off));
    }

    #[test]
    fn a_size_is_rounded_up_to_what_the_dial_can_leave() {
        let dial = |counting| Dial { basis: Basis::Diameter, counting, step: mm(50) };
        for (size, left) in [(0, 0), (1, 50), (50, 50), (-1, 0), (-50, -50)] {
            assert_eq!(dial(Counting::Absolute).up(mm(size)), mm(left), "{size}");
        }
        // From 0.93 mm in steps of 0.05 mm.
        let take_off = dial(Counting::TakeOff { from: mm(930) });
        assert_eq!([400, 430, 431].map(|size| take_off.up(mm(size)).milli()), [430, 430, 480]);
    }

    #[test]
    fn what_is_dialled_leaves_the_size_that_is_meant() {
        let absolute = Dial { basis: Basis::Radius, counting: Counting::Absolute, step: mm(50) };
        let take_off = Dial { counting: Counting::TakeOff { from: mm(500) }, ..absolute };
        for (dial, present, amount) in [
            (absolute, None, 200),
            (absolute, Some(mm(400)), 200),
            (take_off, None, 300),
            (take_off, Some(mm(400)), 200),
            (take_off, Some(mm(100)), 0),
        ] {
            assert_eq!(dial.leaving(mm(200), present).amount, mm(amount), "{dial:?} {present:?}");
        }
    }

    #[test]
    fn nothing_is_put_back_on_a_lens() {
        let dial = Dial { basis: Basis::Radius, counting: Counting::TakeOff { from: mm(500) }, step: mm(50) };
        assert_eq!(dial.dial(mm(-50)), Err(OffStep::Negative(mm(-50))));
        assert!(dial.dial(mm(0)).is_ok());
    }
}
