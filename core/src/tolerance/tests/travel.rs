//! Limits that travelled, against the judgement by their table.

use super::own::TIGHT;
use crate::frame::PupillaryDistance;
use crate::prescription::{Eye, EyeOrder, SphereCylinder, Wanted};
use crate::tolerance::{
    Basis, Design, EyeReading, Finding, Judgement, Limits, Look, Meridian, PairMeasured, PairOrder, Places,
    Quantity, Rule, Stage, Standard, Table, Thinning, ThinningKnown, Verdict, judge_eye, judge_pair,
};
use crate::units::{Axis, Length, Power, Prism, PrismPair};
use postcard::experimental::max_size::MaxSize;

/// Numbers without end, the same in every run (xorshift, Marsaglia 2003).
struct Draw(u64);

impl Draw {
    fn below(&mut self, count: i32) -> i32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % count as u64) as i32
    }

    /// Around a value, a half of the time not off at all.
    fn near(&mut self, value: i32, reach: i32) -> i32 {
        if self.below(2) == 0 { value } else { value + self.below(2 * reach + 1) - reach }
    }

    fn order(&mut self) -> EyeOrder {
        let power = SphereCylinder::new(
            Power::from_milli((self.below(97) - 48) * 125),
            Power::from_milli((self.below(33) - 16) * 125),
            Axis::from_degrees(1 + self.below(180) as i16),
        );
        let prism = PrismPair {
            base_in: Prism::from_milli(self.below(3) * 1500),
            base_up: Prism::from_milli(self.below(3) * 1500),
        };
        let add = (self.below(2) == 0).then(|| Power::from_milli(2000));
        EyeOrder { power, prism, add, wanted: self.wanted() }
    }

    fn wanted(&mut self) -> Wanted {
        let known = self.below(2) == 0;
        match self.below(12) {
            0 => Wanted::Balance { known },
            1 => Wanted::Nothing { known },
            _ => Wanted::Lens,
        }
    }

    fn read(&mut self, order: &EyeOrder) -> EyeReading {
        let (lens, prism) = (order.power, order.prism);
        let power = SphereCylinder::new(
            Power::from_milli(self.near(lens.sphere.milli(), 150)),
            Power::from_milli(self.near(lens.cylinder.milli(), 150)),
            Axis::from_milli(self.near(lens.axis.milli(), 4000)),
        );
        let prism = PrismPair {
            base_in: Prism::from_milli(self.near(prism.base_in.milli(), 500)),
            base_up: Prism::from_milli(self.near(prism.base_up.milli(), 400)),
        };
        let add = order.add.map(|add| Power::from_milli(self.near(add.milli(), 140)));
        EyeReading {
            power: (self.below(20) > 0).then_some(power),
            prism: (self.below(20) > 0).then_some(prism),
            add: add.filter(|_| self.below(20) > 0),
            reference_shift: None,
            thinning: Thinning::NONE,
        }
    }

    fn pd(&mut self) -> PupillaryDistance {
        let right = Length::from_milli(self.near(31_000, 2500));
        match self.below(2) {
            0 => PupillaryDistance::Binocular(right + right),
            _ => PupillaryDistance::Monocular { right, left: right },
        }
    }
}

/// Every published edition, those with a choice also the other way, and the shop's.
fn each_table(mut judge: impl FnMut(&Table)) {
    for standard in Standard::ALL {
        let table = standard.table();
        judge(table);
        judge(&table.with_both_at_reference());
        table.with_meridian(Meridian::Strongest).iter().for_each(&mut judge);
    }
    judge(&TIGHT);
    // What a shop asks for besides.
    let limit = Some(Rule::fixed(1000, "the shop"));
    let places = Places { pd_each_eye: limit, heights: limit };
    judge(&Standard::AnsiZ801_2015.table().with_places(places));
    judge(&TIGHT.with_places(places));
}

/// What comes out of the bytes.
fn travelled(limits: &Limits) -> Limits {
    let mut bytes = [0; Limits::POSTCARD_MAX_SIZE];
    postcard::from_bytes(postcard::to_slice(limits, &mut bytes).unwrap()).unwrap()
}

