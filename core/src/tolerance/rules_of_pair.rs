//! From a table, a design and an order to the limits of a pair, and to what they cite.
//!
//! **Which rule** of centring holds depends on the ordered power of the lens that is stronger in that meridian, rounded
//! to 1/1000 D: up to a switch a limit in prism, above it one in millimetres or in the prism that these make. The row
//! is that of the larger ordered prism of the two eyes in that direction. A balance lens and one of unknown power choose
//! nothing; where there is one, only a rule of each eye by itself holds. One that holds above the power of the other lens holds
//! whatever the unknown power is, since it could only be the stronger.

use super::rule::{Chosen, Range};
use super::rules_of_eye::EyeRules;
use super::{
    Above, Allowed, Basis, Bound, Centring, CentringRow, Citation, Design, EyeLimits, Finding, HeightLimits,
    Horizontal, Limit, Limits, PairOrder, PdLimits, PdRule, PrismLimit, Quantity, Rows, Rule, Subject, Table,
};
use crate::frame::PupillaryDistance;
use crate::prescription::{EyeOrder, SphereCylinder};
use crate::units::{Length, Power, Prism, PrismPair};
use heapless::String;

const USUAL: &str = "common practice, no source";
const USUAL_CROSS: &str =
    "usual practice; ANSI Z80.1 has it above a power: public reproduction of 1999, state law";
const USUAL_HEIGHT: &str =
    "usual practice; ANSI Z80.1 has it: public quick guide of 2015, reproduction of 1999";
const USUAL_PRISM: &str =
    "usual practice; ANSI Z80.1 has it at the reference point: public quick guide of 2015";

/// The rules for one ordered pair.
pub(super) struct PairRules<'t> {
    table: &'t Table,
    design: Design,
    rows: &'t Rows,
    eyes: [EyeRules<'t>; 2],
    vertical: Option<Direction>,
    horizontal: Option<Direction>,
    /// The rules of the PD: in total, and of each eye.
    pd: [Option<Chosen>; 2],
    heights: bool,
    /// Whether the prism between the eyes is judged.
    paired: bool,
}

impl<'t> PairRules<'t> {
    pub(super) fn of(table: &'t Table, design: Design, ordered: &PairOrder) -> Self {
        let rows = table.rows(design);
        let chooses = || ordered.eyes.iter().filter(|eye| eye.wanted.is_paired());
        let direction = |centring: Option<Centring>, at: usize, part: fn(PrismPair) -> Prism| {
            let prism = chooses().map(|eye| part(eye.prism).abs().milli()).max();
            let (row, own) = centring?.row(prism?)?;
            let powers = || chooses().map(|eye| eye.power.horizontal_and_vertical()[at].abs());
            Some(Direction { row: *row, own, weak: powers().min()?, strong: powers().max()? })
        };
        let horizontal = direction(rows.horizontal, 0, |prism| prism.base_in);
        Self {
            table,
            design,
            rows,
            pd: rules_of_pd(table, rows, horizontal, ordered),
            eyes: ordered.eyes.map(|eye| EyeRules::of(table, design, &eye)),
            vertical: direction(rows.vertical, 1, |prism| prism.base_up),
            horizontal,
            heights: ordered.segment_heights.is_some(),
            paired: ordered.unpaired().is_none(),
        }
    }

    pub(super) fn limits(&self) -> Limits {
        let each = |centring: Option<Centring>| Some(centring?.each?.figure());
        let pd = |chosen: Option<Chosen>| Some(chosen?.rule.figure());
        let none = EyeOrder::single_vision(SphereCylinder::PLANO);
        Limits {
            by: short(self.table),
            eyes: [self.eyes[0].limits(), self.eyes[1].limits()],
            reference: self.eyes[0].reference(),
            no_cylinder: EyeLimits::of(self.table, self.design, &none).cylinder,
            each: [self.rows.vertical, self.rows.horizontal].map(each),
            vertical: self
                .vertical
                .filter(|_| self.paired)
                .and_then(|direction| Some(direction.stronger()?.0)),
            horizontal: self.horizontal.filter(|_| self.paired).and_then(Direction::horizontal),
            pd: PdLimits { total: pd(self.pd[0]), each: pd(self.pd[1]) },
            heights: match self.height() {
                _ if !self.heights => Allowed::Any,
                None if self.design == Design::SingleVision => Allowed::Any,
                None => Allowed::NotCovered,
                Some(each) => Allowed::To(HeightLimits {
                    each: each.figure(),
                    pair: self.height_pair().map(Rule::figure),
                }),
            },
        }
    }

