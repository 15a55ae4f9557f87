//! How a shop goes along the line: which eye first, what it looks a lens over for, how finely it reads.

use super::CheckItem;
use crate::bytes::coded;
use crate::prescription::Eye;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// How a shop goes along the line. Its default, all zero, is what a shop does that states nothing: a keypad takes bytes of
    /// before it was told for that.
    #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    #[serde(default)]
    pub struct Flow {
        /// The left eye comes first.
        pub left_first: bool,
        /// The focimeter shows hundredths of a dioptre.
        pub hundredths: bool,
        /// A bit for each of [`Flow::CHECKS`] that is not asked; [`Flow::asking`] sets them.
        pub left_out: u8,
    }
}

impl Flow {
    /// What a shop does that states nothing.
    pub const COMMON: Self = Self { left_first: false, hundredths: false, left_out: 0 };

    /// What a shop may leave out: what finished lenses and their frame are looked at for.
    pub const CHECKS: [CheckItem; CheckItem::FINISH.len() + 1] = {
        let [bevel, firm, strain, surfaces] = CheckItem::FINISH;
        [bevel, firm, strain, surfaces, CheckItem::Alignment]
    };

    /// The same, asking of [`Flow::CHECKS`] only these.
    #[must_use]
    pub fn asking(self, items: &[CheckItem]) -> Self {
        let out = Self::CHECKS.into_iter().filter(|item| !items.contains(item));
        Self { left_out: out.fold(0, |left_out, item| left_out | Self::bit(item)), ..self }
    }

    /// Whether an item is asked.
    pub const fn asks(self, item: CheckItem) -> bool {
        self.left_out & Self::bit(item) == 0
    }

    /// Both eyes, in the order in which they are worked on.
    pub const fn eyes(self) -> [Eye; 2] {
        if self.left_first { [Eye::Left, Eye::Right] } else { Eye::BOTH }
    }

    /// None for what no shop leaves out.
    const fn bit(item: CheckItem) -> u8 {
        match item {
            CheckItem::Bevel => 1,
            CheckItem::Firm => 2,
            CheckItem::Strain => 4,
            CheckItem::Surfaces => 8,
            CheckItem::Alignment => 16,
            _ => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_out_is_not_asked_and_everything_else_is() {
        let flow = Flow::COMMON.asking(&[CheckItem::Bevel, CheckItem::Alignment]);
        for item in CheckItem::ALL {
            let kept =
                !Flow::CHECKS.contains(&item) || [CheckItem::Bevel, CheckItem::Alignment].contains(&item);
            assert_eq!(flow.asks(item), kept, "{item}");
            assert!(Flow::COMMON.asks(item));
        }
        assert_eq!(flow.asking(&Flow::CHECKS), Flow::COMMON);
    }
}