/// The first of these findings that is beyond its limit, of those that are asked for.
fn beyond(findings: &[Finding], asked: impl Fn(&Finding) -> bool) -> Option<Finding<()>> {
    let &Finding { subject, quantity, ordered, measured, deviation, limit, stricter, basis, .. } =
        findings.iter().find(|found| asked(found) && !found.is_within())?;
    Some(Finding { subject, quantity, ordered, measured, deviation, limit, stricter, basis, cited: () })
}

/// What is out of a judgement, or else unusual, and which of both.
fn found(judgement: &Judgement, asked: impl Fn(&Finding) -> bool) -> Option<(bool, Finding<()>)> {
    let out = beyond(judgement.findings(), &asked).map(|found| (true, found));
    out.or_else(|| beyond(judgement.beside(), &asked).map(|found| (false, found)))
}

/// The same of a look.
fn looked(look: Look) -> Option<(bool, Finding<()>)> {
    match look {
        Look::Out(found) => Some((true, found)),
        Look::Unusual(found) => Some((false, found)),
        Look::Within | Look::NotCovered | Look::SeeConsole => None,
    }
}

/// Whether a look says what a judgement does; what is unusual may be within, or wait for something.
fn agree(look: Look, judgement: &Judgement) -> bool {
    let verdict = match look {
        Look::Within => Verdict::Within,
        Look::Out(_) => Verdict::Out,
        Look::NotCovered | Look::SeeConsole => Verdict::NotJudged,
        Look::Unusual(_) => return judgement.verdict() != Verdict::Out,
    };
    verdict == judgement.verdict()
}

impl Draw {
    fn pair(&mut self) -> (PairOrder, PairMeasured) {
        let eyes = [self.order(), self.order()];
        let height = Length::from_milli(18_000);
        let heights = (self.below(4) > 0).then_some([height; 2]);
        let prism = Prism::from_milli(self.below(3) * 600);
        let known = if self.below(2) == 0 { ThinningKnown::Ordered } else { ThinningKnown::Assumed };
        let thinning = Thinning { prism, known };
        let order = PairOrder { eyes, pd: self.pd(), segment_heights: heights, thinning };
        let mut high = || (self.below(20) > 0).then(|| Length::from_milli(self.near(18_000, 1200)));
        let segment_heights = [high(), high()];
        let eyes = [self.read(&eyes[0]), self.read(&eyes[1])];
        let pd = (self.below(4) > 0).then(|| self.pd());
        (order, PairMeasured { eyes, pd, segment_heights })
    }
}

/// Whether a finding belongs to the prism of the pair, as it was read.
fn of_prism(found: &Finding) -> bool {
    use Quantity::{Horizontal, HorizontalOfEye, Vertical, VerticalOfEye};
    matches!(found.quantity, Vertical | Horizontal | VerticalOfEye | HorizontalOfEye)
        && found.basis != Basis::PrismFromPd
}

#[test]
fn a_pair_is_judged_alike_by_its_table_and_by_limits_that_travelled() {
    let mut draw = Draw(0x5eed);
    let (mut counts, mut unusual) = ([0; 3], 0);
    for _ in 0..6000 {
        let (order, measured) = draw.pair();
        each_table(|table| {
            for design in Design::ALL {
                let judgement = judge_pair(table, design, &order, &measured);
                let limits = travelled(&Limits::of(table, design, &order));
                let look = limits.pair(&order, &measured);
                assert!(agree(look, &judgement), "{look:?} {order:?} {measured:?}");
                assert_eq!(looked(look), found(&judgement, |_| true), "{order:?} {measured:?}");
                assert_eq!(looked(limits.prism(&order, &measured)), found(&judgement, of_prism));
                let of_centres = |found: &Finding| {
                    matches!(found.quantity, Quantity::Pd | Quantity::SegmentHeight)
                        || found.basis == Basis::PrismFromPd
                };
                assert_eq!(looked(limits.centres(&order, &measured)), found(&judgement, of_centres));
                unusual += usize::from(matches!(look, Look::Unusual(_)));
                counts[judgement.verdict() as usize] += 1;
            }
        });
    }
    assert!(unusual > 1000 && counts.iter().all(|count| *count > 1000), "{counts:?} {unusual}");
}