    /// What is usual where there is no limit: no rule, and for whom it is one.
    fn usual(&self, found: &Finding<()>) -> Citation {
        let source = match (self.design, found.quantity, found.subject) {
            (Design::Progressive, Quantity::Pd, Subject::Eye(_)) => USUAL_CROSS,
            (Design::Progressive | Design::Multifocal, Quantity::SegmentHeight, _) => USUAL_HEIGHT,
            (_, Quantity::VerticalOfEye | Quantity::HorizontalOfEye, _) => USUAL_PRISM,
            _ => USUAL,
        };
        let rule = Rule { bound: Bound::Fixed(found.limit), source, confirmed: false };
        Chosen::from(rule).cite(found.quantity)
    }

    /// The rule of a height: of the segment or fitting cross by the table, of any by the shop; the stricter of both.
    fn height(&self) -> Option<Rule> {
        let by_table = self.rows.height.filter(|_| self.design != Design::SingleVision);
        let shop = self.table.places.heights;
        let stricter = |by_table: Rule| shop.is_some_and(|shop| shop.figure() < by_table.figure());
        if by_table.is_none_or(stricter) { shop } else { by_table }
    }

    fn height_pair(&self) -> Option<Rule> {
        self.rows.height_pair.filter(|_| self.design != Design::SingleVision)
    }

    /// What a finding of the mounted pair cites; of what has no limit, for whom it is usual.
    pub(super) fn cite(&self, found: &Finding<()>) -> Option<Citation> {
        let (rows, quantity) = (self.rows, found.quantity);
        let chosen = match (quantity, found.subject) {
            (Quantity::Vertical, _) => self.vertical?.stronger()?.1,
            (Quantity::Horizontal, _) => self.horizontal?.stronger()?.1,
            (Quantity::VerticalOfEye | Quantity::HorizontalOfEye, _) => {
                let vertical = quantity == Quantity::VerticalOfEye;
                match if vertical { rows.vertical } else { rows.horizontal }.and_then(|row| row.each) {
                    Some(rule) => rule.into(),
                    None => return Some(self.usual(found)),
                }
            }
            (Quantity::Pd, subject) => match self.pd[usize::from(subject != Subject::Pair)] {
                Some(chosen) => chosen,
                None => return Some(self.usual(found)),
            },
            (Quantity::SegmentHeight, subject) => {
                match if subject == Subject::Pair { self.height_pair() } else { self.height() } {
                    Some(rule) => rule.into(),
                    None => return Some(self.usual(found)),
                }
            }
            (_, Subject::Eye(eye)) => return self.eyes[eye.index()].cite(quantity),
            (_, Subject::Pair) => return None,
        };
        Some(self.table.vouch(chosen.cite(quantity)))
    }
}

/// The rules of the PD, in total and of each eye, the stricter where there is more than one: what holds in place of prism,
/// what holds whatever the power, and what the shop asks for. Where an order does not say each eye's place, the shop's
/// limit of both together counts. In total there is no PD without a pair.
fn rules_of_pd(
    table: &Table,
    rows: &Rows,
    horizontal: Option<Direction>,
    ordered: &PairOrder,
) -> [Option<Chosen>; 2] {
    let paired = ordered.unpaired().is_none();
    let above = horizontal.and_then(|direction| {
        let pd = direction.pd()?;
        Some((direction.above(pd.rule), pd.each_eye))
    });
    let always = rows.pd.map(|pd| (pd.rule.into(), pd.each_eye));
    let shop = table.places.pd_each_eye.map(|each| match ordered.pd {
        PupillaryDistance::Binocular(_) if paired => (each.doubled().into(), false),
        _ => (each.into(), true),
    });
    let mut pds = [None; 2];
    for (rule, each_eye) in [&above, &always, &shop].into_iter().flatten() {
        let kept: &mut Option<Chosen> = &mut pds[usize::from(*each_eye)];
        let stricter = kept.is_none_or(|kept| rule.rule.figure() < kept.rule.figure());
        if stricter && (paired || *each_eye) {
            *kept = Some(*rule);
        }
    }
    pds
}

