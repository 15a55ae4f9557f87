//! What happens next, by chance that can be repeated.

use bevelbook::work::PassEntry;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::{Eye, SphereCylinder};
use bevelbook_core::record::{
    Bench, CentreDistance, Check, CheckItem, Entered, Girth, GirthOf, Mark, PairId, Read, Reading, Stage,
    Subject,
};
use bevelbook_core::sizing::{Basis, Counting, Dial, Outcome};
use bevelbook_core::units::{Axis, Length, Power, PrismPair};

/// splitmix64 (Steele, Lea and Flood 2014).
pub(super) struct Chance(pub(super) u64);

impl Chance {
    pub(super) fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((bits ^ (bits >> 31)) % bound as u64) as usize
    }

    /// Whether it comes to it, once in `times`.
    pub(super) fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    pub(super) fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }

    fn length(&mut self) -> Length {
        Length::from_milli(1000 * (20 + self.below(100) as i32))
    }

    /// A pass of one eye.
    pub(super) fn pass(&mut self) -> PassEntry {
        PassEntry {
            eye: self.one(&Eye::BOTH),
            amount: Length::from_milli(50 * self.below(12) as i32),
            outcome: self.one(&[
                Outcome::FarTooBig,
                Outcome::JustTooBig,
                Outcome::Fits,
                Outcome::Fits,
                Outcome::Loose,
            ]),
            insist: self.once_in(2),
        }
    }

    /// Anything else that is looked at or measured on a pair or a lens of it.
    pub(super) fn fact(&mut self) -> impl Fn(PairId) -> Bench + use<> {
        let (eye, kind, good) = (self.one(&Eye::BOTH), self.below(6), self.once_in(2));
        let (length, stage) = (self.length(), self.one(&[Stage::Uncut, Stage::Mounted]));
        let of_lens = self.one(&[CheckItem::Strain, CheckItem::Strain, CheckItem::Firm, CheckItem::Bevel]);
        move |pair| {
            let lens = pair.lens(eye);
            let check = |of, item| Bench::Check(Check { entered: Entered::READ, of, item, good });
            match kind {
                0 => Bench::Mark(Mark {
                    entered: Entered::READ,
                    lens,
                    axis: Axis::from_milli(length.milli()),
                    prism: PrismPair::NONE,
                }),
                1 => {
                    let read = Read::Direct(SphereCylinder::sphere(Power::from_milli(length.milli() / 10)));
                    Bench::Reading(Reading {
                        entered: Entered::READ,
                        lens,
                        stage,
                        read,
                        prism: None,
                        add: None,
                    })
                }
                2 => {
                    let of = if good { GirthOf::Lens } else { GirthOf::Rim };
                    Bench::Girth(Girth { lens, of, girth: length })
                }
                3 => {
                    let centres = PupillaryDistance::Binocular(length);
                    Bench::CentreDistance(CentreDistance {
                        entered: Entered::READ,
                        pair,
                        centres,
                        heights: None,
                    })
                }
                4 => check(Subject::Pair(pair), CheckItem::Alignment),
                _ => check(Subject::Lens(lens), of_lens),
            }
        }
    }

    /// A dial.
    pub(super) fn dial(&mut self) -> Dial {
        let basis = self.one(&Basis::ALL);
        Dial { basis, counting: Counting::Absolute, step: Length::from_milli(50) }
    }
}