#[test]
fn a_lens_is_judged_alike_by_its_table_and_by_limits_that_travelled() {
    let mut draw = Draw(0x5eed);
    let (mut counts, mut unusual) = ([0; 3], 0);
    for _ in 0..5000 {
        let (order, measured) = draw.pair();
        each_table(|table| {
            for design in Design::ALL {
                let limits = travelled(&Limits::of(table, design, &order));
                let read = order.thinned(measured.eyes);
                for eye in Eye::BOTH {
                    let (ordered, read) = (&order.eyes[eye.index()], &read[eye.index()]);
                    let uncut = judge_eye(table, design, Stage::Uncut, eye, ordered, read);
                    let mounted = judge_eye(table, design, Stage::Mounted, eye, ordered, read);
                    for (look, by_table) in [
                        (limits.eye(Stage::Uncut, eye, ordered, read), uncut),
                        (limits.eye(Stage::Mounted, eye, ordered, read), mounted),
                    ] {
                        assert!(agree(look, &by_table), "{table} {design} {ordered:?} {read:?}");
                        assert_eq!(looked(look), found(&by_table, |_| true), "{table} {design} {ordered:?}");
                        unusual += usize::from(matches!(look, Look::Unusual(_)));
                        counts[by_table.verdict() as usize] += 1;
                    }
                }
            }
        });
    }
    assert!(unusual > 1000 && counts.iter().all(|count| *count > 1000), "{counts:?} {unusual}");
}

#[test]
fn limits_take_few_bytes() {
    let mut draw = Draw(0x5eed);
    let (mut longest, mut sum, mut count) = (0, 0, 0);
    for _ in 0..1000 {
        let (order, _) = draw.pair();
        each_table(|table| {
            for design in Design::ALL {
                let mut room = [0; Limits::POSTCARD_MAX_SIZE];
                let limits = Limits::of(table, design, &order);
                let bytes = postcard::to_slice(&limits, &mut room).unwrap().len();
                (longest, sum, count) = (longest.max(bytes), sum + bytes, count + 1);
            }
        });
    }
    std::println!(
        "limits take {} bytes on an average, {longest} here at most, {} ever",
        sum / count,
        Limits::POSTCARD_MAX_SIZE
    );
    assert!(longest <= 120, "{longest}");
}

#[test]
fn a_name_is_plain_and_short() {
    let (order, _) = Draw(0x5eed).pair();
    let by = |table: &Table| Limits::of(table, Design::SingleVision, &order).by;
    assert_eq!(by(&TIGHT), "Gr??e und mehr als z");
    assert_eq!(by(Standard::Iso21987_2017.table()), "ISO 21987:2017");
}

#[test]
fn what_is_not_known_is_not_within() {
    let order = EyeOrder::parse("-8.00 -0.12 x 40 add 2").unwrap();
    let pair = PairOrder { eyes: [order; 2], ..Draw(0x5eed).pair().0 };
    let read = |text, add| EyeReading { add, ..EyeReading::of_power(EyeOrder::parse(text).unwrap().power) };
    let add = order.add;
    let ansi = Limits::of(Standard::AnsiZ801_2015, Design::Multifocal, &pair);
    let mounted = |text, add| ansi.eye(Stage::Mounted, Eye::Left, &order, &read(text, add));
    assert_eq!(mounted("-8.00 -0.12 x 40", add), Look::Within);
    // No addition read; no axis, where the lack of a cylinder is within.
    assert_eq!([mounted("-8.00 -0.12 x 40", None), mounted("-8.00", add)], [Look::SeeConsole; 2]);
    // The prism does not pass by itself, and a keypad does not ask for the place.
    let prism = Some(PrismPair { base_in: Prism::from_milli(400), ..PrismPair::NONE });
    let uncut =
        ansi.eye(Stage::Uncut, Eye::Left, &order, &EyeReading { prism, ..read("-8.00 -0.12 x 40", add) });
    assert_eq!(uncut, Look::SeeConsole);
    // A design that the table does not know.
    let none = Limits::of(&TIGHT, Design::Multifocal, &pair);
    assert_eq!(none.prism(&pair, &PairMeasured::default()), Look::NotCovered);
    let sphere = EyeOrder::parse("-8.00").unwrap();
    let none = Limits::of(&TIGHT, Design::Multifocal, &PairOrder { eyes: [sphere; 2], ..pair });
    assert_eq!(none.eye(Stage::Mounted, Eye::Left, &sphere, &read("-8.00", None)), Look::NotCovered);
}