/// How a pair is centred in one direction.
#[derive(Clone, Copy)]
struct Direction {
    row: CentringRow,
    own: Range,
    /// Ordered power in that direction of the weaker and of the stronger lens, as magnitudes.
    weak: Power,
    strong: Power,
}

impl Direction {
    const fn above(&self, rule: Rule) -> Chosen {
        Chosen { rule, own: self.own, power: Range { above: self.row.switch, up_to: Range::OPEN } }
    }

    /// The rule in prism for a lens of this power; `None` when it is one of the PD. Where two readings of the standard
    /// switch at different powers and this one lies between, both limits are kept.
    fn by_prism(&self, power: Power) -> Option<(PrismLimit, Chosen)> {
        let (row, at) = (self.row, power.milli());
        let of = |chosen: Chosen, basis| {
            (PrismLimit { limit: chosen.rule.limit(0, power), stricter: None, basis }, chosen)
        };
        let range = Range { above: 0, up_to: row.switch };
        let below = of(Chosen { rule: row.prism, own: self.own, power: range }, Basis::AsRead);
        let above = match row.above {
            Above::Pd(_) if at > row.switch => return None,
            Above::Same | Above::Pd(_) => return Some(below),
            Above::Effect(rule) => of(self.above(rule), Basis::ShiftAsPrism),
        };
        if at > row.switch {
            return Some(above);
        }
        if row.switch_or.is_none_or(|from| at <= from) {
            return Some(below);
        }
        let ((wider, chosen), other) =
            if above.0.limit > below.0.limit { (above, below.0.limit) } else { (below, above.0.limit) };
        let stricter = (other < wider.limit).then_some(other);
        Some((PrismLimit { stricter, ..wider }, chosen))
    }

    fn stronger(&self) -> Option<(PrismLimit, Chosen)> {
        self.by_prism(self.strong)
    }

    /// The rule of the PD, where it holds.
    fn pd(&self) -> Option<PdRule> {
        match self.row.above {
            Above::Pd(pd) if self.strong.milli() > self.row.switch => Some(pd),
            _ => None,
        }
    }

    fn horizontal(self) -> Option<Horizontal> {
        if self.pd().is_some() {
            return Some(Horizontal::Pd);
        }
        let (prism, _) = self.stronger()?;
        let (weaker, _) = self.by_prism(self.weak)?;
        Some(Horizontal::Prism { prism, power: self.strong, weaker_to: farthest(weaker.limit, self.weak) })
    }
}

/// The shift up to which a lens of this power stays within the limit, by Prentice's rule, the prism rounded up to
/// 1/1000 Δ; of what is beyond any lens, that.
fn farthest(limit: Limit, power: Power) -> Length {
    let whole = i64::from(limit.hundredths_of_milli() / 100);
    let shift = (whole * 10_000).checked_div(i64::from(power.milli())).unwrap_or(i64::MAX);
    Length::from_milli(shift.min(i64::from(Length::LIMIT)) as i32)
}

/// What a small display can show of a name: what is not plain ASCII becomes a question mark, what is too long is cut.
fn short<const N: usize>(table: &Table) -> String<N> {
    let plain = |letter: char| if letter == ' ' || letter.is_ascii_graphic() { letter } else { '?' };
    table.name.chars().chain(table.edition.chars()).map(plain).take(N).collect()
}

impl Limits {
    /// What the lenses of a job may be off that is ordered like this.
    pub fn of<'t>(by: impl Into<&'t Table>, design: Design, ordered: &PairOrder) -> Self {
        PairRules::of(by.into(), design, ordered).limits()
    }
}
