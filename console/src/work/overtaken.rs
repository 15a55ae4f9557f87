//! What was done of the present lenses by figures that the order does not say any more.
//!
//! An amendment changes what is judged at once, and nothing of a lens that lies there spotted or cut. Of all that is done by
//! a figure what comes last at the bench counts: it is told where it was done by another figure than the order now says, an
//! axis until the lens is spotted again or read in its frame, a PD until the lens is cut anew or the pair measured.

use super::{Fact, Job, Line};
use crate::desk::{Arrival, Desk, Order};
use bevelbook_core::prescription::{Eye, EyeOrder};
use bevelbook_core::record::{Bench, LensId, Reading, Stage};
use std::fmt;

/// Something that was done by a figure that is another one now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Overtaken {
    /// Of which eye's lens.
    pub eye: Eye,
    deed: Deed,
    was: String,
    now: String,
}

impl fmt::Display for Overtaken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { eye, deed, was, now } = self;
        write!(f, "{eye} lens: {} {was}; the order now says {now}", deed.words())
    }
}

/// What is done of a lens, in the order of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Deed {
    Came,
    ReadUncut,
    Spotted,
    Cut,
    ReadMounted,
    Measured,
}

impl Deed {
    const fn words(self) -> &'static str {
        match self {
            Self::Came => "it came in for",
            Self::ReadUncut => "it was read uncut for",
            Self::Spotted => "it was spotted for",
            Self::Cut => "it was cut for",
            Self::ReadMounted => "it was read in the frame for",
            Self::Measured => "the pair was measured for",
        }
    }
}

/// A figure of an order, and what is done or looked at by it.
struct Topic {
    of: fn(&Order, Eye) -> String,
    by: &'static [Deed],
}

const TOPICS: [Topic; 4] = [
    Topic { of: prescription, by: &[Deed::Came, Deed::ReadUncut, Deed::Spotted, Deed::ReadMounted] },
    Topic { of: pd, by: &[Deed::Spotted, Deed::Cut, Deed::Measured] },
    Topic { of: height, by: &[Deed::Spotted, Deed::Cut, Deed::Measured] },
    Topic { of: frame, by: &[Deed::Cut, Deed::ReadMounted] },
];

/// What the lens is to show, the same in both forms.
fn prescription(order: &Order, eye: Eye) -> String {
    let expected = order.expected(eye);
    EyeOrder { power: expected.power.minus_cylinder(), ..expected }.to_string()
}

fn pd(order: &Order, eye: Eye) -> String {
    let pd = order.pd();
    format!("a PD of {} mm", pd.half(eye).unwrap_or(pd.total()))
}

fn height(order: &Order, eye: Eye) -> String {
    order.height(eye).map_or("no height".into(), |height| format!("a height of {height} mm"))
}

fn frame(order: &Order, _: Eye) -> String {
    let size = &order.frame.size;
    format!("A {}, B {}, DBL {}", size.a, size.b, size.dbl)
}

impl Job {
    /// What was done by a figure that the order does not say any more, right before left.
    #[must_use]
    pub fn overtaken(&self) -> Vec<Overtaken> {
        let amended = |line: &Line| matches!(line.fact, Fact::Desk(Desk::Amendment(_)));
        if !self.standing().any(amended) {
            return Vec::new();
        }
        let done = self.deeds();
        let overtaken = |(eye, topic): (Eye, &Topic)| {
            let of_it = done.iter().filter(|(of, deed, _)| *of == eye && topic.by.contains(deed));
            let (_, deed, order) = of_it.max_by_key(|(_, deed, _)| *deed)?;
            let (was, now) = ((topic.of)(order, eye), (topic.of)(&self.order, eye));
            (was != now).then_some(Overtaken { eye, deed: *deed, was, now })
        };
        let made = Eye::BOTH.into_iter().filter(|eye| self.made(*eye).is_ok());
        made.flat_map(|eye| TOPICS.iter().map(move |topic| (eye, topic))).filter_map(overtaken).collect()
    }

    /// What was done of the present lenses, each with the order as it was then.
    fn deeds(&self) -> Vec<(Eye, Deed, Order)> {
        let (mut done, mut order) = (Vec::new(), None::<Order>);
        for line in self.standing() {
            match &line.fact {
                Fact::Desk(Desk::Order(opened)) => order = Some((**opened).clone()),
                Fact::Desk(Desk::Amendment(amendment)) => {
                    order = order.and_then(|order| amendment.amend(&order).ok());
                }
                fact => {
                    let order = order.as_ref().unwrap_or(&self.order);
                    done.extend(self.deed(fact).into_iter().map(|(eye, deed)| (eye, deed, order.clone())));
                }
            }
        }
        done
    }

    /// What a fact does of the present lenses.
    fn deed(&self, fact: &Fact) -> Vec<(Eye, Deed)> {
        let of_present = |lens: LensId| lens == self.pair().lens(lens.eye);
        match fact {
            Fact::Desk(Desk::Arrival(Arrival { eye, lens, .. })) if *lens == self.lens_number(*eye) => {
                vec![(*eye, Deed::Came)]
            }
            Fact::Bench(Bench::Mark(mark)) if of_present(mark.lens) => vec![(mark.lens.eye, Deed::Spotted)],
            Fact::Bench(Bench::Pass(pass)) if of_present(pass.lens) => vec![(pass.lens.eye, Deed::Cut)],
            Fact::Bench(Bench::Reading(Reading { lens, stage, .. })) if of_present(*lens) => {
                let deed = if *stage == Stage::Uncut { Deed::ReadUncut } else { Deed::ReadMounted };
                vec![(lens.eye, deed)]
            }
            Fact::Bench(Bench::CentreDistance(centres)) if centres.pair == self.pair() => {
                Eye::BOTH.map(|eye| (eye, Deed::Measured)).to_vec()
            }
            _ => Vec::new(),
        }
    }
}
